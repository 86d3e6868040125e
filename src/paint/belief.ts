/**
 * What the readings of a pot teach: the strength of each pigment, what is really in the pot, and how
 * far paint departs from the theory, all at once, as one maximum a posteriori estimate.
 *
 * Unknowns, each with its prior: ln strength of a pigment (log-normal); the spectral coefficients
 * that masstone and tint left open; the logarithm of every dose, as hands err; the logarithm of the
 * light on the piece, by which dab and glaze read lighter or darker together; and a smooth
 * discrepancy between theory and paint that neighbouring mixtures share (M. C. Kennedy, A. O'Hagan
 * 2001, “Bayesian calibration of computer models”, J. R. Stat. Soc. B 63(3), 425–464), by which a
 * predicted change is applied to the measured dab. Gauss–Newton in the space of the readings, which
 * are few, rather than of the unknowns, which are many.
 */
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { ASSUMED, type Assumed } from './assumed.ts';
import type { Characterised } from './characterise.ts';
import { addErrors, ownDiscrepancy, sharedDiscrepancy } from './discrepancy.ts';
import type { Dose } from './doses.ts';
import type { Believed } from './film.ts';
import type { Saunderson } from './kubelka-munk.ts';
import { inLight } from './light.ts';
import { cholesky, solveCholesky, solveLower, timesTransposed } from './linear-algebra.ts';
import { openSlopes, PotModel, type ReadPot } from './pot-model.ts';
import { TERMS } from './spectral-prior.ts';
import { logTintingStrength, tintingSlopes } from './tinting.ts';
import type { Strength } from './types.ts';

/** Lab that an addition is expected to lead to, and its covariance (3 × 3, row-major). */
export interface Prediction {
  readonly lab: LabD65;
  readonly covariance: Float64Array;
}

export interface Belief {
  readonly pigments: readonly Believed[];
  /** Tinting strength of each, relative to its characterisation. */
  readonly strengths: readonly Strength[];
  /** How surprising the readings are, and what each dose would have had to be. */
  readonly surprise: Surprise;
  /** What the pot is believed to hold, in grams times strength, in the order of the palette. */
  readonly effective: Float64Array;
  /** ln of the light on the piece over what the readings reckoned with. */
  readonly logLight: number;
  /** What a reading is expected to differ by from the Lab that the theory predicts. */
  readonly discrepancyAt: (theoryLab: LabD65) => LabD65;
  /** Lab of the dab after `additions` grams (order of the palette, zeros allowed). */
  readonly colourAfter: (additions: Float64Array) => LabD65;
  /** The same with its covariance. */
  readonly predict: (additions: Float64Array) => Prediction;
}

export interface Surprise {
  /** χ² of all readings under the belief before them, and its degrees of freedom. */
  readonly chiSquare: number;
  readonly freedom: number;
  /** Each dose as recorded, as believed in grams, and the difference in its standard deviations. */
  readonly doses: readonly (Dose & { readonly believed: number; readonly z: number })[];
}

const ITERATIONS = 12;
/**
 * No unknown strays further from its prior, in standard deviations: e²⁰ᐟ⁴ in strength is beyond any
 * paint, and readings that cannot be of one pot would run on until exp overflows.
 */
const FURTHEST = 20;

/** `readings`: oldest first, the present pot last, at least one. */
export function learn(
  pigments: readonly Characterised[],
  strengths: readonly Strength[],
  readings: readonly ReadPot[],
  surface: Saunderson,
  assumed: Assumed = ASSUMED,
): Belief {
  const model = new PotModel(pigments, strengths, readings, surface, assumed);
  const { n, doses, film } = model;
  const m = 3 * readings.length;
  const shared = (a: LabD65, b: LabD65) => sharedDiscrepancy(a, b, assumed);
  const misfitOf = (theory: readonly LabD65[]) => {
    const misfit = new Float64Array(m);
    readings.forEach(({ lab }, t) => {
      for (let axis = 0; axis < 3; axis++) misfit[3 * t + axis] = lab[axis]! - theory[t]![axis]!;
    });
    return misfit;
  };

  let unknowns = new Float64Array(n);
  let guess = model.guess(unknowns);
  let theory = model.foretold(guess);
  let misfit = misfitOf(theory);
  const jacobian = new Float64Array(m * n);
  let factor: Float64Array;
  let weights: Float64Array;
  let chiSquare: number;
  let noise: Float64Array;
  const cost = (at: Float64Array, off: Float64Array) => {
    const white = solveLower(noise, m, Float64Array.from(off));
    return white.reduce((s, v) => s + v * v, 0) + at.reduce((s, v) => s + v * v, 0);
  };
  for (let iteration = 0; ; iteration++) {
    noise = cholesky(addErrors(new Float64Array(m * m), theory, assumed), m)!;
    const before = cost(unknowns, misfit);
    jacobian.fill(0);
    readings.forEach((_, t) => {
      const rows = jacobian.subarray(3 * t * n, 3 * (t + 1) * n);
      model.slopes(guess, model.effectiveAt(guess, t), t, rows);
    });
    const spread = timesTransposed(jacobian, m, jacobian, m, n);
    factor = cholesky(addErrors(spread, theory, assumed), m)!;
    weights = Float64Array.from(misfit);
    for (let row = 0; row < m; row++) {
      for (let j = 0; j < n; j++) weights[row]! += jacobian[row * n + j]! * unknowns[j]!;
    }
    const seen = weights.slice();
    solveCholesky(factor, m, weights);
    chiSquare = seen.reduce((sum, value, row) => sum + value * weights[row]!, 0);
    if (iteration === ITERATIONS) break;
    const target = new Float64Array(n);
    for (let row = 0; row < m; row++) {
      for (let j = 0; j < n; j++) target[j]! += jacobian[row * n + j]! * weights[row]!;
    }
    let gain = 0;
    for (let step = 1; step > 0.05; step /= 2) {
      const trial = unknowns.map((value, j) =>
        Math.min(FURTHEST, Math.max(-FURTHEST, value + step * (target[j]! - value))),
      );
      const trialGuess = model.guess(trial);
      const trialTheory = model.foretold(trialGuess);
      const trialMisfit = misfitOf(trialTheory);
      gain = before - cost(trial, trialMisfit);
      if (gain > 0) {
        unknowns = trial;
        guess = trialGuess;
        theory = trialTheory;
        misfit = trialMisfit;
        break;
      }
    }
    if (gain < 1e-3) break;
  }

  const last = readings.length - 1;
  const effective = model.effectiveAt(guess, last);
  const { believed, logLight } = guess;
  const discrepancyAt = (theoryLab: LabD65): LabD65 => {
    const lab = inLight(theoryLab, logLight);
    let L = 0;
    let a = 0;
    let b = 0;
    for (let t = 0; t < theory.length; t++) {
      const k = shared(lab, theory[t]!);
      L += k * weights[3 * t]!;
      a += k * weights[3 * t + 1]!;
      b += k * weights[3 * t + 2]!;
    }
    return labD65(
      L + (lab[0] - theoryLab[0]),
      a + (lab[1] - theoryLab[1]),
      b + (lab[2] - theoryLab[2]),
    );
  };

  const amountsAfter = (additions: Float64Array) =>
    effective.map((value, p) => value + additions[p]! * believed[p]!.strength);
  const shifted = (theoryLab: LabD65) => {
    const [L, a, b] = discrepancyAt(theoryLab);
    return labD65(theoryLab[0] + L, theoryLab[1] + a, theoryLab[2] + b);
  };

  const predict = (additions: Float64Array): Prediction => {
    const amounts = amountsAfter(additions);
    const rows = new Float64Array(3 * n);
    const theoryLab = model.slopes(guess, amounts, last, rows);
    const mean = inLight(theoryLab, logLight);
    const covariance = timesTransposed(rows, 3, rows, 3, n);
    const across = timesTransposed(rows, 3, jacobian, m, n);
    const own = ownDiscrepancy(assumed);
    for (let axis = 0; axis < 3; axis++) covariance[4 * axis]! += own;
    theory.forEach((other, t) => {
      const k = shared(mean, other);
      for (let axis = 0; axis < 3; axis++) across[axis * m + 3 * t + axis]! += k;
    });
    const whitened = [0, 1, 2].map((axis) =>
      solveLower(factor, m, across.slice(axis * m, (axis + 1) * m)),
    );
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) {
        for (let k = 0; k < m; k++) covariance[3 * i + j]! -= whitened[i]![k]! * whitened[j]![k]!;
      }
    }
    addDoseErrors(covariance, additions, amounts);
    return { lab: shifted(theoryLab), covariance };
  };

  /**
   * The hand's error in what is added, and what is unknown of pigments not yet in the pot. The film holds
   * the slopes of `amounts`.
   */
  const addDoseErrors = (
    covariance: Float64Array,
    additions: Float64Array,
    amounts: Float64Array,
  ) => {
    additions.forEach((grams, p) => {
      if (!(grams > 0)) return;
      film.share(believed[p]!, amounts[p]!);
      const share = (grams * believed[p]!.strength) / amounts[p]!;
      const slope = [0, 1, 2].map((axis) => film.perLogMass(axis));
      const isNew = model.columnOf(p) === undefined;
      const perMass = (share * assumed.dose) ** 2 + (isNew ? strengths[p]!.logSd ** 2 : 0);
      let open: Float64Array | undefined;
      if (isNew) openSlopes(pigments[p]!, film, (open = new Float64Array(3 * TERMS)), TERMS, 0);
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) {
          let sum = perMass * slope[i]! * slope[j]!;
          if (open) {
            for (let k = 0; k < TERMS; k++) sum += open[i * TERMS + k]! * open[j * TERMS + k]!;
          }
          covariance[3 * i + j]! += sum;
        }
      }
    });
  };

  /** Tinting strength of a pigment and how well the readings tell it. */
  const strengthOf = (pigment: Believed, p: number): Strength => {
    const column = model.columnOf(p);
    const { logSd } = strengths[p]!;
    const logMean = logTintingStrength(pigments[p]!, pigment);
    if (column === undefined) return { logMean, logSd };
    const along = new Float64Array(n);
    tintingSlopes(pigments[p]!, logSd, along.subarray(column));
    const across = timesTransposed(along, 1, jacobian, m, n);
    const told = solveLower(factor, m, across).reduce((sum, value) => sum + value ** 2, 0);
    const before = along.reduce((sum, value) => sum + value ** 2, 0);
    // The spectra stay as open as the palette leaves them; the strength is known better by as much as
    // both together are.
    return {
      logMean,
      logSd: Math.max(LEAST_SD, logSd * Math.sqrt(Math.max(0, 1 - told / before))),
    };
  };

  return {
    pigments: believed,
    strengths: believed.map(strengthOf),
    effective,
    logLight,
    discrepancyAt,
    colourAfter: (additions) => shifted(film.colour(believed, amountsAfter(additions))),
    predict,
    surprise: {
      chiSquare,
      freedom: m,
      doses: doses.map((dose, d) => ({
        ...dose,
        believed: guess.given[d]!,
        z: unknowns[model.firstDose + d]!,
      })),
    },
  };
}

/** No pot teaches a strength better than this: the next is stirred differently. */
const LEAST_SD = 0.02;
