/** Means over squares of pixels, with pixels left out. */

/**
 * Mean of each plane over the square of side 2 × by + 1 round each pixel, over the pixels that count.
 * Where none counts, what stands there stays. In place; running sums, so that `by` costs nothing.
 */
export function meanOverSquares(
  planes: readonly Float32Array[],
  counts: Uint8Array,
  width: number,
  height: number,
  by: number,
): void {
  if (by === 0) return;
  const weights = Float32Array.from(counts);
  const sums = planes.map((plane) => plane.map((v, i) => (counts[i] ? v : 0)));
  for (const values of [weights, ...sums]) {
    sumAlong(values, width, height, 1, width, by);
    sumAlong(values, height, width, width, 1, by);
  }
  planes.forEach((plane, k) => {
    const sum = sums[k]!;
    for (let i = 0; i < plane.length; i++) {
      if (weights[i]! > 0.5) plane[i] = sum[i]! / weights[i]!;
    }
  });
}

/** Replaces each value of each line by the sum over 2 × by + 1 of its neighbours along the line. */
function sumAlong(
  values: Float32Array,
  length: number,
  lines: number,
  step: number,
  lineStep: number,
  by: number,
): void {
  const line = new Float64Array(length + 1);
  for (let l = 0; l < lines; l++) {
    const start = l * lineStep;
    for (let i = 0; i < length; i++) line[i + 1] = line[i]! + values[start + i * step]!;
    for (let i = 0; i < length; i++) {
      values[start + i * step] = line[Math.min(length, i + by + 1)]! - line[Math.max(0, i - by)]!;
    }
  }
}
