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
  const weights = sumsOverSquares(Float32Array.from(counts), width, height, by);
  for (const plane of planes) {
    const sums = sumsOverSquares(
      plane.map((v, i) => (counts[i] ? v : 0)),
      width,
      height,
      by,
    );
    for (let i = 0; i < plane.length; i++) {
      if (weights[i]! > 0.5) plane[i] = sums[i]! / weights[i]!;
    }
  }
}

function sumsOverSquares(
  values: Float32Array,
  width: number,
  height: number,
  by: number,
): Float32Array {
  const alongRows = new Float32Array(values.length);
  const upTo = new Float64Array(width + 1);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    for (let x = 0; x < width; x++) upTo[x + 1] = upTo[x]! + values[row + x]!;
    for (let x = 0; x < width; x++) {
      alongRows[row + x] = upTo[Math.min(width, x + by + 1)]! - upTo[Math.max(0, x - by)]!;
    }
  }
  // Down the columns all at once, row by row, as the pixels lie in memory.
  const sums = new Float32Array(values.length);
  const column = new Float64Array(width);
  for (let y = -by; y < height; y++) {
    const enters = y + by;
    const leaves = y - by - 1;
    for (let x = 0; x < width; x++) {
      if (enters < height) column[x]! += alongRows[enters * width + x]!;
      if (leaves >= 0) column[x]! -= alongRows[leaves * width + x]!;
      if (y >= 0) sums[y * width + x] = column[x]!;
    }
  }
  return sums;
}
