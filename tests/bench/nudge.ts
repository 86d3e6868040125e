/**
 * How long a nudge over 16 pigments takes in the worker: characterising, learning, searching. In
 * processor time, so that what else the machine does is not counted.
 */
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import type { NudgeRequest, PalettePigment } from '../../src/paint/types.ts';
import { paintBox, randomFrom } from '../evaluate/paint-truth.ts';

const IDS = [
  'white',
  'black',
  'ultramarine',
  'cobalt',
  'phthalo',
  'viridian',
  'chrome',
  'cobaltgreen',
  'ochre',
  'ironyellow',
  'cadmium',
  'hansa',
  'ironred',
  'cadred',
  'quinacridone',
  'umber',
];

/** What the bench asks for: a glaze within reach, one the palette cannot mix, a pot of too much red. */
const CASES = {
  'within reach': {
    pot: { white: 5, ultramarine: 0.05, ochre: 0.1, black: 0.01 },
    glazeLab: labD65(70, 3, 8),
  },
  'out of gamut': {
    pot: { white: 5, ultramarine: 0.05, ochre: 0.1, black: 0.01 },
    glazeLab: labD65(60, 70, -60),
  },
  'too much red': {
    pot: { white: 1, ironred: 4, umber: 1, black: 0.3 },
    glazeLab: labD65(55, 20, 15),
  },
} as const;
type Case = keyof typeof CASES;

export interface NudgeTimes {
  readonly asked: Case;
  /** Attempts already made with the pot. */
  readonly attempts: number;
  readonly medianMs: number;
  readonly p95Ms: number;
}

/** The times of `nudgeTimes`, printed against the 50 ms of the design. */
export function benchNudge(): void {
  console.log('\nA nudge over 16 pigments, checked and answered (50 ms of worker time wanted)');
  for (const { asked, attempts, medianMs, p95Ms } of nudgeTimes()) {
    const times = `median ${medianMs.toFixed(1)} ms, 95th ${p95Ms.toFixed(1)} ms`;
    console.log(`  ${asked}, ${attempts} attempts before:`.padEnd(36), times);
  }
}

/** Every request has a palette of its own, so that nothing is remembered between them. */
export function nudgeTimes(runs = 20): NudgeTimes[] {
  const random = randomFrom(5);
  const box = paintBox(IDS, random);
  const read = (lab: LabD65) =>
    labD65(
      lab[0] + 0.4 * random.normal(),
      lab[1] + 0.4 * random.normal(),
      lab[2] + 0.4 * random.normal(),
    );
  const palette = (): PalettePigment[] =>
    IDS.map((id) => {
      const masstone = read(box.labOf({ [id]: 1 }));
      if (id === 'white') return { id, isWhite: true, masstone };
      const lab = read(box.labOf({ [id]: 1, white: 9 }));
      return { id, masstone, tint: { lab, pigment: 1, white: 9 } };
    });
  const plan = (Object.keys(CASES) as Case[]).flatMap((asked) =>
    [0, 3, 8, 20].map((attempts) => ({ asked, attempts })),
  );
  return plan.map(({ asked, attempts }) => {
    const times: number[] = [];
    for (let run = 0; run < runs; run++) {
      const { glazeLab } = CASES[asked];
      const pot: Record<string, number> = { ...CASES[asked].pot };
      const history: NudgeRequest['history'][number][] = [];
      for (let attempt = 0; attempt < attempts; attempt++) {
        history.push({ pot: { ...pot }, dabLab: read(box.labOf(pot)) });
        const id = IDS[attempt % 5]!;
        pot[id] = (pot[id] ?? 0) + 0.01;
      }
      const request: NudgeRequest = {
        palette: palette(),
        pot,
        dabLab: read(box.labOf(pot)),
        glazeLab,
        history,
        smallest: 0.002,
        largestGrowth: 0.8,
      };
      const start = process.cpuUsage();
      const answer = answerNudge(request);
      if (!answer.ok) throw new Error(answer.error);
      const { user, system } = process.cpuUsage(start);
      times.push((user + system) / 1000);
    }
    times.sort((a, b) => a - b);
    return {
      asked,
      attempts,
      medianMs: times[Math.floor(times.length / 2)]!,
      p95Ms: times[Math.floor(0.95 * times.length)]!,
    };
  });
}
