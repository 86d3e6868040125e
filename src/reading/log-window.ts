/**
 * The neighbourhood of the dab as logarithms of linear light, relative to the tile. In logs a change
 * of light is a shift, the same in all three channels; so lightness carries the shading and the two
 * ratios carry the colour.
 */
import { linearGrid, type LinearGrid } from './picture.ts';
import type { EncodedPicture, PixelCircle } from './types.ts';

/** Three log coordinates: mean of ln R, ln G, ln B; ln R/G; ln B/G; all with the toe below. */
export type LogTriple = readonly [mean: number, redToGreen: number, blueToGreen: number];

export interface LogWindow {
  readonly grid: LinearGrid;
  /** One plane for each coordinate of LogTriple, a value a cell. */
  readonly planes: readonly [Float32Array, Float32Array, Float32Array];
  /** Light of the tile, in whose terms the planes are. */
  readonly tileLinearRgb: readonly [number, number, number];
  /** 1 where the cell can be used: neither clipped, nor beside a clipped one, nor black in all channels. */
  readonly usable: Uint8Array;
}

/** Linear light under which noise and quantisation rule: code 2 of 255. */
const BLACK = 6e-4;
/**
 * Added to each channel before its logarithm is taken, as a share of the tile's light. A strong colour
 * has a channel near nothing; its logarithm is all noise, and its light matters little to the eye:
 * below about this CIELAB, too, turns from a root into a straight line. As bright as the tile stays 0.
 */
const TOE = 0.004;
/** Most cells along a side of the window. */
const MOST_CELLS = 220;

/** Window of half-width `reach` px round the circle's centre. */
export function logWindow(
  picture: EncodedPicture,
  circle: PixelCircle,
  reach: number,
  tileLinearRgb: readonly [number, number, number],
): LogWindow {
  const step = Math.max(1, Math.ceil((2 * reach) / MOST_CELLS));
  const grid = linearGrid(
    picture,
    circle.x - reach,
    circle.y - reach,
    circle.x + reach,
    circle.y + reach,
    step,
  );
  const n = grid.cols * grid.rows;
  const planes = [new Float32Array(n), new Float32Array(n), new Float32Array(n)] as const;
  const usable = new Uint8Array(n);
  for (let cell = 0; cell < n; cell++) {
    usable[cell] = Math.max(grid.r[cell]!, grid.g[cell]!, grid.b[cell]!) > BLACK ? 1 : 0;
    const [mean, redToGreen, blueToGreen] = logOfCell(grid, cell, tileLinearRgb);
    planes[0][cell] = mean;
    planes[1][cell] = redToGreen;
    planes[2][cell] = blueToGreen;
  }
  dropClipped(grid, usable);
  return { grid, planes, tileLinearRgb, usable };
}

/** Log coordinates of what a cell shows, relative to the tile's light. */
export const logOfCell = (
  { r, g, b }: LinearGrid,
  cell: number,
  [tileR, tileG, tileB]: readonly [number, number, number],
): LogTriple => logTriple(r[cell]! / tileR, g[cell]! / tileG, b[cell]! / tileB);

/** Light relative to the tile, R, G, B, each 0 or more, to its log coordinates. */
export function logTriple(r: number, g: number, b: number): LogTriple {
  const lr = Math.log((r + TOE) / (1 + TOE));
  const lg = Math.log((g + TOE) / (1 + TOE));
  const lb = Math.log((b + TOE) / (1 + TOE));
  return [(lr + lg + lb) / 3, lr - lg, lb - lg];
}

/** The inverse of `logTriple`: light relative to the tile, R, G, B. */
export function relativeRgb([mean, redToGreen, blueToGreen]: LogTriple): [number, number, number] {
  const lg = mean - (redToGreen + blueToGreen) / 3;
  const light = (log: number) => Math.max(0, (1 + TOE) * Math.exp(log) - TOE);
  return [light(lg + redToGreen), light(lg), light(lg + blueToGreen)];
}

/** A clipped pixel spreads into its neighbours by the lens and the demosaicing: drop them too. */
function dropClipped(grid: LinearGrid, usable: Uint8Array): void {
  const { cols, rows, clipped } = grid;
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < cols; x++) {
      if (!clipped[y * cols + x]) continue;
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const nx = x + dx;
          const ny = y + dy;
          if (nx >= 0 && ny >= 0 && nx < cols && ny < rows) usable[ny * cols + nx] = 0;
        }
      }
    }
  }
}
