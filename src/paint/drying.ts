/**
 * How a dab's colour shifts as it dries and under the clear coat: learned from dabs that were read in
 * more than one state, as a Bayesian mean with a wide prior, each axis of CIELAB by itself.
 *
 * Unknown are three steps, wet → touch-dry → dry → coated; a dab read in two states tells the sum of
 * the steps between them. What one dab tells differs from the mean by its own scatter.
 */
export const FINISHES = ['matt', 'satin', 'gloss'] as const;
/** How a film dries: a matt surface scatters all of its surface light, a gloss one none. */
export type Finish = (typeof FINISHES)[number];

export const FILM_STATES = ['wet', 'touch-dry', 'dry', 'coated'] as const;
export type FilmState = (typeof FILM_STATES)[number];

/** The same dab read in two states: second less first, each against its own glaze, CIELAB D65/2°. */
export interface DriedPair {
  readonly from: FilmState;
  readonly to: FilmState;
  readonly shift: readonly [number, number, number];
}

export interface Shift {
  readonly lab: readonly [number, number, number];
  /** Standard deviation on each axis of what the next dab will do. */
  readonly sigma: readonly [number, number, number];
  /** Dabs that taught any of the steps between the two states. */
  readonly pairs: number;
}

const STEPS = 3;
/**
 * Before anything is learned. Acrylics usually dry darker, as the milky binder clears, and most of it
 * until touch-dry; a clear coat deepens: common practice, no source. Wide, so that a dab or two rule.
 */
const PRIOR_MEAN: readonly (readonly [number, number, number])[] = [
  [-1, 0, 0],
  [-0.3, 0, 0],
  [-0.5, 0, 0],
];
const PRIOR_SIGMA: readonly (readonly [number, number, number])[] = [
  [2, 1, 1.5],
  [1, 0.5, 0.8],
  [1.5, 0.7, 1],
];
/** Scatter of one dab about the mean, two readings' own errors included. */
const SCATTER: readonly [number, number, number] = [0.7, 0.5, 0.6];

export class Drying {
  /** By axis: mean and covariance (3 × 3, row-major) of the steps. */
  readonly #axes: readonly { readonly mean: Float64Array; readonly covariance: Float64Array }[];
  readonly #pairs: readonly DriedPair[];

  constructor(pairs: readonly DriedPair[]) {
    this.#pairs = pairs;
    this.#axes = [0, 1, 2].map((axis) => learned(pairs, axis as 0 | 1 | 2));
  }

  /** What a dab in one state is expected to do until another; the way back is the same, reversed. */
  shift(from: FilmState, to: FilmState): Shift {
    const steps = stepsBetween(from, to);
    const isNothing = steps.every((step) => step === 0);
    const each = <T>(of: (axis: 0 | 1 | 2) => T) => [of(0), of(1), of(2)] as const;
    return {
      lab: each((axis) => dot(steps, this.#axes[axis]!.mean)),
      sigma: each((axis) =>
        isNothing
          ? 0
          : Math.sqrt(quadratic(steps, this.#axes[axis]!.covariance) + SCATTER[axis] ** 2),
      ),
      pairs: this.#pairs.filter((pair) =>
        stepsBetween(pair.from, pair.to).some((on, step) => on !== 0 && steps[step] !== 0),
      ).length,
    };
  }
}

/** +1 for each step gone forward, −1 for each gone back. */
function stepsBetween(from: FilmState, to: FilmState): readonly number[] {
  const [a, b] = [FILM_STATES.indexOf(from), FILM_STATES.indexOf(to)];
  return Array.from({ length: STEPS }, (_, step) => {
    if (step >= a && step < b) return 1;
    return step >= b && step < a ? -1 : 0;
  });
}

/** Conjugate update, one observation after the other (the scalar Kalman step). */
function learned(pairs: readonly DriedPair[], axis: 0 | 1 | 2) {
  const mean = Float64Array.from(PRIOR_MEAN, (step) => step[axis]);
  const covariance = new Float64Array(STEPS * STEPS);
  PRIOR_SIGMA.forEach((step, i) => (covariance[i * STEPS + i] = step[axis] ** 2));
  for (const { from, to, shift } of pairs) {
    const steps = stepsBetween(from, to);
    if (steps.every((step) => step === 0)) continue;
    const along = steps.map((_, i) => dot(steps, covariance.subarray(i * STEPS, (i + 1) * STEPS)));
    const variance = dot(steps, along) + SCATTER[axis] ** 2;
    const surprise = shift[axis] - dot(steps, mean);
    for (let i = 0; i < STEPS; i++) mean[i]! += (along[i]! / variance) * surprise;
    for (let i = 0; i < STEPS; i++) {
      for (let j = 0; j < STEPS; j++) {
        covariance[i * STEPS + j]! -= (along[i]! * along[j]!) / variance;
      }
    }
  }
  return { mean, covariance };
}

function dot(p: ArrayLike<number>, q: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < STEPS; i++) sum += p[i]! * q[i]!;
  return sum;
}
function quadratic(steps: readonly number[], covariance: Float64Array): number {
  return dot(
    steps,
    steps.map((_, i) => dot(steps, covariance.subarray(i * STEPS, (i + 1) * STEPS))),
  );
}
