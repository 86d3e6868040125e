/** What a nudging session starts from: a glaze to match, a pot that is off, and a palette as read. */
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import type { PalettePigment } from '../../src/paint/types.ts';
import { paintBox, USUAL_MAKE, type Make, type PaintBox, type Random } from './paint-truth.ts';

/** When the restorer stops by what is read; else nothing more suggested, or so many nudges, ends it. */
export type StopRule =
  | { readonly reads: number }
  /** The reading's own verdict: P(ΔE₀₀ ≤ threshold) ≥ 0.95. */
  | { readonly blendsAt: number }
  | 'nothing suggested';

export interface Conditions {
  /** Standard deviation of a dose, as a share of it, and of each amount of the first pot. */
  readonly doseError: number;
  readonly firstDoseError: number;
  /** Standard deviations on each axis of Lab: of a dab's or glaze's reading, and of the palette's. */
  readonly readingSigma: number;
  readonly paletteSigma: number;
  readonly stop: StopRule;
  readonly mostNudges: number;
  /** Standard deviation of ln light on the piece, misjudged alike for every dab and glaze of a session. */
  readonly lightSigma: number;
  /** Whether the glaze is known, read once for all, or read anew with every dab. */
  readonly glaze: 'known' | 'once' | 'each time';
  /** Whether earlier attempts are sent along, and with them how the glaze read beside each. */
  readonly history: 'none' | 'dabs' | 'dabs and glazes';
  /** Which suggestion is followed: the first, or the first of one pigment where there is one. */
  readonly follow: 'first' | 'single';
  /** Whether a dab is read once more where that is advised before stopping; the mean then counts. */
  readonly readsAgain: boolean;
  /** Whether a new pot is mixed where that is advised. */
  readonly startsAgain: boolean;
  readonly smallest: number;
  readonly largestGrowth: number;
  /** About what the pot weighs at the start, g. */
  readonly potGrams: number;
  /** Parts of white to one of pigment in the tints, and the share of pigments with no tint. */
  readonly tintParts: number;
  readonly untinted: number;
  readonly make: Make;
}
export const CONDITIONS: Conditions = {
  doseError: 0.15,
  firstDoseError: 0.15,
  readingSigma: 0.25,
  paletteSigma: 0.4,
  stop: { reads: 0.8 },
  mostNudges: 25,
  lightSigma: 0,
  glaze: 'known',
  history: 'dabs',
  follow: 'first',
  readsAgain: false,
  startsAgain: false,
  smallest: 0.002,
  largestGrowth: 0.8,
  potGrams: 5,
  tintParts: 9,
  untinted: 0,
  make: USUAL_MAKE,
};

/** Recipes of the families of targets, parts by mass. */
export const FAMILIES: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  'pale porcelain': { white: 100, ultramarine: 0.5, ochre: 1, black: 0.08 },
  'grey porcelain': { white: 100, cobalt: 3, umber: 0.5, black: 0.3 },
  celadon: { white: 100, viridian: 12, ochre: 8, umber: 2 },
  'deep cobalt': { white: 15, cobalt: 60, ultramarine: 25, black: 0.4 },
  'strong blue': { white: 100, phthalo: 5, ultramarine: 10, carbon: 0.3 },
  'iron red': { white: 10, ironred: 80, cadred: 15, umber: 8 },
  brown: { white: 40, umber: 60, ironred: 15, ochre: 30 },
  yellow: { white: 50, cadmium: 30, ironyellow: 15, ironred: 0.5 },
  turquoise: { white: 100, phthalo: 1.5, cobaltgreen: 30, hansa: 3 },
  rose: { white: 100, quinacridone: 2, cadred: 4, ochre: 2 },
  'odd paints': { white: 60, 'odd 1': 6, 'odd 2': 6, 'odd 3': 3 },
};
/** What else may lie on the bench. */
const OTHERS = [
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
  'odd 4',
];

export interface NudgeScene {
  readonly family: string;
  readonly box: PaintBox;
  readonly glazeLab: LabD65;
  /** The pot as written down, and as it really is, g. */
  readonly pot: Record<string, number>;
  readonly real: Record<string, number>;
}

/** A target, and a pot that is 5 to 15 ΔE₀₀ away from it. */
export function nudgeScene(random: Random, conditions: Conditions): NudgeScene {
  const { normal, uniform } = random;
  const names = Object.keys(FAMILIES);
  const family = names[Math.floor(uniform() * names.length)]!;
  const parts = Object.entries(FAMILIES[family]!);
  const ids = new Set([...parts.map(([id]) => id), ...OTHERS.filter(() => uniform() < 0.4)]);
  // Evenly over 5 to 15: left alone, small differences would be drawn most often. The start strays
  // further from the target the longer such a pot is not found.
  const wanted = 5 + 10 * uniform();
  for (let spread = 0.4; ; spread *= 1.01) {
    const box = paintBox([...ids], random, conditions.make);
    const target = parts.map(([id, part]) => [id, part * Math.exp(0.4 * normal())] as const);
    const glazeLab = box.labOf(Object.fromEntries(target));
    const start = target.map(([id, part], index) => {
      const forgotten = index > 1 && uniform() < 0.3;
      return [id, forgotten ? 0 : part * Math.exp(spread * normal())] as const;
    });
    const total = start.reduce((sum, [, part]) => sum + part, 0);
    const pot: Record<string, number> = {};
    const real: Record<string, number> = {};
    for (const [id, part] of start) {
      const grams = Number(((conditions.potGrams * part) / total).toFixed(3));
      if (grams < conditions.smallest) continue;
      pot[id] = grams;
      real[id] = grams * handed(conditions.firstDoseError, random);
    }
    const away = deltaE00(glazeLab, box.labOf(real));
    if (Math.abs(away - wanted) < 0.5) return { family, box, glazeLab, pot, real };
  }
}

/** The palette as the camera read it. */
export function readPalette(
  box: PaintBox,
  { paletteSigma, tintParts, untinted }: Conditions,
  random: Random,
): PalettePigment[] {
  return box.pigments.map(({ id, colourIndex }) => {
    const masstone = noisy(box.labOf({ [id]: 1 }), paletteSigma, random);
    if (id === 'white') return { id, colourIndex, isWhite: true, masstone };
    const lab = noisy(box.labOf({ [id]: 1, white: tintParts }), paletteSigma, random);
    if (untinted > 0 && random.uniform() < untinted) return { id, colourIndex, masstone };
    return { id, colourIndex, masstone, tint: { lab, pigment: 1, white: tintParts } };
  });
}

/** The factor by which a hand errs. */
export const handed = (error: number, { normal }: Random) => Math.max(0.2, 1 + error * normal());

/** A reading of a colour; nothing reads darker than black. */
export const noisy = ([L, a, b]: LabD65, sigma: number, { normal }: Random) =>
  labD65(Math.max(0, L + sigma * normal()), a + sigma * normal(), b + sigma * normal());
