/**
 * The glaze and the dab as spectra: the dab from the same colourants in slightly other amounts, or
 * from other pigments altogether, brought to a wanted difference.
 */
import { colourant, mixed, type Colourant } from './colourants.ts';
import { differenceE00 } from './difference.ts';
import type { Part } from './lamps.ts';
import type { Random } from './random.ts';
import { labUnder, type Spectrum, type Triple } from './spectra.ts';

export type PigmentKind = 'same' | 'other';

interface GlazeRecipe {
  readonly name: string;
  readonly part: Part | 'both';
  /** Colourant, least and most amount against 1 of white body (`white` is always in it). */
  readonly stains: readonly (readonly [string, number, number])[];
}

/** Names as a catalogue of ware would have them; amounts invented. */
const GLAZES: readonly GlazeRecipe[] = [
  { name: 'porcelain white', part: 'both', stains: [['iron-reduced', 0.003, 0.02], ['cobalt', 0.0005, 0.006]] },
  { name: 'cream', part: 'both', stains: [['iron-red', 0.002, 0.012], ['tin-vanadium', 0.004, 0.03]] },
  { name: 'bluish grey', part: 'both', stains: [['cobalt', 0.01, 0.05], ['iron-black', 0.003, 0.02]] },
  { name: 'celadon', part: 'both', stains: [['iron-reduced', 0.06, 0.25], ['chrome', 0.002, 0.012]] },
  { name: 'pale blue', part: 'tune', stains: [['cobalt', 0.03, 0.12], ['copper', 0.01, 0.06]] },
  { name: 'rose', part: 'judge', stains: [['chrome-tin', 0.03, 0.15], ['iron-reduced', 0.01, 0.05]] },
  { name: 'lilac', part: 'judge', stains: [['erbium', 0.1, 0.5], ['manganese', 0.01, 0.06], ['cobalt', 0.005, 0.03]] },
  { name: 'cobalt blue', part: 'both', stains: [['cobalt', 0.4, 2.5], ['iron-black', 0.005, 0.04]] },
  { name: 'iron red', part: 'both', stains: [['iron-red', 0.5, 4], ['manganese', 0.01, 0.1]] },
  { name: 'tenmoku', part: 'both', stains: [['iron-black', 0.4, 3], ['iron-red', 0.4, 2]] },
  { name: 'yellow', part: 'tune', stains: [['tin-vanadium', 0.3, 1.5], ['iron-red', 0.003, 0.03]] },
  { name: 'imperial yellow', part: 'judge', stains: [['antimony', 0.25, 1.2], ['iron-reduced', 0.01, 0.1]] },
  { name: 'lemon', part: 'judge', stains: [['praseodymium', 0.4, 2], ['copper', 0.003, 0.03]] },
  { name: 'turquoise', part: 'both', stains: [['copper', 0.3, 2], ['cobalt', 0.002, 0.02]] },
  { name: 'manganese purple', part: 'both', stains: [['manganese', 0.2, 1.5], ['cobalt', 0.01, 0.1]] },
  { name: 'green', part: 'both', stains: [['chrome', 0.15, 1], ['copper', 0.1, 0.6]] },
  { name: 'olive', part: 'judge', stains: [['iron-reduced', 0.3, 1.2], ['chrome', 0.03, 0.15], ['iron-black', 0.02, 0.15]] },
  { name: 'honey', part: 'tune', stains: [['iron-red', 0.08, 0.5], ['iron-reduced', 0.1, 0.6]] },
  { name: 'mirror black', part: 'both', stains: [['iron-black', 3, 9], ['cobalt', 0.3, 1.5]] },
]; // prettier-ignore

const PAINTS: readonly string[] = [
  'red-oxide',
  'yellow-earth',
  'umber',
  'bone-black',
  'blue-cobalt',
  'ultramarine',
  'phthalo',
  'green-oxide',
  'viridian',
  'bright-yellow',
  'magenta',
  'orange-red',
];

type Mix = readonly (readonly [Colourant, number])[];

export interface ColourPair {
  readonly glazeName: string;
  readonly kind: PigmentKind;
  readonly glaze: Spectrum;
  readonly dab: Spectrum;
  readonly glazeMix: Mix;
  readonly dabMix: Mix;
  readonly deltaE00: number;
}

export interface PairWish {
  readonly kind: PigmentKind;
  /** ΔE₀₀ under the lamp; 0 gives the same spectrum. Reached closely, not exactly. */
  readonly deltaE00: number;
  /** Lightness of the glaze that is wanted. */
  readonly lightness: readonly [number, number];
}

function glazeMix(part: Part, recipe: GlazeRecipe, random: Random): Mix {
  return [
    [colourant(part, 'white'), 1] as const,
    ...recipe.stains.map(
      ([id, low, high]) => [colourant(part, id), random.logRange(low, high)] as const,
    ),
  ];
}

/** A glaze of any colour whose lightness under the lamp lies in the range (or the nearest of 60). */
export function inventGlaze(
  part: Part,
  lamp: Spectrum,
  [low, high]: readonly [number, number],
  random: Random,
): { readonly name: string; readonly mix: Mix; readonly lab: Triple } {
  const recipes = GLAZES.filter((recipe) => recipe.part === part || recipe.part === 'both');
  let best: { name: string; mix: Mix; lab: Triple; miss: number } | undefined;
  for (let attempt = 0; attempt < 60; attempt++) {
    const recipe = random.pick(recipes);
    const mix = glazeMix(part, recipe, random);
    const lab = labUnder(lamp, mixed(mix));
    const miss = Math.max(0, low - lab[0], lab[0] - high);
    if (!best || miss < best.miss) best = { name: recipe.name, mix, lab, miss };
    if (best.miss === 0) break;
  }
  return best!;
}

export function inventPair(part: Part, lamp: Spectrum, wish: PairWish, random: Random): ColourPair {
  const { name, mix, lab } = inventGlaze(part, lamp, wish.lightness, random);
  const start =
    wish.kind === 'same' || wish.deltaE00 === 0 ? mix : matched(part, lamp, mixed(mix), random);
  const dabMix = wish.deltaE00 === 0 ? mix : movedTo(wish.deltaE00, lamp, lab, start, random);
  const dab = mixed(dabMix);
  return {
    glazeName: name,
    kind: wish.deltaE00 === 0 ? 'same' : wish.kind,
    glaze: mixed(mix),
    dab,
    glazeMix: mix,
    dabMix,
    deltaE00: differenceE00(lab, labUnder(lamp, dab)),
  };
}

const scaled = (mix: Mix, logs: readonly number[], by: number): Mix =>
  mix.map(([c, amount], i) => [c, amount * Math.exp(by * logs[i]!)] as const);

/** Goes along random directions of changed amounts until the wanted difference is met. */
function movedTo(wanted: number, lamp: Spectrum, glaze: Triple, start: Mix, random: Random): Mix {
  const differenceOf = (mix: Mix) => differenceE00(glaze, labUnder(lamp, mixed(mix)));
  let best = start;
  let bestMiss = Math.abs(differenceOf(start) - wanted);
  for (let attempt = 0; attempt < 8 && bestMiss > 0.03 + 0.02 * wanted; attempt++) {
    const logs = start.map(() => random.gaussian());
    const startsAbove = differenceOf(start) > wanted;
    let [low, high] = [0, 2];
    for (let step = 0; step < 18; step++) {
      const by = (low + high) / 2;
      const mix = scaled(start, logs, by);
      const difference = differenceOf(mix);
      const miss = Math.abs(difference - wanted);
      if (miss < bestMiss) [best, bestMiss] = [mix, miss];
      if (difference > wanted === startsAbove) low = by;
      else high = by;
    }
  }
  return best;
}

/**
 * White, a black and three other paints fitted by a random pattern search: to the colour first, to
 * the spectrum a little, as a restorer who looks under more than one lamp would end up.
 */
function matched(part: Part, lamp: Spectrum, target: Spectrum, random: Random): Mix {
  const targetLab = labUnder(lamp, target);
  const care = random.range(6, 30);
  const costOf = (mix: Mix) => {
    const reflectance = mixed(mix);
    const squares = reflectance.reduce((sum, v, i) => sum + (v - target[i]!) ** 2, 0);
    const spectral = Math.sqrt(squares / target.length);
    return differenceE00(targetLab, labUnder(lamp, reflectance)) + care * spectral;
  };
  const chooses = (): Mix => {
    const chosen = new Set<string>(['white', random.pick(['bone-black', 'umber'])]);
    while (chosen.size < 5) chosen.add(random.pick(PAINTS));
    return [...chosen].map((id, i) => [
      colourant(part, id),
      i === 0 ? 1 : Math.exp(-4 + random.gaussian()),
    ]);
  };
  const sets = Array.from({ length: 8 }, () => improved(chooses(), costOf, 90, random));
  const best = sets.reduce((a, b) => (costOf(b) < costOf(a) ? b : a));
  return improved(best, costOf, 300, random);
}

/** Random steps of the amounts but the first, shorter after each that did not help. */
function improved(start: Mix, costOf: (mix: Mix) => number, tries: number, random: Random): Mix {
  let best = start;
  let cost = costOf(start);
  let step = 1.2;
  for (let i = 0; i < tries; i++) {
    const trial: Mix = best.map(([c, amount], j) => [
      c,
      j === 0 ? amount : Math.min(50, Math.max(1e-4, amount * Math.exp(step * random.gaussian()))),
    ]);
    const value = costOf(trial);
    if (value < cost) [best, cost] = [trial, value];
    else step = Math.max(0.015, step * 0.98);
  }
  return best;
}

/** Reflectances for thinner and thicker places: `count` steps from −1 to 1, the middle the mix itself. */
export function thicknessSteps(mix: Mix, amplitude: number, count: number): readonly Spectrum[] {
  return Array.from({ length: count }, (_, i) => {
    const by = amplitude * ((2 * i) / (count - 1) - 1);
    return mixed(
      mix.map(([c, amount], j) => [c, j === 0 ? amount : amount * Math.exp(by)] as const),
    );
  });
}
