/** Order statistics that one bad pixel cannot move. */

/** Median of the values; NaN for none. The array is sorted in place. */
export function medianInPlace(values: Float64Array | number[]): number {
  const n = values.length;
  if (n === 0) return NaN;
  if (values instanceof Float64Array) values.sort();
  else values.sort((p, q) => p - q);
  const half = n >> 1;
  return n % 2 === 1 ? values[half]! : (values[half - 1]! + values[half]!) / 2;
}

export const median = (values: Iterable<number>): number =>
  medianInPlace(Float64Array.from(values));

export function quantile(values: Iterable<number>, p: number): number {
  const sorted = Float64Array.from(values).sort();
  if (sorted.length === 0) return NaN;
  const at = p * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted[low]! + (sorted[high]! - sorted[low]!) * (at - low);
}

/** Scaled median absolute deviation: equals the standard deviation for Gaussian data. */
export function robustSigma(values: Iterable<number>, centre?: number): number {
  const all = Float64Array.from(values);
  const middle = centre ?? median(all);
  return 1.4826 * medianInPlace(all.map((v) => Math.abs(v - middle)));
}

/** Tukey's biweight: 1 at 0, falling to 0 at `cut` and beyond. */
export function biweight(scaledResidual: number, cut: number): number {
  const u = scaledResidual / cut;
  return Math.abs(u) >= 1 ? 0 : (1 - u * u) ** 2;
}
