/** From the camera's masstone and tint of a pigment to its K and S, and how well they are known. */
import { BANDS } from '../colour/grid.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import type { Saunderson } from './kubelka-munk.ts';
import { cholesky, solveCholesky, solveLower, timesTransposed } from './linear-algebra.ts';
import {
  K_TERMS,
  PIGMENT_PRIOR,
  S_TERMS,
  TERMS,
  WHITE_PRIOR,
  type SpectralPrior,
} from './spectral-prior.ts';
import type { PalettePigment, Tint } from './types.ts';

/** A pigment as the solver knows it. */
export interface Characterised {
  readonly id: string;
  readonly prior: SpectralPrior;
  /** MAP coefficients on the prior's basis. */
  readonly coefficients: Float64Array;
  /** K and S at those coefficients, relative to white's S. */
  readonly K: Float64Array;
  readonly S: Float64Array;
  /** TERMS × TERMS, row-major: Lᵀ of the posterior covariance LLᵀ of the coefficients. */
  readonly spread: Float64Array;
}

/** Standard deviation assumed of a palette reading on each axis, camera and film together. */
export const PALETTE_SIGMA = 0.6;

/** K and S at the given coefficients. */
export function spectraAt(
  prior: SpectralPrior,
  coefficients: Float64Array,
): { K: Float64Array; S: Float64Array } {
  const { basisK, basisS } = prior;
  const bands = BANDS;
  const K = Float64Array.from(prior.meanLnK);
  const S = Float64Array.from(prior.meanLnS);
  for (let j = 0; j < K_TERMS; j++) {
    const c = coefficients[j]!;
    for (let band = 0; band < bands; band++) K[band]! += c * basisK[j * bands + band]!;
  }
  for (let j = 0; j < S_TERMS; j++) {
    const c = coefficients[K_TERMS + j]!;
    for (let band = 0; band < bands; band++) S[band]! += c * basisS[j * bands + band]!;
  }
  for (let band = 0; band < bands; band++) {
    K[band] = Math.exp(K[band]!);
    S[band] = Math.exp(S[band]!);
  }
  return { K, S };
}

/**
 * ∂Lab/∂coefficients of one pigment in a mixture into `rows` (3 × stride, from `column`):
 * ln(K/S) of the mixture moves by the pigment's share of K and against its share of S.
 */
export function coefficientSlopes(
  prior: SpectralPrior,
  shareK: Float64Array,
  shareS: Float64Array,
  labSlopes: Float64Array,
  rows: Float64Array,
  stride: number,
  column: number,
): void {
  project(prior.basisK, K_TERMS, shareK, 1, labSlopes, rows, stride, column);
  project(prior.basisS, S_TERMS, shareS, -1, labSlopes, rows, stride, column + K_TERMS);
}

/** The three axes at once: one sum alone would wait for itself at every band. */
function project(
  basis: Float64Array,
  terms: number,
  share: Float64Array,
  sign: 1 | -1,
  labSlopes: Float64Array,
  rows: Float64Array,
  stride: number,
  column: number,
): void {
  const bands = BANDS;
  for (let j = 0; j < terms; j++) {
    let L = 0;
    let a = 0;
    let b = 0;
    for (let band = 0; band < bands; band++) {
      const part = share[band]! * basis[j * bands + band]!;
      L += labSlopes[band]! * part;
      a += labSlopes[bands + band]! * part;
      b += labSlopes[2 * bands + band]! * part;
    }
    rows[column + j] = sign * L;
    rows[stride + column + j] = sign * a;
    rows[2 * stride + column + j] = sign * b;
  }
}

/** Characterises the palette: the white first, then each pigment against it. */
export function characterise(
  palette: readonly PalettePigment[],
  surface: Saunderson,
): Characterised[] {
  const whiteEntry = palette.find((pigment) => pigment.isWhite);
  const white = whiteEntry && fit(whiteEntry, WHITE_PRIOR, undefined, surface);
  return palette.map((pigment) =>
    pigment === whiteEntry ? white! : fit(pigment, PIGMENT_PRIOR, white, surface),
  );
}

/** MAP by Gauss–Newton in observation space, steps halved while the misfit grows. */
function fit(
  pigment: PalettePigment,
  prior: SpectralPrior,
  white: Characterised | undefined,
  surface: Saunderson,
): Characterised {
  const films: Tint[] = [{ lab: pigment.masstone, pigment: 1, white: 0 }];
  if (pigment.tint && white) films.push(pigment.tint, ...(pigment.moreTints ?? []));
  const m = 3 * films.length;
  const bands = BANDS;
  const ones = new Float64Array(BANDS).fill(1);
  const labSlopes = new Float64Array(3 * BANDS);
  const kOverS = new Float64Array(BANDS);
  const shareK = new Float64Array(BANDS);
  const shareS = new Float64Array(BANDS);

  const evaluate = (coefficients: Float64Array) => {
    const { K, S } = spectraAt(prior, coefficients);
    const misfit = new Float64Array(m);
    const jacobian = new Float64Array(m * TERMS);
    films.forEach((film, index) => {
      for (let band = 0; band < bands; band++) {
        const whiteK = film.white ? film.white * white!.K[band]! : 0;
        const whiteS = film.white ? film.white * white!.S[band]! : 0;
        const k = film.pigment * K[band]! + whiteK;
        const s = film.pigment * S[band]! + whiteS;
        kOverS[band] = k / s;
        shareK[band] = (film.pigment * K[band]!) / k;
        shareS[band] = (film.pigment * S[band]!) / s;
      }
      const lab = labOfOpaqueFilm(kOverS, surface, labSlopes);
      for (let axis = 0; axis < 3; axis++) misfit[3 * index + axis] = film.lab[axis]! - lab[axis]!;
      coefficientSlopes(
        prior,
        film.white ? shareK : ones,
        film.white ? shareS : ones,
        labSlopes,
        jacobian.subarray(3 * index * TERMS),
        TERMS,
        0,
      );
    });
    const cost =
      misfit.reduce((sum, value) => sum + (value / PALETTE_SIGMA) ** 2, 0) +
      coefficients.reduce((sum, value) => sum + value ** 2, 0);
    return { coefficients, K, S, misfit, jacobian, cost };
  };

  let state = evaluate(new Float64Array(TERMS));
  for (let iteration = 0; iteration < 25; iteration++) {
    const { coefficients, jacobian, cost } = state;
    const factor = observationFactor(jacobian, m);
    const right = Float64Array.from(state.misfit);
    for (let row = 0; row < m; row++) {
      for (let j = 0; j < TERMS; j++) right[row]! += jacobian[row * TERMS + j]! * coefficients[j]!;
    }
    solveCholesky(factor, m, right);
    const target = new Float64Array(TERMS);
    for (let row = 0; row < m; row++) {
      for (let j = 0; j < TERMS; j++) target[j]! += jacobian[row * TERMS + j]! * right[row]!;
    }
    let improved = false;
    for (let step = 1; step > 0.01; step /= 2) {
      const trial = evaluate(coefficients.map((value, j) => value + step * (target[j]! - value)));
      if (trial.cost < cost) {
        improved = cost - trial.cost > 1e-4;
        state = trial;
        break;
      }
    }
    if (!improved) break;
  }
  const { coefficients, K, S, jacobian } = state;
  const spread = posteriorSpread(jacobian, m, observationFactor(jacobian, m));
  return { id: pigment.id, prior, coefficients, K, S, spread };
}

/** Cholesky factor of JJᵀ + σ²I, the covariance of the readings under the prior. */
function observationFactor(jacobian: Float64Array, m: number): Float64Array {
  const gram = timesTransposed(jacobian, m, jacobian, m, TERMS);
  for (let row = 0; row < m; row++) gram[row * m + row]! += PALETTE_SIGMA ** 2;
  return cholesky(gram, m)!;
}

/** Lᵀ of the posterior covariance I − Jᵀ(JJᵀ + σ²)⁻¹J. */
function posteriorSpread(jacobian: Float64Array, m: number, factor: Float64Array): Float64Array {
  const covariance = new Float64Array(TERMS * TERMS);
  for (let j = 0; j < TERMS; j++) covariance[j * TERMS + j] = 1;
  const columns = Array.from({ length: TERMS }, (_, j) =>
    solveLower(
      factor,
      m,
      Float64Array.from({ length: m }, (_, row) => jacobian[row * TERMS + j]!),
    ),
  );
  for (let i = 0; i < TERMS; i++) {
    for (let j = 0; j < TERMS; j++) {
      let sum = 0;
      for (let row = 0; row < m; row++) sum += columns[i]![row]! * columns[j]![row]!;
      covariance[i * TERMS + j]! -= sum;
    }
    covariance[i * TERMS + i]! += 1e-9;
  }
  const lower = cholesky(covariance, TERMS)!;
  const transposed = new Float64Array(TERMS * TERMS);
  for (let i = 0; i < TERMS; i++) {
    for (let j = 0; j <= i; j++) transposed[j * TERMS + i] = lower[i * TERMS + j]!;
  }
  return transposed;
}
