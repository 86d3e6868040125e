/**
 * How many neighbouring blocks share one error. Codecs store colour in squares of 8 or 16 pixels,
 * mottled glazes vary in clouds: a mean over n blocks is then worth fewer than n. The sum of the
 * residuals' autocorrelation over all lags tells (Priestley 1981, Spectral Analysis and Time Series,
 * 5.3.2, in two dimensions).
 */
import { COORDINATES } from './field-terms.ts';
import type { Block } from './field-terms.ts';

/** Longest lag looked at, blocks each way. */
const REACH = 6;
const LEAST_PAIRS = 25;

/** Per coordinate, 1 where residuals are independent. */
export function correlatedBlocks(
  blocks: readonly Block[],
  residuals: readonly Float64Array[],
  weights: Float64Array,
): readonly [number, number, number] {
  const grid = gridOf(blocks, weights);
  const variance = COORDINATES.map((k) => {
    let sum = 0;
    for (const i of grid.held) sum += residuals[k]![i]! ** 2;
    return sum / Math.max(1, grid.held.length);
  });
  const sums = [1, 1, 1];
  for (let dy = 0; dy <= REACH; dy++) {
    for (let dx = dy === 0 ? 1 : -REACH; dx <= REACH; dx++) {
      const products = [0, 0, 0];
      let pairs = 0;
      for (const i of grid.held) {
        const j = grid.at(grid.col[i]! + dx, grid.row[i]! + dy);
        if (j < 0) continue;
        pairs++;
        for (const k of COORDINATES) products[k]! += residuals[k]![i]! * residuals[k]![j]!;
      }
      if (pairs < LEAST_PAIRS) continue;
      // Each lag counts for its opposite as well.
      for (const k of COORDINATES) {
        sums[k]! += (2 * products[k]!) / pairs / Math.max(1e-12, variance[k]!);
      }
    }
  }
  return sums.map((s) => Math.max(1, s)) as unknown as readonly [number, number, number];
}

interface BlockGrid {
  /** Blocks that count. */
  readonly held: readonly number[];
  readonly col: Int32Array;
  readonly row: Int32Array;
  /** The block at a place of the grid, −1 for none. */
  readonly at: (col: number, row: number) => number;
}

function gridOf(blocks: readonly Block[], weights: Float64Array): BlockGrid {
  const spacing = spacingOf(blocks);
  const left = Math.min(...blocks.map((b) => b.x));
  const top = Math.min(...blocks.map((b) => b.y));
  const col = Int32Array.from(blocks, (b) => Math.round((b.x - left) / spacing));
  const row = Int32Array.from(blocks, (b) => Math.round((b.y - top) / spacing));
  const cols = Math.max(...col) + 1;
  const rows = Math.max(...row) + 1;
  const places = new Int32Array(cols * rows).fill(-1);
  const held = [...blocks.keys()].filter((i) => weights[i]! > 0.2);
  for (const i of held) places[row[i]! * cols + col[i]!] = i;
  return {
    held,
    col,
    row,
    at: (x, y) => (x < 0 || y < 0 || x >= cols || y >= rows ? -1 : places[y * cols + x]!),
  };
}

/** Distance from block to block: the smallest step between neighbours in a row. */
function spacingOf(blocks: readonly Block[]): number {
  let least = Infinity;
  for (let i = 1; i < blocks.length; i++) {
    const step = blocks[i]!.x - blocks[i - 1]!.x;
    if (blocks[i]!.y === blocks[i - 1]!.y && step > 1e-6) least = Math.min(least, step);
  }
  return Number.isFinite(least) ? least : 1;
}
