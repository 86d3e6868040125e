/** What a set of additions is worth: the colour expected, its spread, and what the growth costs. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';
import type { Belief } from './belief.ts';
import { expectedSquare, metricAt } from './metric.ts';
import type { PreDilution } from './types.ts';

/** What growth by the pot's own mass costs, in ΔE₀₀²: the larger pot is paint to throw away. */
export const GROWTH_COST = 1;

/** What one more touch costs, in ΔE₀₀²: a hand likes few. */
export const TOUCH_COST = 0.1;

export interface Judged {
  /** Grams to add, in the order of the palette. */
  readonly additions: Float64Array;
  /** Of the additions, what is stirred together first; absent: nothing. */
  readonly preDiluted?: readonly PreDilution[];
  /** Expected colour of the dab, its covariance (3 × 3, row-major), and its ΔE₀₀ from the glaze. */
  readonly lab: LabD65;
  readonly covariance: Float64Array;
  readonly deltaE00: number;
  /** Expected ΔE₀₀². */
  readonly expected: number;
  /** The same plus the cost of growth and of each touch. */
  readonly cost: number;
}

export type Judge = (additions: Float64Array) => Judged;

/** Judges additions to a pot of `potGrams` against the glaze. */
export function judgeFor(belief: Belief, glazeLab: LabD65, potGrams: number): Judge {
  const metric = metricAt(glazeLab);
  return (additions) => {
    const { lab, covariance } = belief.predict(additions);
    const off = deltaE00(glazeLab, lab);
    const added = additions.reduce((sum, grams) => sum + grams, 0);
    const expected = off ** 2 + expectedSquare(metric, covariance);
    const touches = additions.filter((grams) => grams > 0).length;
    const cost = expected + (GROWTH_COST * added) / potGrams + TOUCH_COST * touches;
    return { additions, lab, covariance, deltaE00: off, expected, cost };
  };
}
