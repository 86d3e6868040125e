/**
 * The difference that is likeliest, given the one read. Noise lengthens a small difference: whatever its
 * direction, it adds to the length (E|d + n|² = |d|² + tr C), so that equal colours never read as equal.
 * Held equally likely beforehand is every size of difference, and every direction: a prior density of
 * 1/|d|², in deviations. The posterior mean then shortens what was read by a factor in closed form
 * (Tweedie's formula, Robbins 1956; shrinkage in three dimensions, Stein 1956), 1/3 at nothing and
 * 1 − 2/m² far off, where m is the length in deviations: a difference of ten deviations loses 2 %.
 */
import { inverse, Matrix } from 'ml-matrix';
import { movedBy, sum, type LabDifference } from './uncertainty.ts';
import type { Matrix3, UncertaintyShare } from './types.ts';

/** What differs from picture to picture without a direction; what the camera misreads is not shortened. */
const RANDOM: ReadonlySet<UncertaintyShare['source']> = new Set([
  'noise',
  'shading',
  'texture',
  'highlight',
]);
/** Variance of each coordinate, CIELAB, in the cleanest of pictures. */
const LEAST: Matrix3 = [
  [1e-4, 0, 0],
  [0, 1e-4, 0],
  [0, 0, 1e-4],
];

/** The same with its difference and the dab's colour the likeliest; what is known of it stays as wide. */
export function likeliest(read: LabDifference): LabDifference {
  const random = read.parts.filter(({ source }) => RANDOM.has(source));
  const covariance = sum([LEAST, ...random.map((part) => part.covariance)]);
  const share = shortening(deviations(read.lab, covariance));
  const lab = read.lab.map((v) => share * v) as unknown as LabDifference['lab'];
  return { ...read, lab, dabLab: movedBy(read.glazeLab, lab) };
}

/** @param m length of the difference read, in standard deviations, 0 or more */
export function shortening(m: number): number {
  const u = m / Math.SQRT2;
  if (u < 1e-3) return 1 / 3;
  // The marginal density of what is read goes with dawson(u) / u.
  return (1 / dawson(u) - 1 / u) / (2 * u);
}

/** Mahalanobis length of a difference, in deviations of its random part. */
export function deviations(d: readonly number[], covariance: Matrix3): number {
  const precision = inverse(new Matrix(covariance.map((row) => [...row])));
  const column = Matrix.columnVector([...d]);
  return Math.sqrt(Math.max(0, column.transpose().mmul(precision).mmul(column).get(0, 0)));
}

/** Beyond this the asymptotic series is good to 1e-5. */
const FAR = 4.5;

/** Dawson's integral F(u) = exp(−u²) ∫₀ᵘ exp(t²) dt, u ≥ 0 (Abramowitz, Stegun 1964, 7.1.16 and 7.1.23). */
export function dawson(u: number): number {
  const square = u * u;
  if (u > FAR) {
    return (1 + 1 / (2 * square) + 3 / (4 * square ** 2) + 15 / (8 * square ** 3)) / (2 * u);
  }
  let term = u;
  let sum = u;
  for (let n = 1; Math.abs(term) > 1e-12; n++) {
    term *= (-2 * square) / (2 * n + 1);
    sum += term;
  }
  return sum;
}
