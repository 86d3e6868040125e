/**
 * How far paint departs from the theory: smoothly, so that neighbouring mixtures share most of it
 * (M. C. Kennedy, A. O'Hagan 2001, “Bayesian calibration of computer models”, J. R. Stat. Soc. B 63(3),
 * 425–464). Variances are on each axis of Lab; the axes depart by themselves.
 */
import type { LabD65 } from '../colour/spaces.ts';
import type { Assumed } from './assumed.ts';

/** A part of the discrepancy that two mixtures never share. */
const UNSHARED = 0.1;

/** Covariance of the discrepancies of two mixtures of which the theory says these colours. */
export function sharedDiscrepancy(
  a: LabD65,
  b: LabD65,
  { discrepancy, reach }: Pick<Assumed, 'discrepancy' | 'reach'>,
): number {
  return (
    discrepancy ** 2 *
    Math.exp(-((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2) / (2 * reach ** 2))
  );
}

/** Variance of the discrepancy of one mixture. */
export function ownDiscrepancy({ discrepancy }: Pick<Assumed, 'discrepancy'>): number {
  return discrepancy ** 2 + UNSHARED ** 2;
}

/**
 * Adds what readings depart by from these colours of the theory, their own errors included.
 * @param covariance of the readings, three axes each, row-major
 */
export function addErrors(
  covariance: Float64Array,
  theory: readonly LabD65[],
  assumed: Pick<Assumed, 'discrepancy' | 'reach' | 'reading'>,
): Float64Array {
  const m = 3 * theory.length;
  theory.forEach((one, s) => {
    theory.forEach((other, t) => {
      const own = s === t ? assumed.reading ** 2 + UNSHARED ** 2 : 0;
      const k = sharedDiscrepancy(one, other, assumed) + own;
      for (let axis = 0; axis < 3; axis++) covariance[(3 * s + axis) * m + 3 * t + axis]! += k;
    });
  });
  return covariance;
}
