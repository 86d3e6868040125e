/**
 * How the light falls across the piece round the dab, and the step from glaze to dab that is left
 * when it is taken away.
 *
 * In log light the glaze in the ring is a smooth field and the dab is the same field plus a constant
 * step: ln c(p) = ln f(p) + δ·[p on the dab]. Fitting both together lets the dab's own pixels say how
 * the light curves under it; only the step is left to the edge. The field, smooth in log or in light,
 * is a quadratic plus a smooth remainder, a grid of Gaussian bumps with a Gaussian prior (kriging of
 * low rank: Cressie, Johannesson 2008, J. R. Stat. Soc. B 70). How rough the remainder may be is
 * weighed by its evidence (MacKay 1992, “Bayesian interpolation”, Neural Computation 4, eq. 2.6), and
 * the spread between the weighed fields stays in the covariance. Outliers (highlights, specks, edges)
 * are let go by Tukey's biweight.
 */
import { correlatedBlocks } from './field-correlation.ts';
import {
  blockNoise,
  blockWeights,
  CORRELATED_BLOCKS,
  fieldAt,
  robustFit,
  solve,
  type Noise,
  type Solved,
} from './field-solve.ts';
import {
  basisOf,
  BENT,
  COORDINATES,
  FEW_ROUGHNESSES,
  LIGHT,
  priorDeviations,
  ROUGHNESSES,
  STEP,
  TERMS,
  termsOf,
  type Block,
  type Coordinate,
  type Roughness,
} from './field-terms.ts';
import { gleamOnGlaze, type Gleam, type LitBlock } from './gleam.ts';
import { quantile } from './robust.ts';
import { relativeRgb, type LogTriple } from './log-window.ts';
import type { Matrix3 } from './types.ts';

export interface FieldFit {
  /** Log light of the glaze at the dab's centre. */
  readonly glaze: LogTriple;
  /** Step from glaze to dab in each log coordinate, and its covariance. */
  readonly step: LogTriple;
  readonly noise: Matrix3;
  /** Covariance from the choice of the field, or of the dab's size: the spread between fits. */
  readonly shading: Matrix3;
  /** Covariance from texture and all that varies round the dab, beyond noise: jackknife over sectors. */
  readonly texture: Matrix3;
  /** Final weight of each block, 0–1; 0 is rejected. */
  readonly weights: Float64Array;
  /** Residual of the mean log light of each block. */
  readonly residuals: Float64Array;
  /** Standard deviation of a full block's mean log light. */
  readonly sigma: number;
  /**
   * How far the glaze’s own log ratios drift from one side of the ring to the other, by the field; a
   * little that goes with the light is left out, for the camera does that.
   */
  readonly ratioDrift: number;
  /** The lamp mirrored softly in the glaze: reckoned when asked for. */
  readonly gleam: () => Gleam;
  /** Log light of the glaze at a place in ring radii, by the field that fits best. */
  readonly glazeAt: (x: number, y: number) => LogTriple;
}

const SECTORS = 8;

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
  return fitAmong(blocks, FEW_ROUGHNESSES);
}

/** Fits the field of the glaze alone: no block is on a dab, and the step is 0. */
export function fitGlazeField(blocks: readonly Block[]): FieldFit | undefined {
  return fitAmong(blocks, ROUGHNESSES, 0);
}

/** One way to lay the dab over the same blocks. */
export interface LaidBlocks {
  readonly blocks: readonly Block[];
  /** How much of each block the dab covers, 0–1. */
  readonly cover: readonly number[];
}

/** Of the likeliest field's, the evidence of one that is fitted to the other ways to lay the dab. */
const LIKELY = 0.05;

/**
 * The step where several ways to lay the dab over the same blocks are equally likely beforehand: the
 * mean of their steps, weighed by evidence (Bayesian model averaging: Hoeting and others 1999,
 * Statistical Science 14). How rough the field is, the middle way tells.
 */
export function fitOverLayouts(
  layouts: readonly LaidBlocks[],
): Pick<FieldFit, 'step' | 'noise' | 'shading' | 'texture'> | undefined {
  const possible = layouts.filter(({ blocks }) => isEnough(blocks, LEAST_ON_DAB));
  const middle = possible[possible.length >> 1];
  if (!middle) return undefined;
  const noise = blockNoise(middle.blocks);
  const own = blockWeights(middle.blocks, noise);
  const tried = fitsOf(middle, own, noise, ROUGHNESSES);
  const most = Math.max(...tried.map((f) => f.evidence));
  const likely = tried.flatMap((f) => (Math.exp(f.evidence - most) > LIKELY ? [f.roughness] : []));
  const fits = possible.flatMap((laid) =>
    laid === middle
      ? tried.filter((f) => likely.includes(f.roughness))
      : fitsOf(laid, own, noise, likely),
  );
  return fits.length === 0 ? undefined : combine(own, fits);
}

const LEAST_ON_DAB = 4;

function fitAmong(
  blocks: readonly Block[],
  roughnesses: readonly Roughness[],
  leastOnDab = LEAST_ON_DAB,
): FieldFit | undefined {
  if (!isEnough(blocks, leastOnDab)) return undefined;
  const noise = blockNoise(blocks);
  const own = blockWeights(blocks, noise);
  const cover = blocks.map((b) => (b.onDab ? 1 : 0));
  const fits = fitsOf({ blocks, cover }, own, noise, roughnesses);
  return fits.length === 0 ? undefined : combine(own, fits);
}

function isEnough(blocks: readonly Block[], leastOnDab: number): boolean {
  const ring = blocks.filter((b) => !b.onDab).length;
  return ring >= 12 && blocks.length - ring >= leastOnDab;
}

/** From smooth to rough, those that can be solved. */
function fitsOf(
  { blocks, cover }: LaidBlocks,
  own: Float64Array,
  noise: Noise,
  roughnesses: readonly Roughness[],
): Solved[] {
  const basis = basisOf(blocks, cover);
  const first = robustFit(blocks, basis, own, BENT, noise, new Float64Array(blocks.length));
  if (!first) return [];
  const start = logLight(blocks, first);
  return roughnesses.flatMap((roughness) => {
    const fit = roughness === BENT ? first : robustFit(blocks, basis, own, roughness, noise, start);
    return fit ? [fit] : [];
  });
}

function logLight(blocks: readonly Block[], fit: Solved): Float64Array {
  const terms = new Float64Array(TERMS);
  return Float64Array.from(blocks, ({ x, y }) => fieldAt(fit, x, y, terms)[0]);
}

function combine(own: Float64Array, fits: readonly Solved[]): FieldFit {
  const most = Math.max(...fits.map((f) => f.evidence));
  const raw = fits.map((f) => Math.exp(f.evidence - most));
  const total = raw.reduce((s, v) => s + v, 0);
  const share = raw.map((v) => v / total);
  const mix = (value: (f: Solved, k: Coordinate) => number): LogTriple =>
    COORDINATES.map((k) =>
      fits.reduce((s, f, j) => s + share[j]! * value(f, k), 0),
    ) as unknown as LogTriple;
  const step = mix(stepOf);
  const terms = new Float64Array(TERMS);
  const centres = new Map(fits.map((f) => [f, fieldAt(f, 0, 0, terms)]));
  const best = fits[share.indexOf(Math.max(...share))]!;
  const { blocks } = best;
  const together = correlatedBlocks(blocks, best.residuals, best.weights);
  const glaze = mix((f, k) => centres.get(f)![k]);
  const noise = mix((f, k) => f.stepVariance[k] * Math.max(1, together[k] / CORRELATED_BLOCKS));
  return {
    glaze,
    step,
    noise: diagonal(noise),
    shading: spreadOf(fits, share, step, best),
    texture: beyondNoise(jackknife(blocks, own, best), noise),
    weights: best.weights,
    residuals: best.residuals[0],
    sigma: best.sigmas[0],
    ratioDrift: Math.hypot(...ratioDrift(best, weakness(glaze))),
    gleam: () => gleamOnGlaze(glaze, ringOf(best, own)),
    glazeAt: (x, y) => fieldAt(best, x, y, terms),
  };
}

/** The glaze's blocks; what the residual leaves of their light is the field's. */
function ringOf({ blocks, residuals, weights }: Solved, own: Float64Array): LitBlock[] {
  return blocks.flatMap(({ onDab, log }, i) =>
    onDab ? [] : [{ log, light: log[0] - residuals[0][i]!, weight: weights[i]! * own[i]! }],
  );
}

const stepOf = (f: Solved, k: Coordinate): number => f.coefficients[k][STEP]!;

/** Ratios that a camera’s tone curve or the room's light moves, ln per ln of light. */
const RATIO_WITH_LIGHT = 0.15;

/**
 * How far each ratio’s field ranges, 5th to 95th percentile, over the blocks that count: what does not
 * go with the light, and what goes with it more than cameras make it. A channel near nothing is moved
 * by any veil of stray light, and the more so the less light there is.
 */
function ratioDrift(fit: Solved, weak: readonly [number, number]): readonly [number, number] {
  const rows = fit.design.rows[1];
  const counts = [...fit.blocks.keys()].filter((i) => fit.weights[i]! >= 0.1);
  const lights = counts.map((i) => rows[i * TERMS + LIGHT]!);
  const range = (values: readonly number[]) => quantile(values, 0.95) - quantile(values, 0.05);
  const drift = (k: 1 | 2) => {
    const ratios = counts.map((i) => {
      let value = 0;
      for (let t = 1; t <= LIGHT; t++) value += rows[i * TERMS + t]! * fit.coefficients[k][t]!;
      return value;
    });
    const slope = slopeOf(lights, ratios);
    const left = range(ratios.map((v, i) => v - slope * lights[i]!));
    const allowed = RATIO_WITH_LIGHT / weak[k - 1]!;
    return left + Math.max(0, Math.abs(slope) - allowed) * range(lights);
  };
  return [drift(1), drift(2)];
}

function slopeOf(x: readonly number[], y: readonly number[]): number {
  const mean = (v: readonly number[]) => v.reduce((sum, value) => sum + value, 0) / v.length;
  const [mx, my] = [mean(x), mean(y)];
  let xx = 1e-9;
  let xy = 0;
  x.forEach((v, i) => {
    xx += (v - mx) ** 2;
    xy += (v - mx) * (y[i]! - my);
  });
  return xy / xx;
}

/** How near nothing the weaker channel of each ratio is: the root of its light over the brightest's. */
function weakness(glaze: LogTriple): readonly [number, number] {
  const [r, g, b] = relativeRgb(glaze);
  const brightest = Math.max(r, g, b, 1e-9);
  return [Math.sqrt(Math.min(r, g) / brightest), Math.sqrt(Math.min(g, b) / brightest)];
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
  if (rougher?.blocks === best.blocks)
    add(
      0.25,
      COORDINATES.map((k) => stepOf(rougher, k) - stepOf(best, k)),
    );
  return covariance as unknown as Matrix3;
}

/** Delete-one-sector jackknife of the step: what differs round the dab shows up here. */
function jackknife(blocks: readonly Block[], own: Float64Array, fit: Solved): Matrix3 {
  const sector = blocks.map(
    (b) => Math.floor(((Math.atan2(b.y, b.x) + Math.PI) / (2 * Math.PI)) * SECTORS) % SECTORS,
  );
  const { rows, targets } = fit.design;
  const steps: number[][] = [];
  for (let s = 0; s < SECTORS; s++) {
    const weights = fit.weights.map((w, i) =>
      sector[i] === s ? 0 : (w * own[i]!) / CORRELATED_BLOCKS,
    );
    const one = COORDINATES.flatMap((k) => {
      const prior = priorDeviations(fit.roughness, k);
      const free = termsOf(fit.roughness, k);
      const solution = solve(rows[k], targets[k], weights, free, prior, fit.sigmas[k]);
      return solution ? [solution.coefficients[STEP]!] : [];
    });
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

/** What the sectors scatter beyond the noise of their pixels, which is counted already. */
function beyondNoise(scatter: Matrix3, noise: LogTriple): Matrix3 {
  const share = COORDINATES.map((k) =>
    Math.sqrt(Math.max(0, 1 - noise[k] / Math.max(1e-12, scatter[k][k]))),
  );
  return scatter.map((row, p) =>
    row.map((v, q) => v * share[p]! * share[q]!),
  ) as unknown as Matrix3;
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
