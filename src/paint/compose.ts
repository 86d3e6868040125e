/** The composition of paints that is nearest to a glaze: which to lay down, and what to hint it with. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { Film, type Believed } from './film.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import { SURFACE } from './kubelka-munk.ts';
import { metricAt } from './metric.ts';
import { NARROW, searchRecipes, type Ground } from './search.ts';

export interface Composition {
  /** Share by mass of each pigment, in the order of the palette; sums to 1. */
  readonly shares: Float64Array;
  readonly lab: LabD65;
  readonly deltaE00: number;
}

/** How many paints are tried as the ground of the mix, beside the lightest. */
const GROUNDS = 2;
/** A composition this near, ΔE₀₀, is not bettered on another ground: nobody sees it. */
const NEAR_ENOUGH = 0.05;
/** From this ΔE₀₀ on the metric about the glaze misjudges. */
const FAR = 3;
/** What a mix of one paint fewer may be further off, ΔE₀₀. */
const PAINT_WORTH = 0.01;

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
  const nearest = grounds.reduce((a, b) => (b.deltaE00 < a.deltaE00 ? b : a));
  const pure = new Float64Array(pigments.length);
  pure[nearest.index] = 1;
  let best: Composition = { ...nearest, shares: pure };
  const seek = (metric: Float64Array) => {
    for (const { index, ground } of grounds) {
      if (best.deltaE00 < NEAR_ENOUGH) break;
      const others = among.filter((p) => p !== index);
      const found = composeOn(ground, index, others, glazeLab, metric, smallestShare);
      if (found && found.deltaE00 < best.deltaE00) best = found;
    }
  };
  seek(metricAt(glazeLab));
  if (best.deltaE00 > FAR) {
    // ΔE₀₀ weighs by the mean of its two colours.
    const [L, a, b] = best.lab;
    seek(metricAt(labD65((glazeLab[0] + L) / 2, (glazeLab[1] + a) / 2, (glazeLab[2] + b) / 2)));
  }
  return best;
}

/** The lightest paint, which most mixes begin with, and the few that are nearest. */
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
  return [...new Set([lightest, ...all.slice(0, GROUNDS)])];
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
  const film = new Film(SURFACE);
  for (let pass = 0; pass < 2; pass++) {
    const recipes = searchRecipes(ground, glazeLab, metric, SURFACE, {
      smallest: smallestShare * total,
      most: 60,
      potGrams: 1,
      dose: 0,
      growthCost: 0.001,
      pigments: others,
      beam: NARROW,
    });
    const mixes = recipes.map((recipe) => {
      const grams = new Float64Array(ground.pigments.length);
      grams[index] = 1;
      recipe.pigments.forEach((p, i) => (grams[p] = recipe.grams[i]!));
      const lab = film.colourOfGrams(ground.pigments, grams);
      const off = deltaE00(glazeLab, lab);
      const rank = Math.max(NEAR_ENOUGH, off) + PAINT_WORTH * recipe.pigments.length;
      return { grams, lab, deltaE00: off, rank };
    });
    if (mixes.length === 0) return undefined;
    // ΔE₀₀ itself chooses; of what nobody can tell apart the fewest paints.
    const { grams, lab, deltaE00: off } = mixes.reduce((a, b) => (b.rank < a.rank ? b : a));
    total = grams.reduce((sum, value) => sum + value, 0);
    const shares = grams.map((value) => value / total);
    if (shares.every((share) => share === 0 || share >= smallestShare * 0.999)) {
      return { shares, lab, deltaE00: off };
    }
  }
  return undefined;
}
