/**
 * How the light falls across the piece round the dab, and the step from glaze to dab that is left
 * when it is taken away.
 *
 * In log light the glaze in the ring is a smooth field and the dab is the same field plus a constant
 * step: ln c(p) = φ(p)·β + δ·[p on the dab]. Fitting both together lets the dab's own pixels say how
 * the light curves under it; only the step is left to the edge. The field is a polynomial with a
 * Gaussian prior on each order; the order is weighed by its evidence (MacKay 1992, “Bayesian
 * interpolation”, Neural Computation 4, eq. 2.6), and the spread between orders stays in the
 * covariance. Outliers (highlights, specks, edges) are rejected by Tukey's biweight.
 */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { biweight, robustSigma } from './robust.ts';
import type { LogTriple } from './log-window.ts';
import type { Matrix3 } from './types.ts';

/** A small block of like pixels: where it is, its mean log light, how many pixels it holds. */
export interface Block {
  /** Position relative to the dab's centre, in units of the ring's outer radius. */
  readonly x: number;
  readonly y: number;
  readonly log: LogTriple;
  readonly onDab: boolean;
  /** Pixels in the block over pixels of a full block, 0–1. */
  readonly fill: number;
  /** First guess of how likely it is glaze or dab at all, 0–1. */
  readonly trust: number;
}

export interface FieldFit {
  /** Log light of the glaze at the dab's centre. */
  readonly glaze: LogTriple;
  /** Step from glaze to dab in each log coordinate, and its covariance. */
  readonly step: LogTriple;
  readonly noise: Matrix3;
  /** Covariance from the choice of the field: the spread between orders. */
  readonly shading: Matrix3;
  /** Covariance from texture and all that varies round the dab: jackknife over sectors. */
  readonly texture: Matrix3;
  /** Final weight of each block, 0–1; 0 is rejected. */
  readonly weights: Float64Array;
  /** Residual of the mean log light of each block. */
  readonly residuals: Float64Array;
  /** Standard deviation of a full block's mean log light. */
  readonly sigma: number;
  /** Mean order of the field, by evidence. */
  readonly order: number;
  /** The part of each block's mean log light that the field's curvature makes. */
  readonly fieldRange: number;
}

/**
 * Prior standard deviation of the coefficients, by order, per ring radius: how steeply log light may
 * rise, bend and twist over a curved piece under a near lamp. The ratios bend far less: the lamp has
 * one colour.
 */
const PRIOR = {
  mean: [20, 0.8, 0.5, 0.25, 0.15],
  ratio: [20, 0.08, 0.05, 0.02, 0.01],
} as const;
const LARGEST_ORDER = 4;
const SECTORS = 8;
/** Neighbouring blocks share noise through codec and demosaicing: this many count as one. */
const CORRELATED_BLOCKS = 2;
const CUT = 4.7;
/** Highlights only brighten: a bright outlier is let go sooner than a dark one. */
const BRIGHT_CUT = 3.5;

interface Terms {
  readonly order: number;
  readonly count: number;
  /** Basis values, block after block. */
  readonly values: Float64Array;
  readonly orders: readonly number[];
}

/** Monomials up to `order`, then the dab's step, for each block. */
function terms(blocks: readonly Block[], order: number): Terms {
  const orders: number[] = [];
  for (let d = 0; d <= order; d++) for (let k = 0; k <= d; k++) orders.push(d);
  const count = orders.length + 1;
  const values = new Float64Array(blocks.length * count);
  blocks.forEach((block, i) => {
    let at = i * count;
    for (let d = 0; d <= order; d++) {
      for (let k = 0; k <= d; k++) values[at++] = block.x ** (d - k) * block.y ** k;
    }
    values[at] = block.onDab ? 1 : 0;
  });
  return { order, count, values, orders };
}

interface Solved {
  readonly coefficients: readonly [Float64Array, Float64Array, Float64Array];
  readonly weights: Float64Array;
  readonly residuals: Float64Array;
  readonly stepVariance: readonly [number, number, number];
  readonly evidence: number;
  readonly sigmas: readonly [number, number, number];
  readonly terms: Terms;
}

/** Fits field and step to the blocks; undefined when too few are left. */
export function fitShadingField(blocks: readonly Block[]): FieldFit | undefined {
  const ring = blocks.filter((b) => !b.onDab).length;
  if (ring < 12 || blocks.length - ring < 4) return undefined;
  const noise = blockNoise(blocks);
  const fits: Solved[] = [];
  let start = Float64Array.from(blocks, (b) => b.trust);
  for (let order = 1; order <= LARGEST_ORDER; order++) {
    if (blocks.length < 3 * ((order + 1) * (order + 2))) break;
    const fit = robustFit(blocks, terms(blocks, order), start, noise);
    if (!fit) break;
    fits.push(fit);
    start = fit.weights.map((w, i) => Math.max(w, 0.2 * blocks[i]!.trust));
  }
  if (fits.length === 0) return undefined;
  return combine(blocks, fits);
}

/** Noise of a block in each coordinate from differences of neighbours: no field needed. */
function blockNoise(blocks: readonly Block[]): [number, number, number] {
  const differences: [number[], number[], number[]] = [[], [], []];
  for (let i = 1; i < blocks.length; i++) {
    const p = blocks[i - 1]!;
    const q = blocks[i]!;
    if (p.onDab !== q.onDab || p.y !== q.y || Math.min(p.fill, q.fill) < 0.8) continue;
    for (let k = 0; k < 3; k++) differences[k]!.push((q.log[k]! - p.log[k]!) / Math.SQRT2);
  }
  return differences.map((d) => Math.max(FLOOR, d.length > 8 ? robustSigma(d) : 0)) as [
    number,
    number,
    number,
  ];
}
/** No block is known better than this: rounding to codes and what the codec smooths away. */
const FLOOR = 0.0012;

function robustFit(
  blocks: readonly Block[],
  basis: Terms,
  start: Float64Array,
  noise: readonly [number, number, number],
): Solved | undefined {
  let weights = Float64Array.from(start);
  let sigmas: [number, number, number] = [...noise];
  let coefficients: Float64Array[] = [];
  let inverse: number[] = [];
  let logDeterminant = 0;
  const n = blocks.length;
  const residuals = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  for (let pass = 0; pass < 12; pass++) {
    coefficients = [];
    inverse = [];
    logDeterminant = 0;
    for (let k = 0; k < 3; k++) {
      const solution = ridge(blocks, basis, weights, k as 0 | 1 | 2, sigmas[k]!);
      if (!solution) return undefined;
      coefficients.push(solution.coefficients);
      inverse.push(solution.stepVariance);
      logDeterminant += solution.logDeterminant;
      for (let i = 0; i < n; i++) {
        let fitted = 0;
        for (let t = 0; t < basis.count; t++) {
          fitted += basis.values[i * basis.count + t]! * solution.coefficients[t]!;
        }
        residuals[k]![i] = blocks[i]!.log[k]! - fitted;
      }
    }
    sigmas = [0, 1, 2].map((k) => {
      const kept: number[] = [];
      for (let i = 0; i < n; i++) {
        if (start[i]! > 0) kept.push(residuals[k]![i]! * Math.sqrt(blocks[i]!.fill));
      }
      return Math.max(noise[k]!, robustSigma(kept, 0));
    }) as [number, number, number];
    weights = Float64Array.from({ length: n }, (_, i) => {
      const root = Math.sqrt(blocks[i]!.fill);
      const lightness = (residuals[0]![i]! * root) / sigmas[0];
      const colour = Math.hypot(
        (residuals[1]![i]! * root) / sigmas[1],
        (residuals[2]![i]! * root) / sigmas[2],
      );
      return (
        biweight(lightness, lightness > 0 ? BRIGHT_CUT : CUT) *
        biweight(colour, CUT) *
        (start[i]! > 0 ? 1 : 0)
      );
    });
  }
  // Pseudo-likelihood with Tukey's bounded loss, so that an order is not rewarded for swallowing a
  // highlight; noise of the smallest scale seen is common to all orders.
  let loss = 0;
  for (let i = 0; i < n; i++) {
    if (!(start[i]! > 0)) continue;
    for (let k = 0; k < 3; k++) {
      const u = (residuals[k]![i]! * Math.sqrt(blocks[i]!.fill)) / noise[k]! / CUT;
      loss += (CUT ** 2 / 6) * (Math.abs(u) >= 1 ? 1 : 1 - (1 - u * u) ** 3);
    }
  }
  return {
    coefficients: coefficients as unknown as Solved['coefficients'],
    weights,
    residuals: residuals[0]!,
    stepVariance: inverse as unknown as Solved['stepVariance'],
    evidence: -loss / CORRELATED_BLOCKS - 0.5 * logDeterminant,
    sigmas,
    terms: basis,
  };
}

/** Weighted least squares with the prior of one coordinate; variance of the step; Occam factor. */
function ridge(
  blocks: readonly Block[],
  basis: Terms,
  weights: Float64Array,
  coordinate: 0 | 1 | 2,
  sigma: number,
): { coefficients: Float64Array; stepVariance: number; logDeterminant: number } | undefined {
  const { count, values, orders } = basis;
  const normal = Matrix.zeros(count, count);
  const right = Matrix.zeros(count, 1);
  const perBlock = 1 / (sigma * sigma * CORRELATED_BLOCKS);
  const a = normal.to1DArray();
  const h = new Float64Array(count);
  for (let i = 0; i < blocks.length; i++) {
    const w = weights[i]! * blocks[i]!.fill * perBlock;
    if (w === 0) continue;
    const row = i * count;
    const y = blocks[i]!.log[coordinate];
    for (let p = 0; p < count; p++) {
      const wp = w * values[row + p]!;
      h[p]! += wp * y;
      for (let q = 0; q <= p; q++) a[p * count + q]! += wp * values[row + q]!;
    }
  }
  const prior = coordinate === 0 ? PRIOR.mean : PRIOR.ratio;
  let priorLog = 0;
  for (let p = 0; p < count; p++) {
    const scale = p === count - 1 ? STEP_PRIOR : prior[orders[p]!]!;
    a[p * count + p]! += 1 / scale ** 2;
    priorLog += 2 * Math.log(scale);
    right.set(p, 0, h[p]!);
    for (let q = 0; q <= p; q++) {
      normal.set(p, q, a[p * count + q]!);
      normal.set(q, p, a[p * count + q]!);
    }
  }
  const factor = new CholeskyDecomposition(normal);
  if (!factor.isPositiveDefinite()) return undefined;
  const solution = factor.solve(right);
  const unit = Matrix.zeros(count, 1);
  unit.set(count - 1, 0, 1);
  const lower = factor.lowerTriangularMatrix;
  let logDeterminant = priorLog;
  for (let p = 0; p < count; p++) logDeterminant += 2 * Math.log(lower.get(p, p));
  return {
    coefficients: Float64Array.from(solution.to1DArray()),
    stepVariance: factor.solve(unit).get(count - 1, 0),
    logDeterminant,
  };
}
const STEP_PRIOR = 3;

function combine(blocks: readonly Block[], fits: readonly Solved[]): FieldFit {
  const most = Math.max(...fits.map((f) => f.evidence));
  const raw = fits.map((f) => Math.exp(f.evidence - most));
  const total = raw.reduce((s, v) => s + v, 0);
  const share = raw.map((v) => v / total);
  const stepOf = (f: Solved, k: number) => f.coefficients[k as 0 | 1 | 2][f.terms.count - 1]!;
  const glazeOf = (f: Solved, k: number) => f.coefficients[k as 0 | 1 | 2][0]!;
  const mix = (value: (f: Solved, k: number) => number): LogTriple =>
    [0, 1, 2].map((k) =>
      fits.reduce((s, f, j) => s + share[j]! * value(f, k), 0),
    ) as unknown as LogTriple;
  const step = mix(stepOf);
  const noise = diagonal(
    [0, 1, 2].map((k) => fits.reduce((s, f, j) => s + share[j]! * f.stepVariance[k]!, 0)),
  );
  const shading = zero3();
  fits.forEach((f, j) => {
    for (let p = 0; p < 3; p++) {
      for (let q = 0; q < 3; q++) {
        shading[p]![q]! += share[j]! * (stepOf(f, p) - step[p]!) * (stepOf(f, q) - step[q]!);
      }
    }
  });
  const best = fits[share.indexOf(Math.max(...share))]!;
  // The next order up and down, even when the evidence is against it, tells how far the step hangs
  // on the choice.
  const at = fits.indexOf(best);
  for (const other of [fits[at - 1], fits[at + 1]]) {
    if (!other) continue;
    const lean = other === fits[at + 1] ? 0.25 : 0.02;
    for (let p = 0; p < 3; p++) {
      for (let q = 0; q < 3; q++) {
        shading[p]![q]! +=
          lean * (stepOf(other, p) - stepOf(best, p)) * (stepOf(other, q) - stepOf(best, q));
      }
    }
  }
  return {
    glaze: mix(glazeOf),
    step,
    noise,
    shading: shading as unknown as Matrix3,
    texture: jackknife(blocks, best),
    weights: best.weights,
    residuals: best.residuals,
    sigma: best.sigmas[0],
    order: fits.reduce((s, f, j) => s + share[j]! * f.terms.order, 0),
    fieldRange: fieldRange(blocks, best),
  };
}

/** Delete-one-sector jackknife of the step: what differs round the dab shows up here. */
function jackknife(blocks: readonly Block[], fit: Solved): Matrix3 {
  const sector = blocks.map(
    (b) => Math.floor(((Math.atan2(b.y, b.x) + Math.PI) / (2 * Math.PI)) * SECTORS) % SECTORS,
  );
  const steps: number[][] = [];
  for (let s = 0; s < SECTORS; s++) {
    const weights = fit.weights.map((w, i) => (sector[i] === s ? 0 : w));
    const one: number[] = [];
    for (let k = 0; k < 3; k++) {
      const solution = ridge(blocks, fit.terms, weights, k as 0 | 1 | 2, fit.sigmas[k]!);
      if (solution) one.push(solution.coefficients[fit.terms.count - 1]!);
    }
    if (one.length === 3) steps.push(one);
  }
  const covariance = zero3();
  const n = steps.length;
  if (n < 2) return covariance as unknown as Matrix3;
  const mean = [0, 1, 2].map((k) => steps.reduce((sum, v) => sum + v[k]!, 0) / n);
  for (const v of steps) {
    for (let p = 0; p < 3; p++) {
      for (let q = 0; q < 3; q++) {
        covariance[p]![q]! += ((n - 1) / n) * (v[p]! - mean[p]!) * (v[q]! - mean[q]!);
      }
    }
  }
  return covariance as unknown as Matrix3;
}

function fieldRange(blocks: readonly Block[], fit: Solved): number {
  let least = Infinity;
  let most = -Infinity;
  const { count, values } = fit.terms;
  blocks.forEach((block, i) => {
    if (!block.onDab) return;
    let fitted = 0;
    for (let t = 0; t < count - 1; t++) {
      fitted += values[i * count + t]! * fit.coefficients[0][t]!;
    }
    least = Math.min(least, fitted);
    most = Math.max(most, fitted);
  });
  return most - least;
}

const zero3 = (): number[][] => [
  [0, 0, 0],
  [0, 0, 0],
  [0, 0, 0],
];
function diagonal(values: number[]): Matrix3 {
  const m = zero3();
  values.forEach((v, i) => (m[i]![i] = v));
  return m as unknown as Matrix3;
}
