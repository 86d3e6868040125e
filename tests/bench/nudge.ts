/** How long a nudge over 16 pigments takes in the worker: characterising, learning, searching. */
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { nudge } from '../../src/paint/nudge.ts';
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

export interface NudgeTimes {
  /** Attempts already made with the pot. */
  readonly attempts: number;
  readonly medianMs: number;
  readonly p95Ms: number;
}

/** Every request has a palette of its own, so that nothing is remembered between them. */
export function benchNudge(runs = 30): NudgeTimes[] {
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
  return [0, 3, 8, 20].map((attempts) => {
    const times: number[] = [];
    for (let run = 0; run < runs; run++) {
      const pot: Record<string, number> = { white: 5, ultramarine: 0.05, ochre: 0.1, black: 0.01 };
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
        glazeLab: labD65(70, 3, 8),
        history,
        smallest: 0.002,
        largestGrowth: 0.8,
      };
      const start = performance.now();
      nudge(request);
      times.push(performance.now() - start);
    }
    times.sort((a, b) => a - b);
    return {
      attempts,
      medianMs: times[Math.floor(times.length / 2)]!,
      p95Ms: times[Math.floor(0.95 * times.length)]!,
    };
  });
}
