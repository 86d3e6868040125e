/**
 * What a colour transform may be before a chart is seen: mean and covariance of its coefficients over
 * plausible cameras under plausible lamps, developed as cameras do. Two transforms go together: to XYZ
 * under the lamp, which readings need, and to XYZ under the white the chart's values are stated for.
 * A chart tells of the second; how the two go together tells the first.
 */
import { inverse, Matrix, solve } from 'ml-matrix';
import { adaptationMatrix } from '../../colour/adaptation.ts';
import { WHITE_D65 } from '../../colour/cielab.ts';
import { A, D50, D65 } from '../../colour/illuminants.ts';
import { OBSERVER_1931 } from '../../colour/observers.ts';
import { xyz, xyzD65 } from '../../colour/spaces.ts';
import { linearSrgbFromXyzD65 } from '../../colour/srgb.ts';
import {
  fixedDraws,
  plausibleCamera,
  plausibleLamp,
  plausibleSurface,
  type Curve,
} from './plausible.ts';
import { COLOUR_METHODS, colourTerms, type ColourMethod, type StatedFor } from './profile.ts';

type Triple = readonly [number, number, number];

/** Of the free coefficients: the lamp's transform first, then the stated white's. */
export interface TransformPrior {
  readonly mean: readonly number[];
  /** Inverse of their covariance. */
  readonly precision: Matrix;
  /** Standard deviation of what is left over of a surface, X, Y, Z, in units of `rootSlope`. */
  readonly scatter: { readonly lamp: Triple; readonly stated: Triple };
}

const CAMERAS = 400;
const SURFACES = 500;
/** So many of them a maker fits a camera's own matrix to. */
const TRAINING = 120;
/** Least light in a channel, of white's: below it cameras clip. */
const LEAST = 0.002;
/** Added to every coefficient's variance, so that the covariance has an inverse. */
const HAIR = 1e-6;

/** Slope of CIELAB's cube root, so that errors of dark and light count alike; the floor is its straight part. */
export const rootSlope = (v: number): number => Math.cbrt(Math.max(0.01, v)) ** -2;

/**
 * Coefficients that are free where white is held: a row adds up to 1, so its own channel's is 1 less the
 * others (Finlayson, Drew 1997, “White-point preserving color correction”, IS&T/SID Color Imaging Conf.).
 */
export function rowsOf(free: readonly number[], terms: number): [number[], number[], number[]] {
  const row = (k: number) => {
    const others = free.slice(k * (terms - 1), (k + 1) * (terms - 1));
    return others.toSpliced(k, 0, 1 - sum(others));
  };
  return [row(0), row(1), row(2)];
}

const known = new Map<StatedFor, Readonly<Record<ColourMethod, TransformPrior>>>();

/** Takes about half a second the first time. For a chart stated for the lamp only the first half counts. */
export function transformPrior(method: ColourMethod, statedFor: StatedFor): TransformPrior {
  const white = statedFor === 'D65' ? 'D65' : 'D50';
  let priors = known.get(white);
  if (!priors) known.set(white, (priors = reckoned(white === 'D65' ? D65.power : D50.power)));
  return priors[method];
}

/** One camera under one lamp: its light of the surfaces, and the targets, each over white's. */
interface World {
  readonly seen: readonly Triple[];
  readonly lamp: readonly Triple[];
  readonly stated: readonly Triple[];
}

function reckoned(white: Curve): Readonly<Record<ColourMethod, TransformPrior>> {
  const draw = fixedDraws(1);
  const surfaces = Array.from({ length: SURFACES }, () => plausibleSurface(draw));
  const statedXyz = relativeXyz(white, surfaces);
  const worlds = Array.from({ length: CAMERAS }, (): World => {
    const camera = plausibleCamera(draw);
    const power = plausibleLamp(draw);
    // Half the makers fit their matrix under the lamp, half under one of two presets.
    const preset = [power, power, A.power, D65.power][Math.floor(4 * draw())]!;
    const all = developed(camera, power, preset, surfaces);
    const lamp = relativeXyz(power, surfaces);
    const kept = all.flatMap((rgb, i) => (Math.min(...rgb) > LEAST ? [i] : []));
    const of = (values: readonly Triple[]) => kept.map((i) => values[i]!);
    return { seen: of(all), lamp: of(lamp), stated: of(statedXyz) };
  });
  const priors = COLOUR_METHODS.map((method) => [method, priorOf(method, worlds)] as const);
  return Object.fromEntries(priors) as Record<ColourMethod, TransformPrior>;
}

function priorOf(method: ColourMethod, worlds: readonly World[]): TransformPrior {
  const fits = worlds.map(({ seen, lamp, stated }) => {
    const terms = seen.map((rgb) => colourTerms(method, rgb));
    return { lamp: fitOf(terms, lamp, rootSlope), stated: fitOf(terms, stated, rootSlope) };
  });
  const coefficients = fits.map((fit) => [...fit.lamp.free, ...fit.stated.free]);
  const size = coefficients[0]!.length;
  const mean = Array.from({ length: size }, (_, j) => average(coefficients.map((c) => c[j]!)));
  const off = new Matrix(coefficients.map((c) => c.map((v, j) => v - mean[j]!)));
  const covariance = off.transpose().mmul(off).div(coefficients.length);
  covariance.add(Matrix.eye(size, size).mul(HAIR));
  const scatter = (of: 'lamp' | 'stated'): Triple =>
    triple((k) => Math.sqrt(average(fits.map((fit) => fit[of].meanSquares[k]))));
  return {
    mean,
    precision: inverse(covariance),
    scatter: { lamp: scatter('lamp'), stated: scatter('stated') },
  };
}

/** Balanced sensor light through the matrix to linear sRGB that a maker fits under `preset`. */
function developed(
  camera: readonly Curve[],
  power: Curve,
  preset: Curve,
  surfaces: readonly Curve[],
): Triple[] {
  const seenUnder = (light: Curve, those: readonly Curve[]): Triple[] => {
    const weights = camera.map((sensitivity) => overSum(times(sensitivity, light)));
    return those.map((surface) => triple((k) => dot(weights[k]!, surface)));
  };
  const training = surfaces.slice(0, TRAINING);
  const wanted = relativeXyz(preset, training).map((seen) =>
    linearSrgbFromXyzD65(
      xyzD65(seen[0] * WHITE_D65[0], seen[1] * WHITE_D65[1], seen[2] * WHITE_D65[2]),
    ),
  );
  const { free } = fitOf(seenUnder(preset, training), wanted, (v) => 1 / Math.max(0.2, v));
  const rows = rowsOf(free, 3);
  return seenUnder(power, surfaces).map((rgb) => triple((k) => dot(rows[k], rgb)));
}

/** XYZ of surfaces under a lamp, adapted to D65 (Bradford), over the perfect diffuser's. */
function relativeXyz(power: Curve, surfaces: readonly Curve[]): Triple[] {
  const { xBar, yBar, zBar } = OBSERVER_1931;
  const weights = [xBar, yBar, zBar].map((bar) => times(bar, power));
  const [X, Y, Z] = weights.map((w) => sum(w)) as [number, number, number];
  const adapt = adaptationMatrix(xyz(X / Y, 1, Z / Y), WHITE_D65);
  // Weights that adapt and divide by white as they sum.
  const folded = adapt.map((row, k) =>
    weights[0]!.map(
      (_, i) => row.reduce((s, m, j) => s + m * weights[j]![i]!, 0) / (Y * WHITE_D65[k]!),
    ),
  );
  return surfaces.map((surface) => triple((k) => dot(folded[k]!, surface)));
}

/** White-preserving least squares of three targets over the terms. */
function fitOf(
  terms: readonly (readonly number[])[],
  targets: readonly Triple[],
  weigh: (v: number) => number,
): { readonly free: readonly number[]; readonly meanSquares: Triple } {
  const size = terms[0]!.length - 1;
  const free: number[] = [];
  const meanSquares = triple((k) => {
    const normal = new Float64Array(size * size);
    const right = new Float64Array(size);
    const lines = terms.map((t, i) => {
      const weight = weigh(targets[i]![k]);
      const own = t[k]!;
      const line = new Float64Array(size);
      for (let j = 0; j < size; j++) line[j] = weight * (t[j < k ? j : j + 1]! - own);
      const wanted = weight * (targets[i]![k] - own);
      for (let p = 0; p < size; p++) {
        right[p]! += line[p]! * wanted;
        for (let q = 0; q < size; q++) normal[p * size + q]! += line[p]! * line[q]!;
      }
      return { line, wanted };
    });
    const matrix = Matrix.from1DArray(size, size, [...normal]).add(
      Matrix.eye(size, size).mul(1e-4),
    );
    const solved = solve(matrix, Matrix.columnVector([...right])).to1DArray();
    free.push(...solved);
    return average(lines.map(({ line, wanted }) => (wanted - dot(line, solved)) ** 2));
  });
  return { free, meanSquares };
}

const triple = (of: (k: 0 | 1 | 2) => number): Triple => [of(0), of(1), of(2)];
const times = (p: Curve, q: Curve): Curve => p.map((v, i) => v * q[i]!);
const overSum = (p: Curve): Curve => {
  const whole = sum(p);
  return p.map((v) => v / whole);
};
function sum(values: ArrayLike<number>): number {
  let total = 0;
  for (let i = 0; i < values.length; i++) total += values[i]!;
  return total;
}
const average = (values: readonly number[]): number => sum(values) / values.length;
function dot(p: ArrayLike<number>, q: ArrayLike<number>): number {
  let total = 0;
  for (let i = 0; i < p.length; i++) total += p[i]! * q[i]!;
  return total;
}
