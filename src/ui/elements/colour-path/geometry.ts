/** Where things lie in the picture of a colour path. Lengths of colour are CIELAB units. */
import type { LabD65 } from '../../../colour/spaces.ts';
import type { Matrix3 } from '../../../reading/types.ts';

/** 95 % of a two-dimensional normal distribution: χ² with two degrees of freedom, from its table. */
const CHI2_2_95 = 5.991;
/** 95 % of a one-dimensional one lies within so many standard deviations. */
const Z_95 = 1.96;

export interface Ellipse {
  /** Half axes, the longer first. */
  readonly long: number;
  readonly short: number;
  /** Of the longer axis from +a* towards +b*, degrees. */
  readonly angle: number;
}

/** The ellipse that holds a* and b* with 95 %, whatever L* is; the covariance is of L*, a*, b*. */
export function ellipse95(covariance: Matrix3): Ellipse {
  const [aa, bb, ab] = [covariance[1][1], covariance[2][2], covariance[1][2]];
  const mean = (aa + bb) / 2;
  const half = Math.hypot((aa - bb) / 2, ab);
  return {
    long: Math.sqrt(CHI2_2_95 * (mean + half)),
    short: Math.sqrt(CHI2_2_95 * Math.max(0, mean - half)),
    angle: (Math.atan2(2 * ab, aa - bb) / 2) * (180 / Math.PI),
  };
}

/** Half the length that holds L* with 95 %. */
export function lightness95(covariance: Matrix3): number {
  return Z_95 * Math.sqrt(covariance[0][0]);
}

export interface Range {
  readonly from: number;
  readonly to: number;
}

/** Ranges of one common length about the middle of each list, so that a unit is as long on every axis. */
export function commonRanges(lists: readonly (readonly number[])[], least: number): Range[] {
  const spans = lists.map((values) => ({ from: Math.min(...values), to: Math.max(...values) }));
  const length = Math.max(least, ...spans.map(({ from, to }) => to - from));
  return spans.map(({ from, to }) => {
    const middle = (from + to) / 2;
    return { from: middle - length / 2, to: middle + length / 2 };
  });
}

/** A pull of a given length in CIELAB, and the grams it takes; undefined where nothing is pulled. */
export function pullOfLength(perGram: LabD65, length: number) {
  const size = Math.hypot(...perGram);
  if (!(size > 1e-6)) return undefined;
  const [L, a, b] = perGram.map((value) => (value / size) * length) as [number, number, number];
  return { L, a, b, grams: length / size };
}

/** A direction smaller than this share of the whole pull is not worth a word. */
const WORTH_A_WORD = 0.3;

/** "darker and bluer", the larger part first. */
export function pullInWords([L, a, b]: readonly [number, number, number]): string {
  const parts: readonly (readonly [number, string])[] = [
    [L, L > 0 ? 'lighter' : 'darker'],
    [a, a > 0 ? 'redder' : 'greener'],
    [b, b > 0 ? 'yellower' : 'bluer'],
  ];
  const whole = Math.hypot(L, a, b);
  return parts
    .filter(([size]) => Math.abs(size) > WORTH_A_WORD * whole)
    .sort(([one], [other]) => Math.abs(other) - Math.abs(one))
    .map(([, word]) => word)
    .join(' and ');
}
