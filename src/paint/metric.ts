/** ΔE₀₀ near one colour as a quadratic form, and its spread under an uncertain colour. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { cholesky } from './linear-algebra.ts';

/**
 * M (3 × 3, row-major) with ΔE₀₀² ≈ dᵀMd for a small difference d from `centre`: second differences
 * of ΔE₀₀² over `step` Lab units.
 */
export function metricAt(centre: LabD65, step = 0.5): Float64Array {
  const squared = (d: readonly number[]) =>
    deltaE00(centre, labD65(centre[0] + d[0]!, centre[1] + d[1]!, centre[2] + d[2]!)) ** 2;
  const M = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = i; j < 3; j++) {
      const plus = [0, 0, 0];
      plus[i]! += step;
      if (i === j) {
        const minus = plus.map((value) => -value);
        M[4 * i] = (squared(plus) + squared(minus)) / (2 * step ** 2);
        continue;
      }
      const cross = (si: number, sj: number) => {
        const d = [0, 0, 0];
        d[i] = si * step;
        d[j] = sj * step;
        return squared(d);
      };
      const mixed = (cross(1, 1) + cross(-1, -1) - cross(1, -1) - cross(-1, 1)) / (8 * step ** 2);
      M[3 * i + j] = mixed;
      M[3 * j + i] = mixed;
    }
  }
  return M;
}

/** trace(MΣ): what an uncertain colour adds to the expected ΔE₀₀². */
export function expectedSquare(M: Float64Array, covariance: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < 9; i++) sum += M[i]! * covariance[i]!;
  return Math.max(0, sum);
}

/**
 * ΔE₀₀ from `target` over the spread of an uncertain colour: 64 points of a normal distribution laid
 * out evenly (no chance in it), ascending.
 */
export function spreadOfDeltaE00(
  target: LabD65,
  mean: LabD65,
  covariance: Float64Array,
): Float64Array {
  const regular = Float64Array.from(covariance);
  for (let axis = 0; axis < 3; axis++) regular[4 * axis]! += 1e-6;
  const lower = cholesky(regular, 3) ?? new Float64Array(9);
  return POINTS.map(([x, y, z]) =>
    deltaE00(
      target,
      labD65(
        mean[0] + lower[0]! * x,
        mean[1] + lower[3]! * x + lower[4]! * y,
        mean[2] + lower[6]! * x + lower[7]! * y + lower[8]! * z,
      ),
    ),
  )
    .reduce((all, value, index) => {
      all[index] = value;
      return all;
    }, new Float64Array(POINTS.length))
    .sort();
}

const SHELLS = 8;
const DIRECTIONS = 16;

/**
 * Standard normal points in three dimensions: shells of equal probability at the medians of their
 * radius (chi with three degrees of freedom), each a spherical Fibonacci lattice turned a little on.
 */
const POINTS: readonly (readonly [number, number, number])[] = Array.from(
  { length: SHELLS * DIRECTIONS },
  (_, index) => {
    const shell = Math.floor(index / DIRECTIONS);
    const within = index % DIRECTIONS;
    const radius = chi3Quantile((shell + 0.5) / SHELLS);
    const z = 1 - (2 * within + 1) / DIRECTIONS;
    const turn = Math.PI * (3 - Math.sqrt(5)) * (within + 0.37 * shell);
    const flat = Math.sqrt(1 - z * z);
    return [radius * flat * Math.cos(turn), radius * flat * Math.sin(turn), radius * z] as const;
  },
);

/** Quantile of chi with three degrees of freedom, by the Wilson–Hilferty approximation. */
function chi3Quantile(p: number): number {
  // Quantile of the normal: Abramowitz and Stegun 1964, 26.2.23.
  const tail = p < 0.5 ? p : 1 - p;
  const t = Math.sqrt(-2 * Math.log(tail));
  const z =
    t -
    (2.515517 + 0.802853 * t + 0.010328 * t * t) /
      (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t ** 3);
  const signed = p < 0.5 ? -z : z;
  return Math.sqrt(3 * Math.max(0, 1 - 2 / 27 + signed * Math.sqrt(2 / 27)) ** 3);
}
