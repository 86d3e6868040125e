/**
 * Interpolation between even steps by Sprague's polynomial of the fifth order, as CIE 15:2018 (section 7.2) and
 * CIE 167:2005 recommend for spectral data; its ends by CIE 167:2005, table V.
 */

/** Values two and one step before the first, over 209; behind the last they are mirrored. */
const ENDS = [
  [884, -1960, 3033, -2648, 1080, -180],
  [508, -540, 488, -367, 144, -24],
] as const;
export const LEAST_VALUES = ENDS[0].length;

/**
 * @param values at even steps, six or more
 * @param at place in steps from the first value, 0 to their number − 1
 */
export function spragueAt(values: readonly number[], at: number): number {
  const last = values.length - 1;
  if (values.length < LEAST_VALUES || !(at >= 0 && at <= last)) {
    throw new RangeError('outside what is known');
  }
  const before = Math.min(last - 1, Math.floor(at));
  const valueAt = (i: number): number => {
    if (i >= 0 && i <= last) return values[i]!;
    const [row, from] = i < 0 ? [i + 2, 0] : [last + 2 - i, last];
    return ENDS[row as 0 | 1].reduce(
      (sum, w, k) => sum + (w / 209) * values[i < 0 ? from + k : from - k]!,
      0,
    );
  };
  const [a, b, c, d, e, f] = [-2, -1, 0, 1, 2, 3].map((k) => valueAt(before + k)) as [
    ...[number, number, number, number, number, number],
  ];
  const X = at - before;
  const a1 = (2 * a - 16 * b + 16 * d - 2 * e) / 24;
  const a2 = (-a + 16 * b - 30 * c + 16 * d - e) / 24;
  const a3 = (-9 * a + 39 * b - 70 * c + 66 * d - 33 * e + 7 * f) / 24;
  const a4 = (13 * a - 64 * b + 126 * c - 124 * d + 61 * e - 12 * f) / 24;
  const a5 = (-5 * a + 25 * b - 50 * c + 50 * d - 25 * e + 5 * f) / 24;
  return c + X * (a1 + X * (a2 + X * (a3 + X * (a4 + X * a5))));
}
