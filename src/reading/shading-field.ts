/**
 * How the light falls across the piece round the dab, and the step from glaze to dab that is left
 * when it is taken away.
 *
 * In log light the glaze in the ring is a smooth field and the dab is the same field plus a constant
 * step: ln c(p) = φ(p)·β + δ·[p on the dab]. Fitting both together lets the dab's own pixels say how
 * the light curves under it; only the step is left to the edge. The field is a quadratic plus a
 * smooth remainder, a grid of Gaussian bumps with a Gaussian prior (kriging of low rank: Cressie,
 * Johannesson 2008, J. R. Stat. Soc. B 70). How rough the remainder may be is weighed by its evidence
 * (MacKay 1992, “Bayesian interpolation”, Neural Computation 4, eq. 2.6), and the spread between the
 * weighed fields stays in the covariance. Outliers (highlights, specks, edges) are let go by Tukey's
 * biweight.
 */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { biweight, quantile, robustSigma } from './robust.ts';
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
  /** Weight by distance from the dab, 0–1: 1 on it. */
  readonly nearness: number;
  /** First guess of how likely it is glaze or dab at all, 0–1. */
  readonly trust: number;
}

export interface FieldFit {
  /** Log light of the glaze at the dab's centre. */
  readonly glaze: LogTriple;
  /** Step from glaze to dab in each log coordinate, and its covariance. */
  readonly step: LogTriple;
  readonly noise: Matrix3;
  /** Covariance from the choice of the field: the spread between fields of other roughness. */
  readonly shading: Matrix3;
  /** Covariance from texture and all that varies round the dab: jackknife over sectors. */
  readonly texture: Matrix3;
  /** Final weight of each block, 0–1; 0 is rejected. */
  readonly weights: Float64Array;
  /** Residual of the mean log light of each block. */
  readonly residuals: Float64Array;
  /** Standard deviation of a full block's mean log light. */
  readonly sigma: number;
  /** How far the glaze’s own log ratios drift from one side of the ring to the other, by the field. */
  readonly ratioDrift: number;
  /** Mean log light of the field, without the dab's step, at a place in ring radii. */
  readonly meanAt: (x: number, y: number) => number;
  /** Log light of the glaze at a place in ring radii, by the field that fits best. */
  readonly glazeAt: (x: number, y: number) => LogTriple;
}

/** How smooth a field is believed to be. Deviations of log light, per ring radius or per bump. */
interface Roughness {
  /** Prior standard deviation of constant, slopes and curvature, mean log light. */
  readonly quadratic: readonly [number, number, number];
  /** Prior standard deviation of each bump; 0: none. */
  readonly bump: number;
}

const QUADRATIC = [20, 1.2, 0.8] as const;
const STRAIGHT: Roughness = { quadratic: [20, 1.2, 0.02], bump: 0 };
const BENT: Roughness = { quadratic: QUADRATIC, bump: 0 };
const ROUGHNESSES: readonly Roughness[] = [
  STRAIGHT,
  BENT,
  ...[0.01, 0.03, 0.1, 0.3].map((bump) => ({ quadratic: QUADRATIC, bump })),
];
/** The lamp has one colour: log ratios vary this much less than the mean. */
const RATIO_SHARE = 0.1;
/** Spacing of the bumps in ring radii; their standard deviation is as wide. */
const SPACING = 0.36;
const SECTORS = 8;
/** Neighbouring blocks share noise through codec and demosaicing: this many count as one. */
const CORRELATED_BLOCKS = 2;
const CUT = 4.7;
/** Highlights only brighten: a bright outlier is let go sooner than a dark one. */
const BRIGHT_CUT = 3.5;
const STEP_PRIOR = 3;
/** No block is known better than this: rounding to codes and what the codec smooths away. */
const FLOOR = 0.0012;

type Coordinate = 0 | 1 | 2;
const COORDINATES: readonly Coordinate[] = [0, 1, 2];

/** Centres of the bumps: a hexagonal grid over the disc. */
const KNOTS: readonly (readonly [number, number])[] = (() => {
  const knots: [number, number][] = [];
  const rise = (SPACING * Math.sqrt(3)) / 2;
  for (let row = -4; row <= 4; row++) {
    for (let col = -4; col <= 4; col++) {
      const x = (col + (row % 2 === 0 ? 0 : 0.5)) * SPACING;
      const y = row * rise;
      if (Math.hypot(x, y) < 1.15) knots.push([x, y]);
    }
  }
  return knots;
})();
const SMOOTH_TERMS = 6 + KNOTS.length;
/** Field terms, then the dab's step. */
const TERMS = SMOOTH_TERMS + 1;

function fieldTerms(x: number, y: number, into: Float64Array, at: number): void {
  into[at] = 1;
  into[at + 1] = x;
  into[at + 2] = y;
  into[at + 3] = x * x;
  into[at + 4] = x * y;
  into[at + 5] = y * y;
  KNOTS.forEach(([kx, ky], k) => {
    into[at + 6 + k] = Math.exp(-((x - kx) ** 2 + (y - ky) ** 2) / (2 * SPACING * SPACING));
  });
}

/** Which terms a roughness lets vary, and how much. */
function priorDeviations(roughness: Roughness, coordinate: Coordinate): Float64Array {
  const share = coordinate === 0 ? 1 : RATIO_SHARE;
  const [constant, slope, curvature] = roughness.quadratic;
  const deviations = new Float64Array(TERMS).fill(roughness.bump * share);
  deviations[0] = constant;
  deviations.fill(slope * share, 1, 3);
  deviations.fill(curvature * share, 3, 6);
  deviations[TERMS - 1] = STEP_PRIOR;
  return deviations;
}

interface Solved {
  readonly coefficients: readonly [Float64Array, Float64Array, Float64Array];
  readonly weights: Float64Array;
  readonly residuals: readonly [Float64Array, Float64Array, Float64Array];
  readonly stepVariance: readonly [number, number, number];
  readonly evidence: number;
  readonly sigmas: readonly [number, number, number];
  readonly roughness: Roughness;
}

/** Fits a quadratic field only, robustly: a first look, before highlights are known. */
export function fitBentField(blocks: readonly Block[]): FieldFit | undefined {
  return fitAmong(blocks, [BENT]);
}

/** Fits field and step to the blocks; undefined when too few are left. */
export function fitShadingField(blocks: readonly Block[]): FieldFit | undefined {
  return fitAmong(blocks, ROUGHNESSES);
}

/** A field good enough to draw the dab's outline by: fewer roughnesses to choose from. */
export function fitFieldForOutline(blocks: readonly Block[]): FieldFit | undefined {
  return fitAmong(blocks, [BENT, ROUGHNESSES[3]!, ROUGHNESSES[4]!]);
}

/** Fits the field of the glaze alone: no block is on a dab, and the step is 0. */
export function fitGlazeField(blocks: readonly Block[]): FieldFit | undefined {
  return fitAmong(blocks, ROUGHNESSES, 0);
}

function fitAmong(
  blocks: readonly Block[],
  roughnesses: readonly Roughness[],
  leastOnDab = 4,
): FieldFit | undefined {
  const ring = blocks.filter((b) => !b.onDab).length;
  if (ring < 12 || blocks.length - ring < leastOnDab) return undefined;
  const basis = new Float64Array(blocks.length * TERMS);
  blocks.forEach((block, i) => {
    fieldTerms(block.x, block.y, basis, i * TERMS);
    basis[i * TERMS + TERMS - 1] = block.onDab ? 1 : 0;
  });
  const noise = blockNoise(blocks);
  const fits: Solved[] = [];
  for (const roughness of roughnesses) {
    const fit = robustFit(blocks, basis, roughness, noise);
    if (fit) fits.push(fit);
  }
  return fits.length === 0 ? undefined : combine(blocks, basis, fits);
}

/** Noise of a block in each coordinate from differences of neighbours: no field needed. */
function blockNoise(blocks: readonly Block[]): [number, number, number] {
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
  return differences.map((d) => Math.max(FLOOR, d.length > 8 ? robustSigma(d, 0) : 0)) as [
    number,
    number,
    number,
  ];
}

const weightOf = (block: Block): number => block.fill * block.nearness;

function robustFit(
  blocks: readonly Block[],
  basis: Float64Array,
  roughness: Roughness,
  noise: readonly [number, number, number],
): Solved | undefined {
  const n = blocks.length;
  const priors = COORDINATES.map((k) => priorDeviations(roughness, k));
  let weights = Float64Array.from(blocks, (b) => b.trust);
  let sigmas: [number, number, number] = [...noise];
  let solutions: Solution[] = [];
  const residuals = [new Float64Array(n), new Float64Array(n), new Float64Array(n)] as const;
  const free = freeTerms(roughness);
  for (let pass = 0; pass < 8; pass++) {
    const normal = normalEquations(blocks, basis, weights, free);
    solutions = [];
    for (const k of COORDINATES) {
      const solution = solve(normal, k, priors[k]!, sigmas[k], free);
      if (!solution) return undefined;
      solutions.push(solution);
      for (let i = 0; i < n; i++) {
        let fitted = 0;
        for (const t of free) fitted += basis[i * TERMS + t]! * solution.coefficients[t]!;
        residuals[k][i] = blocks[i]!.log[k] - fitted;
      }
    }
    // Ring and dab each by their own scatter: a dab of uneven thickness is not made of outliers.
    const scatter = (k: Coordinate, onDab: boolean) =>
      Math.max(
        noise[k],
        robustSigma(
          blocks.flatMap((b, i) =>
            b.onDab === onDab ? [residuals[k][i]! * Math.sqrt(weightOf(b))] : [],
          ),
          0,
        ),
      );
    sigmas = COORDINATES.map((k) => scatter(k, false)) as [number, number, number];
    // In lightness little is allowed for: there, what stands out on the dab may be glare.
    const onDab = COORDINATES.map((k) =>
      Math.max(sigmas[k], Math.min(scatter(k, true), (k === 0 ? 1.5 : 4) * sigmas[k])),
    );
    weights = Float64Array.from(blocks, (block, i) => {
      const root = Math.sqrt(weightOf(block));
      const [mean, red, blue] = block.onDab ? onDab : sigmas;
      const lightness = (residuals[0][i]! * root) / mean!;
      const colour = Math.hypot(
        (residuals[1][i]! * root) / red!,
        (residuals[2][i]! * root) / blue!,
      );
      const kept = biweight(lightness, lightness > 0 ? BRIGHT_CUT : CUT) * biweight(colour, CUT);
      return kept * Math.min(1, 2 * block.trust);
    });
  }
  return {
    coefficients: solutions.map((s) => s.coefficients) as unknown as Solved['coefficients'],
    weights,
    residuals,
    stepVariance: solutions.map((s) => s.stepVariance) as unknown as Solved['stepVariance'],
    evidence: evidence(blocks, residuals, noise, solutions),
    sigmas,
    roughness,
  };
}

/**
 * Log evidence with Tukey's bounded loss in place of the square, so that a rough field is not
 * rewarded for swallowing a highlight. The noise is the same for all fields.
 */
function evidence(
  blocks: readonly Block[],
  residuals: Solved['residuals'],
  noise: readonly [number, number, number],
  solutions: readonly Solution[],
): number {
  let loss = 0;
  blocks.forEach((block, i) => {
    for (const k of COORDINATES) {
      const u = (residuals[k][i]! * Math.sqrt(weightOf(block))) / noise[k] / CUT;
      loss += block.trust * (CUT ** 2 / 6) * (Math.abs(u) >= 1 ? 1 : 1 - (1 - u * u) ** 3);
    }
  });
  return solutions.reduce((sum, s) => sum - 0.5 * s.occam, -loss / CORRELATED_BLOCKS);
}

const freeTerms = (roughness: Roughness): readonly number[] =>
  Array.from({ length: TERMS }, (_, t) => t).filter(
    (t) => t < 6 || t === TERMS - 1 || roughness.bump > 0,
  );

interface Normal {
  readonly matrix: Float64Array;
  readonly right: readonly [Float64Array, Float64Array, Float64Array];
}

function normalEquations(
  blocks: readonly Block[],
  basis: Float64Array,
  weights: Float64Array,
  free: readonly number[],
): Normal {
  const m = free.length;
  const matrix = new Float64Array(m * m);
  const right = [new Float64Array(m), new Float64Array(m), new Float64Array(m)] as const;
  const row = new Float64Array(m);
  for (let i = 0; i < blocks.length; i++) {
    const block = blocks[i]!;
    const w = (weights[i]! * weightOf(block)) / CORRELATED_BLOCKS;
    if (w === 0) continue;
    for (let p = 0; p < m; p++) row[p] = basis[i * TERMS + free[p]!]!;
    for (let p = 0; p < m; p++) {
      const wp = w * row[p]!;
      if (wp === 0) continue;
      right[0][p]! += wp * block.log[0];
      right[1][p]! += wp * block.log[1];
      right[2][p]! += wp * block.log[2];
      const at = p * m;
      for (let q = 0; q <= p; q++) matrix[at + q]! += wp * row[q]!;
    }
  }
  return { matrix, right };
}

interface Solution {
  /** All terms; those held at zero are zero. */
  readonly coefficients: Float64Array;
  readonly stepVariance: number;
  /** ln |Σ_prior| + ln |A|: the Occam factor of the evidence, times −2. */
  readonly occam: number;
}

/** Ridge solution of one coordinate: noise deviation `sigma`, prior deviation of each term. */
function solve(
  normal: Normal,
  coordinate: Coordinate,
  prior: Float64Array,
  sigma: number,
  free: readonly number[],
): Solution | undefined {
  const m = free.length;
  const precision = 1 / (sigma * sigma);
  const matrix = new Matrix(m, m);
  const right = new Matrix(m, 2);
  let occam = 0;
  for (let p = 0; p < m; p++) {
    const deviation = prior[free[p]!]!;
    occam += 2 * Math.log(deviation);
    for (let q = 0; q <= p; q++) {
      const v = normal.matrix[p * m + q]! * precision + (p === q ? 1 / (deviation * deviation) : 0);
      matrix.set(p, q, v);
      matrix.set(q, p, v);
    }
    right.set(p, 0, normal.right[coordinate][p]! * precision);
  }
  right.set(m - 1, 1, 1);
  const factor = new CholeskyDecomposition(matrix);
  if (!factor.isPositiveDefinite()) return undefined;
  const solution = factor.solve(right);
  const lower = factor.lowerTriangularMatrix;
  for (let p = 0; p < m; p++) occam += 2 * Math.log(lower.get(p, p));
  const coefficients = new Float64Array(TERMS);
  free.forEach((t, p) => (coefficients[t] = solution.get(p, 0)));
  return { coefficients, stepVariance: solution.get(m - 1, 1), occam };
}

function combine(blocks: readonly Block[], basis: Float64Array, fits: readonly Solved[]): FieldFit {
  const most = Math.max(...fits.map((f) => f.evidence));
  const raw = fits.map((f) => Math.exp(f.evidence - most));
  const total = raw.reduce((s, v) => s + v, 0);
  const share = raw.map((v) => v / total);
  const stepOf = (f: Solved, k: Coordinate) => f.coefficients[k][TERMS - 1]!;
  const mix = (value: (f: Solved, k: Coordinate) => number): LogTriple =>
    COORDINATES.map((k) =>
      fits.reduce((s, f, j) => s + share[j]! * value(f, k), 0),
    ) as unknown as LogTriple;
  const step = mix(stepOf);
  const origin = new Float64Array(TERMS);
  fieldTerms(0, 0, origin, 0);
  const glaze = mix((f, k) =>
    f.coefficients[k].reduce((sum, c, t) => (t === TERMS - 1 ? sum : sum + c * origin[t]!), 0),
  );
  const variances = mix((f, k) => f.stepVariance[k]);
  const best = fits[share.indexOf(Math.max(...share))]!;
  const valueAtOrigin = (k: Coordinate) => {
    let value = 0;
    for (let t = 0; t < TERMS - 1; t++) value += origin[t]! * best.coefficients[k][t]!;
    return value;
  };
  const at = (x: number, y: number, k: Coordinate) => {
    fieldTerms(x, y, origin, 0);
    return valueAtOrigin(k);
  };
  return {
    glaze,
    step,
    noise: diagonal(variances),
    shading: spreadOf(fits, share, step, best, stepOf),
    texture: jackknife(blocks, basis, best),
    weights: best.weights,
    residuals: best.residuals[0],
    sigma: best.sigmas[0],
    ratioDrift: ratioDrift(blocks, basis, best),
    meanAt: (x, y) => at(x, y, 0),
    glazeAt: (x, y) => {
      fieldTerms(x, y, origin, 0);
      return COORDINATES.map(valueAtOrigin) as unknown as LogTriple;
    },
  };
}

/** Range, 5th to 95th percentile, of each ratio’s field over the blocks that count; both together. */
function ratioDrift(blocks: readonly Block[], basis: Float64Array, fit: Solved): number {
  const ranges = ([1, 2] as const).map((k) => {
    const values: number[] = [];
    for (let i = 0; i < blocks.length; i++) {
      if (fit.weights[i]! < 0.1) continue;
      let value = 0;
      for (let t = 1; t < TERMS - 1; t++) value += basis[i * TERMS + t]! * fit.coefficients[k][t]!;
      values.push(value);
    }
    return quantile(values, 0.95) - quantile(values, 0.05);
  });
  return Math.hypot(...ranges);
}

/**
 * Spread of the step between fields by their weight; the next rougher field counts a little even when
 * the evidence is against it, for it tells how far the step hangs on the choice.
 */
function spreadOf(
  fits: readonly Solved[],
  share: readonly number[],
  step: LogTriple,
  best: Solved,
  stepOf: (f: Solved, k: Coordinate) => number,
): Matrix3 {
  const covariance = zero3();
  const add = (weight: number, d: readonly number[]) => {
    for (const p of COORDINATES) {
      for (const q of COORDINATES) covariance[p]![q]! += weight * d[p]! * d[q]!;
    }
  };
  fits.forEach((f, j) =>
    add(
      share[j]!,
      COORDINATES.map((k) => stepOf(f, k) - step[k]),
    ),
  );
  const rougher = fits[fits.indexOf(best) + 1];
  if (rougher)
    add(
      0.25,
      COORDINATES.map((k) => stepOf(rougher, k) - stepOf(best, k)),
    );
  return covariance as unknown as Matrix3;
}

/** Delete-one-sector jackknife of the step: what differs round the dab shows up here. */
function jackknife(blocks: readonly Block[], basis: Float64Array, fit: Solved): Matrix3 {
  const sector = blocks.map(
    (b) => Math.floor(((Math.atan2(b.y, b.x) + Math.PI) / (2 * Math.PI)) * SECTORS) % SECTORS,
  );
  const free = freeTerms(fit.roughness);
  const steps: number[][] = [];
  for (let s = 0; s < SECTORS; s++) {
    const weights = fit.weights.map((w, i) => (sector[i] === s ? 0 : w));
    const normal = normalEquations(blocks, basis, weights, free);
    const one: number[] = [];
    for (const k of COORDINATES) {
      const prior = priorDeviations(fit.roughness, k);
      const solution = solve(normal, k, prior, fit.sigmas[k], free);
      if (solution) one.push(solution.coefficients[TERMS - 1]!);
    }
    if (one.length === 3) steps.push(one);
  }
  const covariance = zero3();
  const n = steps.length;
  if (n < 2) return covariance as unknown as Matrix3;
  const mean = COORDINATES.map((k) => steps.reduce((sum, v) => sum + v[k]!, 0) / n);
  for (const v of steps) {
    for (const p of COORDINATES) {
      for (const q of COORDINATES) {
        covariance[p]![q]! += ((n - 1) / n) * (v[p]! - mean[p]!) * (v[q]! - mean[q]!);
      }
    }
  }
  return covariance as unknown as Matrix3;
}

const zero3 = (): number[][] => [
  [0, 0, 0],
  [0, 0, 0],
  [0, 0, 0],
];
function diagonal(values: LogTriple): Matrix3 {
  const m = zero3();
  values.forEach((v, i) => (m[i]![i] = v));
  return m as unknown as Matrix3;
}
