/** The whole way to the glaze where one nudge is too short: what it takes in all, and its first step. */
import { searchRecipes, NARROW } from './search.ts';
import { SURFACE } from './kubelka-munk.ts';
import type { Judged } from './judge.ts';
import { metricAt } from './metric.ts';
import type { Standing } from './standing.ts';

/** ΔE₀₀ from which a nudge is held against the whole way. */
export const FAR = 1.5;
/** A pot that would have to grow by more than this is better started again. */
export const HOPELESS_GROWTH = 8;
/** What growth costs on the way, in ΔE₀₀² for each mass of the pot: little, or it would never be gone. */
const WAY_COST = 0.1;

export interface Way {
  /** Everything that is added on the way, judged as one. */
  readonly whole: Judged;
  /** Mass added in all over mass of the pot. */
  readonly growth: number;
}

/**
 * The way from the pot with `already` added (grams in the order of the palette), as if it could grow
 * without measure; undefined when nothing helps. `smallest` is what can be dosed, g.
 */
export function wayFrom(
  { request, belief, choice, potGrams, judge }: Standing,
  already: Float64Array,
  smallest = request.smallest,
): Way | undefined {
  const { glazeLab } = request;
  const ground = {
    ...belief,
    effective: belief.effective.map(
      (grams, p) => grams + already[p]! * belief.pigments[p]!.strength,
    ),
  };
  const recipe = searchRecipes(ground, glazeLab, metricAt(glazeLab), SURFACE, {
    smallest,
    most: HOPELESS_GROWTH * potGrams,
    potGrams,
    dose: 0,
    growthCost: WAY_COST,
    pigments: choice,
    beam: NARROW,
  })[0];
  if (!recipe) return undefined;
  const additions = already.slice();
  recipe.pigments.forEach((p, i) => (additions[p]! += recipe.grams[i]!));
  return {
    whole: judge(additions),
    growth: additions.reduce((sum, grams) => sum + grams, 0) / potGrams,
  };
}

/** As much of a way as `most` grams allow, all in proportion; what cannot be dosed waits. */
export function firstStep(additions: Float64Array, smallest: number, most: number): Float64Array {
  const total = additions.reduce((sum, grams) => sum + grams, 0);
  const part = Math.min(1, most / total);
  const step = additions.map((grams) => (grams * part >= smallest ? grams * part : 0));
  const added = step.reduce((sum, grams) => sum + grams, 0);
  // What waits leaves room for the others.
  const room = added > 0 ? Math.min(total, most) / added : 0;
  return step.map((grams) => grams * Math.min(room, 1 / part));
}
