/** One field and the dab's step, fitted robustly to the blocks under one belief about its roughness. */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import {
  COORDINATES,
  fieldTerms,
  LIGHT,
  priorDeviations,
  STEP,
  TERMS,
  termsOf,
  type Coordinate,
  type Roughness,
} from './field-terms.ts';
import { biweight, robustSigma } from './robust.ts';
import type { Block } from './field-terms.ts';

/** Neighbouring blocks share noise through codec and demosaicing: this many count as one. */
export const CORRELATED_BLOCKS = 2;
const CUT = 4.7;
/** Highlights only brighten: a bright outlier is let go sooner than a dark one. */
const BRIGHT_CUT = 3.5;
/** No block is known better than this: rounding to codes and what the codec smooths away. */
const FLOOR = 0.0012;
/** Noise of a clean picture’s block; in a noisier one glaze further off helps more than it misleads. */
const CLEAN = 0.003;
const PASSES = 7;
/** A field of light may fall, but not through zero: least share of what it was a pass ago. */
const LEAST_FALL = 0.3;

export type Noise = readonly [number, number, number];

export interface Solved {
  readonly blocks: readonly Block[];
  readonly roughness: Roughness;
  readonly coefficients: readonly [Float64Array, Float64Array, Float64Array];
  /** Log light taken as 0 by the field of the mean. */
  readonly reference: number;
  readonly weights: Float64Array;
  readonly residuals: readonly [Float64Array, Float64Array, Float64Array];
  readonly stepVariance: readonly [number, number, number];
  readonly evidence: number;
  readonly sigmas: Noise;
  /** Rows and targets of the last pass, for solving again with other weights. */
  readonly design: Design;
}

/** Linear rows of each coordinate, TERMS values a block, and what they should add up to. */
export interface Design {
  readonly rows: readonly [Float64Array, Float64Array, Float64Array];
  readonly targets: readonly [Float64Array, Float64Array, Float64Array];
}

/** Noise of a block in each coordinate from differences of neighbours: no field needed. */
export function blockNoise(blocks: readonly Block[]): Noise {
  const differences: [number[], number[], number[]] = [[], [], []];
  for (let i = 2; i < blocks.length; i++) {
    const [p, q, r] = [blocks[i - 2]!, blocks[i - 1]!, blocks[i]!];
    if (p.onDab !== r.onDab || q.onDab !== r.onDab || p.y !== r.y) continue;
    if (Math.min(p.fill, q.fill, r.fill) < 0.8) continue;
    // Second differences: a slope of light does not count as noise.
    for (const k of COORDINATES) {
      differences[k].push((p.log[k] - 2 * q.log[k] + r.log[k]) / Math.sqrt(6));
    }
  }
  return differences.map((d) =>
    Math.max(FLOOR, d.length > 8 ? robustSigma(d, 0) : 0),
  ) as unknown as Noise;
}

/** Fill and nearness, the latter the less strict the noisier the picture. */
export function blockWeights(blocks: readonly Block[], noise: Noise): Float64Array {
  const strict = Math.min(1, CLEAN / noise[0]);
  return Float64Array.from(
    blocks,
    ({ fill, nearness }) => fill / (1 + strict * (1 / Math.max(1e-3, nearness) - 1)),
  );
}

/**
 * @param basis smooth terms of each block, and how much of it the dab covers
 * @param own weight of each block before anything is known of its residual
 * @param start log light of the field at each block to start from, for a field smooth in light
 */
export function robustFit(
  blocks: readonly Block[],
  basis: Float64Array,
  own: Float64Array,
  roughness: Roughness,
  noise: Noise,
  start: Float64Array,
): Solved | undefined {
  const n = blocks.length;
  const priors = COORDINATES.map((k) => priorDeviations(roughness, k));
  const free = COORDINATES.map((k) => termsOf(roughness, k));
  const inLight = roughness.smoothIn === 'light';
  const reference = inLight ? referenceOf(blocks, start) : 0;
  const rows0 = inLight ? new Float64Array(n * TERMS) : basis;
  const rows12 = basis.slice();
  const targets = COORDINATES.map((k) => Float64Array.from(blocks, (b) => b.log[k]));
  const light = start.slice();
  let weights: Float64Array = Float64Array.from(blocks, (b) => b.trust);
  let sigmas: Noise = noise;
  let solutions: Solution[] = [];
  const residuals = [new Float64Array(n), new Float64Array(n), new Float64Array(n)] as const;
  const used = new Float64Array(n);
  for (let pass = 0; pass < PASSES; pass++) {
    for (let i = 0; i < n; i++) used[i] = (weights[i]! * own[i]!) / CORRELATED_BLOCKS;
    if (inLight) linearise(blocks, basis, light, reference, rows0, targets[0]!);
    const first = solve(rows0, targets[0]!, used, free[0]!, priors[0]!, sigmas[0]);
    if (!first) return undefined;
    updateLight(blocks, basis, first.coefficients, inLight, reference, light);
    const mean = lightMean(light, used);
    for (let i = 0; i < n; i++) {
      rows12[i * TERMS + LIGHT] = light[i]! - mean;
      residuals[0][i] =
        blocks[i]!.log[0] - light[i]! - basis[i * TERMS + STEP]! * first.coefficients[STEP]!;
    }
    solutions = [first];
    for (const k of [1, 2] as const) {
      const solution = solve(rows12, targets[k]!, used, free[k]!, priors[k]!, sigmas[k]);
      if (!solution) return undefined;
      solutions.push(solution);
      for (let i = 0; i < n; i++) {
        residuals[k][i] = targets[k]![i]! - fitted(rows12, i, solution.coefficients, free[k]!);
      }
    }
    ({ weights, sigmas } = reweighted(blocks, own, residuals, noise));
  }
  const mean = lightMean(light, used);
  const [a, b, c] = solutions as [Solution, Solution, Solution];
  // The light's own mean goes into the constant, so that the field can be asked anywhere.
  for (const { coefficients } of [b, c]) {
    coefficients[0] = coefficients[0]! - coefficients[LIGHT]! * mean;
  }
  return {
    blocks,
    roughness,
    reference,
    coefficients: [a.coefficients, b.coefficients, c.coefficients],
    weights,
    residuals,
    stepVariance: [a.stepVariance, b.stepVariance, c.stepVariance],
    evidence: evidence(blocks, own, residuals, noise, solutions),
    sigmas,
    design: {
      rows: [rows0, rows12, rows12],
      targets: targets as unknown as Design['targets'],
    },
  };
}

/** Log light and log ratios of the glaze at a place in ring radii. */
export function fieldAt(
  { coefficients, roughness, reference }: Solved,
  x: number,
  y: number,
  terms: Float64Array,
): [number, number, number] {
  fieldTerms(x, y, terms);
  const value = (k: Coordinate) => {
    let sum = 0;
    for (let t = 0; t < LIGHT; t++) sum += terms[t]! * coefficients[k][t]!;
    return sum;
  };
  const plain = value(0);
  const light =
    roughness.smoothIn === 'light' ? reference + Math.log(Math.max(0.02, plain)) : plain;
  return [
    light,
    value(1) + coefficients[1][LIGHT]! * light,
    value(2) + coefficients[2][LIGHT]! * light,
  ];
}

/** Log light of the field where the dab lies, or of its middle: what a field in light takes as 1. */
function referenceOf(blocks: readonly Block[], start: Float64Array): number {
  let nearest = 0;
  blocks.forEach((b, i) => {
    const other = blocks[nearest]!;
    if (Math.hypot(b.x, b.y) < Math.hypot(other.x, other.y)) nearest = i;
  });
  return start[nearest]!;
}

/** Gauss and Newton: ln f ≈ ln f₀ + f/f₀ − 1 makes a field in light linear in its terms. */
function linearise(
  blocks: readonly Block[],
  basis: Float64Array,
  light: Float64Array,
  reference: number,
  rows: Float64Array,
  target: Float64Array,
): void {
  blocks.forEach((block, i) => {
    const before = light[i]! - reference;
    const scale = Math.exp(-before);
    for (let t = 0; t < LIGHT; t++) rows[i * TERMS + t] = basis[i * TERMS + t]! * scale;
    rows[i * TERMS + STEP] = basis[i * TERMS + STEP]!;
    target[i] = block.log[0] - reference - before + 1;
  });
}

function updateLight(
  blocks: readonly Block[],
  basis: Float64Array,
  coefficients: Float64Array,
  inLight: boolean,
  reference: number,
  light: Float64Array,
): void {
  for (let i = 0; i < blocks.length; i++) {
    let value = 0;
    for (let t = 0; t < LIGHT; t++) value += basis[i * TERMS + t]! * coefficients[t]!;
    if (inLight) {
      const before = Math.exp(light[i]! - reference);
      light[i] = reference + Math.log(Math.max(LEAST_FALL * before, value));
    } else light[i] = value;
  }
}

function lightMean(light: Float64Array, weights: Float64Array): number {
  let sum = 0;
  let whole = 0;
  for (let i = 0; i < light.length; i++) {
    sum += weights[i]! * light[i]!;
    whole += weights[i]!;
  }
  return whole > 0 ? sum / whole : 0;
}

function fitted(
  rows: Float64Array,
  block: number,
  coefficients: Float64Array,
  free: readonly number[],
): number {
  let sum = 0;
  for (const t of free) sum += rows[block * TERMS + t]! * coefficients[t]!;
  return sum;
}

function reweighted(
  blocks: readonly Block[],
  own: Float64Array,
  residuals: Solved['residuals'],
  noise: Noise,
): { weights: Float64Array; sigmas: Noise } {
  // Ring and dab each by their own scatter: a dab of uneven thickness is not made of outliers.
  const scatter = (k: Coordinate, onDab: boolean) =>
    Math.max(
      noise[k],
      robustSigma(
        blocks.flatMap((b, i) =>
          b.onDab === onDab ? [residuals[k][i]! * Math.sqrt(own[i]!)] : [],
        ),
        0,
      ),
    );
  const sigmas = COORDINATES.map((k) => scatter(k, false)) as unknown as Noise;
  // In lightness little is allowed for: there, what stands out on the dab may be glare.
  const onDab = COORDINATES.map((k) =>
    Math.max(sigmas[k], Math.min(scatter(k, true), (k === 0 ? 1.5 : 4) * sigmas[k])),
  );
  const weights = Float64Array.from(blocks, (block, i) => {
    const root = Math.sqrt(own[i]!);
    const [mean, red, blue] = block.onDab ? onDab : sigmas;
    const lightness = (residuals[0][i]! * root) / mean;
    const colour = Math.hypot((residuals[1][i]! * root) / red, (residuals[2][i]! * root) / blue);
    const kept = biweight(lightness, lightness > 0 ? BRIGHT_CUT : CUT) * biweight(colour, CUT);
    return kept * Math.min(1, 2 * block.trust);
  });
  return { weights, sigmas };
}

/**
 * Log evidence with Tukey's bounded loss in place of the square, so that a rough field is not
 * rewarded for swallowing a highlight. The noise is the same for all fields.
 */
function evidence(
  blocks: readonly Block[],
  own: Float64Array,
  residuals: Solved['residuals'],
  noise: Noise,
  solutions: readonly Solution[],
): number {
  let loss = 0;
  blocks.forEach((block, i) => {
    for (const k of COORDINATES) {
      const u = (residuals[k][i]! * Math.sqrt(own[i]!)) / noise[k] / CUT;
      loss += block.trust * (CUT ** 2 / 6) * (Math.abs(u) >= 1 ? 1 : 1 - (1 - u * u) ** 3);
    }
  });
  return solutions.reduce((sum, s) => sum - 0.5 * s.occam, -loss / CORRELATED_BLOCKS);
}

interface Solution {
  /** All terms; those held at zero are zero. */
  readonly coefficients: Float64Array;
  readonly stepVariance: number;
  /** ln |Σ_prior| + ln |A|: the Occam factor of the evidence, times −2. */
  readonly occam: number;
}

/** Ridge solution of one coordinate: noise deviation `sigma`, prior deviation of each term. */
export function solve(
  rows: Float64Array,
  target: Float64Array,
  weights: Float64Array,
  free: readonly number[],
  prior: Float64Array,
  sigma: number,
): Solution | undefined {
  const m = free.length;
  const precision = 1 / (sigma * sigma);
  const normal = new Float64Array(m * m);
  const sums = new Float64Array(m);
  const row = new Float64Array(m);
  for (let i = 0; i < target.length; i++) {
    const w = weights[i]! * precision;
    if (w === 0) continue;
    for (let p = 0; p < m; p++) row[p] = rows[i * TERMS + free[p]!]!;
    for (let p = 0; p < m; p++) {
      const wp = w * row[p]!;
      if (wp === 0) continue;
      sums[p]! += wp * target[i]!;
      const at = p * m;
      for (let q = 0; q <= p; q++) normal[at + q]! += wp * row[q]!;
    }
  }
  const matrix = new Matrix(m, m);
  const right = new Matrix(m, 2);
  let occam = 0;
  for (let p = 0; p < m; p++) {
    const deviation = prior[free[p]!]!;
    occam += 2 * Math.log(deviation);
    for (let q = 0; q <= p; q++) {
      const v = normal[p * m + q]! + (p === q ? 1 / (deviation * deviation) : 0);
      matrix.set(p, q, v);
      matrix.set(q, p, v);
    }
    right.set(p, 0, sums[p]!);
  }
  const step = free.indexOf(STEP);
  right.set(step, 1, 1);
  const factor = new CholeskyDecomposition(matrix);
  if (!factor.isPositiveDefinite()) return undefined;
  const solution = factor.solve(right);
  const lower = factor.lowerTriangularMatrix;
  for (let p = 0; p < m; p++) occam += 2 * Math.log(lower.get(p, p));
  const coefficients = new Float64Array(TERMS);
  free.forEach((t, p) => (coefficients[t] = solution.get(p, 0)));
  return { coefficients, stepVariance: solution.get(step, 1), occam };
}
