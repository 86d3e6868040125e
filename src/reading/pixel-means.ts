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
  const weights = sumsOverSquares(undefined, counts, width, height, by);
  for (const plane of planes) {
    const sums = sumsOverSquares(plane, counts, width, height, by);
    for (let i = 0; i < plane.length; i++) {
      if (weights[i]! > 0.5) plane[i] = sums[i]! / weights[i]!;
    }
  }
}

/** @param values absent: 1 everywhere, so that the sums are numbers of pixels that count */
function sumsOverSquares(
  values: Float32Array | undefined,
  counts: Uint8Array,
  width: number,
  height: number,
  by: number,
): Float32Array {
  const alongRows = new Float32Array(counts.length);
  // Zeros on either side stand for what lies beyond the row.
  const upTo = new Float64Array(width + 2 * by + 1);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    let sum = 0;
    for (let x = 0; x < width; x++) {
      if (counts[row + x] !== 0) sum += values === undefined ? 1 : values[row + x]!;
      upTo[by + x + 1] = sum;
    }
    upTo.fill(sum, by + width + 1);
    for (let x = 0; x < width; x++) alongRows[row + x] = upTo[x + 2 * by + 1]! - upTo[x]!;
  }
  // Down the columns all at once, row by row, as the pixels lie in memory.
  const sums = new Float32Array(counts.length);
  const column = new Float64Array(width);
  for (let y = -by; y < height; y++) {
    const enters = (y + by) * width;
    const leaves = (y - by - 1) * width;
    if (y + by < height) for (let x = 0; x < width; x++) column[x]! += alongRows[enters + x]!;
    if (leaves >= 0) for (let x = 0; x < width; x++) column[x]! -= alongRows[leaves + x]!;
    if (y >= 0) sums.set(column, y * width);
  }
  return sums;
}
