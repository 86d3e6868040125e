/**
 * How long a nudge over 16 pigments takes in the worker: characterising, learning, searching, after the
 * worker has been warmed as the app does it. By the clock, so on a
 * quiet machine; processor time would count the compiler's and the collector's threads as well.
 */
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import type { NudgeRequest, PalettePigment } from '../../src/paint/types.ts';
import { WARM_UP_REQUESTS } from '../../src/paint/warm-up.ts';
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

/** What is wanted of the 95th percentile, ms. */
const WANTED_MS = 50;

/** A worker's first request, the warming, and then the times of `nudgeTimes`. */
export function benchNudge(): void {
  console.log(
    `\nA nudge over 16 pigments, checked and answered (${WANTED_MS} ms of worker time wanted)`,
  );
  const cold = took(() => answered(WARM_UP_REQUESTS[0]!));
  const warming = took(() => WARM_UP_REQUESTS.forEach(answered));
  console.log(
    `  a worker's first request ${cold.toFixed(0)} ms, the rest of a warming round ${warming.toFixed(0)} ms`,
  );
  WARM_UP_REQUESTS.forEach(answered);
  const all = nudgeTimes();
  for (const { asked, attempts, medianMs, p95Ms } of all) {
    const times = `median ${medianMs.toFixed(1)} ms, 95th ${p95Ms.toFixed(1)} ms`;
    console.log(`  ${asked}, ${attempts} attempts before:`.padEnd(36), times);
  }
  const slowest = Math.max(...all.map(({ p95Ms }) => p95Ms));
  console.log(
    `  ${slowest <= WANTED_MS ? 'reached' : 'NOT REACHED'}: at most ${slowest.toFixed(1)} ms`,
  );
}

function answered(request: NudgeRequest): void {
  const answer = answerNudge(request);
  if (!answer.ok) throw new Error(answer.error);
}

function took(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

/** Every request has a palette of its own, so that nothing is remembered between them. */
export function nudgeTimes(runs = 60): NudgeTimes[] {
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
      times.push(took(() => answered(request)));
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
