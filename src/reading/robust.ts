/** Order statistics that one bad pixel cannot move. */

/** Median of the values; NaN for none. The array is put in another order. */
export function medianInPlace(values: Float64Array): number {
  const n = values.length;
  if (n === 0) return NaN;
  const half = n >> 1;
  const upper = select(values, half);
  if (n % 2 === 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < half; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
}

/** Hoare's selection (1961): puts the k-th smallest at k, smaller ones before it. */
function select(values: Float64Array, k: number): number {
  let left = 0;
  let right = values.length - 1;
  while (left < right) {
    const pivot = values[(left + right) >> 1]!;
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const swap = values[i]!;
        values[i++] = values[j]!;
        values[j--] = swap;
      }
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else break;
  }
  return values[k]!;
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

export interface Weighted {
  readonly value: number;
  readonly weight: number;
}

/** The largest value with more than `share`, 0–1, of all the weight at or above it; 0 where nothing weighs. */
export function exceededBy(values: readonly Weighted[], share: number): number {
  const falling = [...values].sort((a, b) => b.value - a.value);
  const most = share * falling.reduce((sum, { weight }) => sum + weight, 0);
  let above = 0;
  for (const { value, weight } of falling) {
    above += weight;
    if (above > most) return value;
  }
  return 0;
}
