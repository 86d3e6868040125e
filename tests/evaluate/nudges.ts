/** Closed loop: a simulated restorer who doses by hand, reads by camera and follows the first nudge. */
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { nudge } from '../../src/paint/nudge.ts';
import type { NudgeRequest, PalettePigment } from '../../src/paint/types.ts';
import { paintBox, randomFrom, type PaintBox, type Random } from './paint-truth.ts';

export interface SessionSettings {
  readonly doseError: number;
  readonly firstDoseError: number;
  readonly readingSigma: number;
  readonly paletteSigma: number;
  readonly stopAt: number;
  readonly smallest: number;
  readonly most: number;
}
export const HAND: SessionSettings = {
  doseError: 0.15,
  firstDoseError: 0.15,
  readingSigma: 0.25,
  paletteSigma: 0.4,
  stopAt: 0.8,
  smallest: 0.002,
  most: 25,
};

/** Recipes of the families, parts by mass; first the pigments that must be there. */
const FAMILIES: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  porcelain: { white: 100, ultramarine: 0.5, ochre: 1, black: 0.08 },
  greyporcelain: { white: 100, cobalt: 3, umber: 0.5, black: 0.3 },
  celadon: { white: 100, viridian: 12, ochre: 8, umber: 2 },
  cobalt: { white: 15, cobalt: 60, ultramarine: 25, black: 0.4 },
  phthaloblue: { white: 100, phthalo: 5, ultramarine: 10, carbon: 0.3 },
  ironred: { white: 10, ironred: 80, cadred: 15, umber: 8 },
  brown: { white: 40, umber: 60, ironred: 15, ochre: 30 },
  yellow: { white: 50, cadmium: 30, ironyellow: 15, ironred: 0.5 },
  turquoise: { white: 100, phthalo: 1.5, cobaltgreen: 30, hansa: 3 },
  pink: { white: 100, quinacridone: 2, cadred: 4, ochre: 2 },
};
const EXTRA = [
  'black',
  'ultramarine',
  'ochre',
  'ironred',
  'chrome',
  'hansa',
  'cadmium',
  'umber',
  'quinacridone',
  'cobalt',
  'sienna',
];

export interface Step {
  readonly additions: Record<string, number>;
  readonly read: number;
  readonly truth: number;
  readonly grams: number;
}
export interface Session {
  readonly family: string;
  readonly start: number;
  readonly steps: Step[];
  readonly growth: number;
  readonly nudges: number;
  readonly success: boolean;
  readonly reason: string;
  readonly ms: number;
  readonly covered: number;
  readonly predictions: number;
}

function noisy(lab: LabD65, sigma: number, { normal }: Random): LabD65 {
  return labD65(lab[0] + sigma * normal(), lab[1] + sigma * normal(), lab[2] + sigma * normal());
}

function readPalette(box: PaintBox, sigma: number, random: Random): PalettePigment[] {
  return box.pigments.map(({ id, colourIndex }) => {
    const masstone = noisy(box.labOf({ [id]: 1 }), sigma, random);
    if (id === 'white') return { id, colourIndex, isWhite: true, masstone };
    const lab = noisy(box.labOf({ [id]: 1, white: 9 }), sigma, random);
    return { id, colourIndex, masstone, tint: { lab, pigment: 1, white: 9 } };
  });
}

export function session(seed: number, settings: SessionSettings = HAND): Session {
  const random = randomFrom(seed);
  const { normal, uniform } = random;
  const names = Object.keys(FAMILIES);
  const family = names[Math.floor(uniform() * names.length)]!;
  const recipe = FAMILIES[family]!;
  const ids = [...new Set([...Object.keys(recipe), ...EXTRA.filter(() => uniform() < 0.4)])];
  for (;;) {
    const box = paintBox(ids, random);
    const target = Object.fromEntries(
      Object.entries(recipe).map(([id, v]) => [id, v * Math.exp(0.4 * normal())]),
    );
    const glazeLab = box.labOf(target);
    const startParts = Object.fromEntries(
      Object.entries(target).map(([id, v], i) => [
        id,
        i > 1 && uniform() < 0.3 ? 0 : v * Math.exp(0.5 * normal()),
      ]),
    );
    const total = Object.values(startParts).reduce((s, v) => s + v, 0);
    const pot: Record<string, number> = {};
    const real: Record<string, number> = {};
    for (const [id, v] of Object.entries(startParts)) {
      const grams = Number(((5 * v) / total).toFixed(3));
      if (grams < settings.smallest) continue;
      pot[id] = grams;
      real[id] = grams * Math.max(0.2, 1 + settings.firstDoseError * normal());
    }
    const start = deltaE00(glazeLab, box.labOf(real));
    if (start < 5 || start > 15) continue;
    const palette = readPalette(box, settings.paletteSigma, random);
    const history: { pot: Record<string, number>; dabLab: LabD65 }[] = [];
    const steps: Step[] = [];
    const first = Object.values(pot).reduce((s, v) => s + v, 0);
    let reason = 'limit';
    let ms = 0;
    let covered = 0;
    let predictions = 0;
    let interval: readonly [number, number] | undefined;
    for (;;) {
      const dabLab = noisy(box.labOf(real), settings.readingSigma, random);
      const read = deltaE00(glazeLab, dabLab);
      const truth = deltaE00(glazeLab, box.labOf(real));
      const grams = Object.values(pot).reduce((s, v) => s + v, 0);
      if (interval) {
        predictions++;
        if (truth >= interval[0] && truth <= interval[1]) covered++;
      }
      steps.push({ additions: {}, read, truth, grams });
      if (read <= settings.stopAt) {
        reason = 'stop';
        break;
      }
      if (steps.length > settings.most) break;
      const request: NudgeRequest = {
        palette,
        pot: { ...pot },
        glazeLab,
        dabLab,
        history: [...history],
        smallest: settings.smallest,
        largestGrowth: 0.8,
      };
      const t0 = performance.now();
      const answer = nudge(request);
      ms = Math.max(ms, performance.now() - t0);
      if (!answer.ok) throw new Error(answer.error);
      const chosen = answer.suggestions[0];
      if (!chosen) {
        reason = `none: ${answer.reason ?? ''}`;
        break;
      }
      interval = chosen.predicted.interval95;
      history.push({ pot: { ...pot }, dabLab });
      Object.assign(steps.at(-1)!.additions, chosen.additions);
      for (const [id, g] of Object.entries(chosen.additions)) {
        pot[id] = (pot[id] ?? 0) + g;
        real[id] = (real[id] ?? 0) + g * Math.max(0.2, 1 + settings.doseError * normal());
      }
    }
    const last = steps.at(-1)!;
    return {
      family,
      start,
      steps,
      growth: last.grams / first,
      nudges: steps.length - 1,
      success: last.truth < 1,
      reason,
      ms,
      covered,
      predictions,
    };
  }
}
