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
import { coefficientSlopes, spectraAt, type Characterised } from './characterise.ts';
import { dosesOf, keptSince, type Dose, type PotOf } from './doses.ts';
import { Film, type Believed } from './film.ts';
import type { Saunderson } from './kubelka-munk.ts';
import { inLight, lightSlope } from './light.ts';
import { cholesky, solveCholesky, solveLower, timesTransposed } from './linear-algebra.ts';
import { TERMS } from './spectral-prior.ts';
import { logTintingStrength, tintingSlopes } from './tinting.ts';
import type { Strength } from './types.ts';

/** Standard deviations the estimate assumes. */
export interface Assumed {
  /** Of a reading, on each axis of Lab. */
  readonly reading: number;
  /** Of the logarithm of one added dose. */
  readonly dose: number;
  /** Of the logarithm of each amount of the pot as first recorded. */
  readonly firstDose: number;
  /** Of the logarithm of a pigment's strength as characterised, before any pot taught it. */
  readonly strength: number;
  /** Of the discrepancy between theory and paint, on each axis, far from any reading. */
  readonly discrepancy: number;
  /** How far in Lab two mixtures share their discrepancy. */
  readonly reach: number;
  /** Of ln light on the piece as a reading estimates it; all readings of a pot err alike. */
  readonly light: number;
}

export const ASSUMED: Assumed = {
  reading: 0.3,
  dose: 0.15,
  firstDose: 0.1,
  strength: 0.25,
  discrepancy: 1,
  reach: 15,
  light: 0.2,
};

/** A pot and its reading. */
export interface ReadPot extends PotOf {
  readonly lab: LabD65;
}

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
  /** The dab after `additions` grams (order of the palette, zeros allowed). */
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
/** A part of the discrepancy that two mixtures never share. */
const UNSHARED = 0.1;

/** `readings`: oldest first, the present pot last, at least one. */
export function learn(
  pigments: readonly Characterised[],
  strengths: readonly Strength[],
  readings: readonly ReadPot[],
  surface: Saunderson,
  assumed: Assumed = ASSUMED,
): Belief {
  const doses = dosesOf(readings, assumed);
  const kept = keptSince(readings);
  const active = [...new Set(doses.map((dose) => dose.pigment))].sort((a, b) => a - b);
  // Unknowns, all scaled to N(0, 1): per active pigment its coefficients and strength, then doses, then
  // the light.
  const terms = TERMS;
  const perPigment = terms + 1;
  const firstDose = active.length * perPigment;
  const lightAt = firstDose + doses.length;
  const n = lightAt + 1;
  const m = 3 * readings.length;
  const theory: LabD65[] = readings.map(({ lab }) => lab);

  const stateAt = (unknowns: Float64Array) => {
    const believed = pigments.map((pigment, index) => {
      const block = active.indexOf(index);
      const { logMean, logSd } = strengths[index]!;
      if (block < 0) return { K: pigment.K, S: pigment.S, strength: Math.exp(logMean) };
      const at = block * perPigment;
      const coefficients = Float64Array.from(pigment.coefficients);
      const { spread } = pigment;
      for (let j = 0; j < terms; j++) {
        const value = unknowns[at + j]!;
        for (let i = j; i < terms; i++) coefficients[i]! += value * spread[j * terms + i]!;
      }
      const strength = Math.exp(logMean + logSd * unknowns[at + TERMS]!);
      return { ...spectraAt(pigment.prior, coefficients), strength };
    });
    const given = doses.map(
      (dose, index) => dose.grams * Math.exp(dose.sigma * unknowns[firstDose + index]!),
    );
    return { believed, given, logLight: assumed.light * unknowns[lightAt]! };
  };
  type State = ReturnType<typeof stateAt>;

  /** Grams in the pot at attempt `index`, as dosed, times strength. */
  const effectiveAt = ({ believed, given }: State, index: number) => {
    const amounts = new Float64Array(pigments.length);
    doses.forEach((dose, d) => {
      if (dose.from > index) return;
      const grams = given[d]! * kept(dose.from, index);
      amounts[dose.pigment]! += grams * believed[dose.pigment]!.strength;
    });
    return amounts;
  };

  const film = new Film(surface);
  const misfitOf = (state: State) => {
    const misfit = new Float64Array(m);
    readings.forEach(({ lab }, t) => {
      theory[t] = inLight(film.colour(state.believed, effectiveAt(state, t)), state.logLight);
      for (let axis = 0; axis < 3; axis++) misfit[3 * t + axis] = lab[axis]! - theory[t][axis]!;
    });
    return misfit;
  };

  /** ∂Lab/∂unknowns of a mixture `amounts` at attempt `index`, 3 × n. */
  const slopesOf = (state: State, amounts: Float64Array, index: number, rows: Float64Array) => {
    const lit = inLight(film.colour(state.believed, amounts, true), state.logLight);
    for (const axis of [0, 1, 2] as const) {
      rows[axis * n + lightAt] = assumed.light * lightSlope(lit, axis);
    }
    active.forEach((p, block) => {
      if (!(amounts[p]! > 0)) return;
      film.share(state.believed[p]!, amounts[p]!);
      const at = block * perPigment;
      spreadSlopes(pigments[p]!, film, rows, n, at);
      for (let axis = 0; axis < 3; axis++) {
        const perLogMass = film.perLogMass(axis);
        rows[axis * n + at + TERMS] = strengths[p]!.logSd * perLogMass;
        doses.forEach((dose, d) => {
          if (dose.pigment !== p || dose.from > index) return;
          const grams = state.given[d]! * kept(dose.from, index);
          const share = (grams * state.believed[p]!.strength) / amounts[p]!;
          rows[axis * n + firstDose + d] = dose.sigma * share * perLogMass;
        });
      }
    });
  };

  const shared = (a: LabD65, b: LabD65) =>
    assumed.discrepancy ** 2 *
    Math.exp(
      -((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2) / (2 * assumed.reach ** 2),
    );

  const addNoise = (covariance: Float64Array) => {
    for (let s = 0; s < readings.length; s++) {
      for (let t = 0; t < readings.length; t++) {
        const k =
          shared(theory[s]!, theory[t]!) + (s === t ? assumed.reading ** 2 + UNSHARED ** 2 : 0);
        for (let axis = 0; axis < 3; axis++) covariance[(3 * s + axis) * m + 3 * t + axis]! += k;
      }
    }
    return covariance;
  };

  let unknowns = new Float64Array(n);
  let state = stateAt(unknowns);
  let misfit = misfitOf(state);
  const jacobian = new Float64Array(m * n);
  let factor: Float64Array;
  let weights: Float64Array;
  let chiSquare: number;
  let noise = cholesky(addNoise(new Float64Array(m * m)), m)!;
  const cost = (at: Float64Array, off: Float64Array) => {
    const white = solveLower(noise, m, Float64Array.from(off));
    return white.reduce((s, v) => s + v * v, 0) + at.reduce((s, v) => s + v * v, 0);
  };
  for (let iteration = 0; ; iteration++) {
    noise = cholesky(addNoise(new Float64Array(m * m)), m)!;
    const before = cost(unknowns, misfit);
    jacobian.fill(0);
    readings.forEach((_, t) => {
      slopesOf(state, effectiveAt(state, t), t, jacobian.subarray(3 * t * n, 3 * (t + 1) * n));
    });
    factor = cholesky(addNoise(timesTransposed(jacobian, m, jacobian, m, n)), m)!;
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
      const trialState = stateAt(trial);
      const trialMisfit = misfitOf(trialState);
      gain = before - cost(trial, trialMisfit);
      if (gain > 0) {
        unknowns = trial;
        state = trialState;
        misfit = trialMisfit;
        break;
      }
    }
    if (gain <= 0) misfit = misfitOf(state);
    if (gain < 1e-3) break;
  }

  const last = readings.length - 1;
  const effective = effectiveAt(state, last);
  const seen = theory.slice();
  const { logLight } = state;
  const discrepancyAt = (theoryLab: LabD65): LabD65 => {
    const lab = inLight(theoryLab, logLight);
    let L = 0;
    let a = 0;
    let b = 0;
    for (let t = 0; t < seen.length; t++) {
      const k = shared(lab, seen[t]!);
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

  const predict = (additions: Float64Array): Prediction => {
    const amounts = effective.map(
      (value, p) => value + additions[p]! * state.believed[p]!.strength,
    );
    const theoryLab = film.colour(state.believed, amounts);
    const mean = inLight(theoryLab, logLight);
    const shift = discrepancyAt(theoryLab);
    const lab = labD65(theoryLab[0] + shift[0], theoryLab[1] + shift[1], theoryLab[2] + shift[2]);
    const rows = new Float64Array(3 * n);
    slopesOf(state, amounts, last, rows);
    const covariance = timesTransposed(rows, 3, rows, 3, n);
    const across = timesTransposed(rows, 3, jacobian, m, n);
    const own = assumed.discrepancy ** 2 + UNSHARED ** 2;
    for (let axis = 0; axis < 3; axis++) covariance[4 * axis]! += own;
    seen.forEach((other, t) => {
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
    return { lab, covariance };
  };

  /** The hand's error in what is added, and what is unknown of pigments not yet in the pot. */
  const addDoseErrors = (
    covariance: Float64Array,
    additions: Float64Array,
    amounts: Float64Array,
  ) => {
    film.colour(state.believed, amounts, true);
    additions.forEach((grams, p) => {
      if (!(grams > 0)) return;
      film.share(state.believed[p]!, amounts[p]!);
      const share = (grams * state.believed[p]!.strength) / amounts[p]!;
      const slope = [0, 1, 2].map((axis) => film.perLogMass(axis));
      const isNew = !active.includes(p);
      const perMass = (share * assumed.dose) ** 2 + (isNew ? strengths[p]!.logSd ** 2 : 0);
      let open: Float64Array | undefined;
      if (isNew) spreadSlopes(pigments[p]!, film, (open = new Float64Array(3 * TERMS)), TERMS, 0);
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
  const strengthOf = (believed: Believed, p: number): Strength => {
    const block = active.indexOf(p);
    const { logSd } = strengths[p]!;
    const logMean = logTintingStrength(pigments[p]!, believed);
    if (block < 0) return { logMean, logSd };
    const along = new Float64Array(n);
    tintingSlopes(pigments[p]!, logSd, along.subarray(block * perPigment));
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
    pigments: state.believed,
    strengths: state.believed.map(strengthOf),
    effective,
    logLight,
    discrepancyAt,
    predict,
    surprise: {
      chiSquare,
      freedom: m,
      doses: doses.map((dose, d) => ({
        ...dose,
        believed: state.given[d]!,
        z: unknowns[firstDose + d]!,
      })),
    },
  };
}

/** No pot teaches a strength better than this: the next is stirred differently. */
const LEAST_SD = 0.02;

/** ∂Lab/∂(unit unknowns) of a pigment's open coefficients: the slopes turned by the spread. */
function spreadSlopes(
  pigment: Characterised,
  film: Film,
  rows: Float64Array,
  stride: number,
  column: number,
): void {
  const terms = TERMS;
  const plain = new Float64Array(3 * terms);
  coefficientSlopes(pigment.prior, film.shareK, film.shareS, film.slopes, plain, terms, 0);
  for (let axis = 0; axis < 3; axis++) {
    for (let j = 0; j < terms; j++) {
      let sum = 0;
      for (let i = j; i < terms; i++)
        sum += plain[axis * terms + i]! * pigment.spread[j * terms + i]!;
      rows[axis * stride + column + j] = sum;
    }
  }
}
