/** The composition of paints that is nearest to a glaze: which to lay down, and what to hint it with. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import type { Believed } from './film.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import { SURFACE } from './kubelka-munk.ts';
import { metricAt } from './metric.ts';
import { colourOf, NARROW, searchRecipes, type Ground } from './search.ts';

export interface Composition {
  /** Share by mass of each pigment, in the order of the palette; sums to 1. */
  readonly shares: Float64Array;
  readonly lab: LabD65;
  readonly deltaE00: number;
}

/** How many paints are tried as the ground of the mix, beside the lightest. */
const GROUNDS = 2;

/**
 * The composition of pigments `among` nearest to the glaze with no share below `smallestShare`, laid
 * down on one of `mayBeGround`.
 */
export function compose(
  pigments: readonly Believed[],
  glazeLab: LabD65,
  smallestShare: number,
  among: readonly number[] = [...pigments.keys()],
  mayBeGround: readonly number[] = among,
): Composition {
  const grounds = groundsOf(pigments, glazeLab, mayBeGround);
  const pure = new Float64Array(pigments.length);
  pure[grounds[0]!.index] = 1;
  let best: Composition = { ...grounds[0]!, shares: pure };
  const metric = metricAt(glazeLab);
  for (const { index, ground } of grounds) {
    const others = among.filter((p) => p !== index);
    const found = composeOn(ground, index, others, glazeLab, metric, smallestShare);
    if (found && found.deltaE00 < best.deltaE00) best = found;
  }
  return best;
}

/** The lightest paint, which most mixes begin with, and the few that are nearest; nearest first. */
function groundsOf(pigments: readonly Believed[], glazeLab: LabD65, among: readonly number[]) {
  const all = among
    .map((index) => {
      const { K, S, strength } = pigments[index]!;
      const effective = new Float64Array(pigments.length);
      effective[index] = strength;
      const ground: Ground = { pigments, effective, discrepancyAt: () => labD65(0, 0, 0) };
      const lab = labOfOpaqueFilm(
        K.map((value, band) => value / S[band]!),
        SURFACE,
      );
      return { index, ground, lab, deltaE00: deltaE00(glazeLab, lab) };
    })
    .sort((a, b) => a.deltaE00 - b.deltaE00);
  const lightest = all.reduce((a, b) => (b.lab[0] > a.lab[0] ? b : a));
  return [...new Set([...all.slice(0, GROUNDS), lightest])];
}

/** The best composition on one ground; undefined when none has only shares that can be dosed. */
function composeOn(
  ground: Ground,
  index: number,
  others: readonly number[],
  glazeLab: LabD65,
  metric: Float64Array,
  smallestShare: number,
): Composition | undefined {
  // Masses here are per unit of the ground; once the total is known the smallest dose is too.
  let total = 1.5;
  for (let pass = 0; pass < 2; pass++) {
    const recipe = searchRecipes(ground, glazeLab, metric, SURFACE, {
      smallest: smallestShare * total,
      most: 60,
      potGrams: 1,
      dose: 0,
      growthCost: 0.001,
      pigments: others,
      beam: NARROW,
    })[0];
    if (!recipe) return undefined;
    const grams = new Float64Array(ground.pigments.length);
    recipe.pigments.forEach((p, i) => (grams[p] = recipe.grams[i]!));
    total = 1 + grams.reduce((sum, value) => sum + value, 0);
    const lab = colourOf(ground, SURFACE, grams);
    grams[index]! += 1;
    const shares = grams.map((value) => value / total);
    if (shares.every((share) => share === 0 || share >= smallestShare * 0.999)) {
      return { shares, lab, deltaE00: deltaE00(glazeLab, lab) };
    }
  }
  return undefined;
}
