/**
 * How far the piece, where the dab lies, is turned from the lamp. A place turned away reads darker
 * than its colour is, and a difference read there is scaled with it. The same glaze elsewhere on the
 * piece tells: its brightest even place is the one that faces the lamp, much as the tile does.
 */
import { logTriple, relativeRgb, type LogTriple } from './log-window.ts';
import { centreX, centreY, insidePolygon, linearGrid } from './picture.ts';
import { quantile } from './robust.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, PixelCircle, PixelPolygon } from './types.ts';

export interface Turn {
  /** ln of the light at the dab over the light on the tile, best estimate. */
  readonly logLight: number;
  /** Its standard uncertainty. */
  readonly standardUncertainty: number;
}

/** Cells along the longer side of the picture. */
const CELLS = 120;
/** Glaze of the same colour: how far its log ratios may stray. */
const SAME_RATIO = 0.07;
/** Steepest change of ln light from cell to cell that is shading and not an edge or glare. */
const SHADING_STEP = 0.07;
/** Share of the glaze that is brighter than the place taken as facing the lamp. */
const FACING = 0.93;
/** How much of the drop from the facing place is due to turning away, and what is left open. */
const BELIEVED = 0.75;
const OPEN_SHARE = 0.35;
/** The facing place itself against the tile: other distance, other angle. */
const FACING_AGAINST_TILE = 0.2;

/** Linear reflectance, sRGB's brightest channel, of the whitest glaze. */
const WHITEST = 0.86;

/**
 * @param tileWhite the tile's own linear sRGB, mean of channels
 * @param glaze log colour of the glaze where the dab lies, relative to the tile
 */
export function estimateTurn(
  picture: EncodedPicture,
  tilePolygon: PixelPolygon,
  tile: TileLight,
  dab: PixelCircle,
  glaze: LogTriple,
  tileWhite: number,
): Turn {
  const step = Math.max(1, Math.round(Math.max(picture.width, picture.height) / CELLS));
  const grid = linearGrid(picture, 0, 0, picture.width, picture.height, step);
  const { cols, rows } = grid;
  const n = cols * rows;
  const light = new Float32Array(n).fill(NaN);
  for (let cell = 0; cell < n; cell++) {
    if (grid.clipped[cell]) continue;
    const [mean, red, blue] = logTriple(
      grid.r[cell]! / tile.linearRgb[0],
      grid.g[cell]! / tile.linearRgb[1],
      grid.b[cell]! / tile.linearRgb[2],
    );
    if (Math.hypot(red - glaze[1], blue - glaze[2]) > SAME_RATIO) continue;
    const [x, y] = [centreX(grid, cell), centreY(grid, cell)];
    if (insidePolygon(tilePolygon, x, y)) continue;
    // A lighter dab is no glaze that faces the lamp.
    if (Math.hypot(x - dab.x, y - dab.y) < dab.radius + step) continue;
    light[cell] = mean;
  }
  const reached = flood(grid, light, dab, glaze[0]);
  const lights = reached.map((cell) => light[cell]!);
  const drop = lights.length > 30 ? Math.max(0, quantile(lights, FACING) - glaze[0]) : 0;
  const logLight = -BELIEVED * drop;
  // No glaze is whiter than the whitest: what reads brighter than that has more light than the tile.
  const brightest = Math.max(...relativeRgb(glaze));
  const least = Math.log((brightest * tileWhite) / WHITEST);
  return least > logLight
    ? { logLight: least, standardUncertainty: FACING_AGAINST_TILE / 2 }
    : {
        logLight,
        standardUncertainty: Math.hypot(FACING_AGAINST_TILE, OPEN_SHARE * drop),
      };
}

/** Cells that hang together with the glaze round the dab by steps small enough to be shading. */
function flood(
  grid: { x0: number; y0: number; step: number; cols: number; rows: number },
  light: Float32Array,
  dab: PixelCircle,
  glazeLight: number,
): number[] {
  const { cols, rows, step } = grid;
  const seen = new Uint8Array(light.length);
  const stack: number[] = [];
  const reach = (dab.radius * 1.6) / step + 1;
  const cx = (dab.x - grid.x0) / step;
  const cy = (dab.y - grid.y0) / step;
  for (let y = Math.max(0, Math.floor(cy - reach)); y < Math.min(rows, cy + reach); y++) {
    for (let x = Math.max(0, Math.floor(cx - reach)); x < Math.min(cols, cx + reach); x++) {
      const cell = y * cols + x;
      const away = Math.hypot(x + 0.5 - cx, y + 0.5 - cy) * step;
      if (away < dab.radius * 1.15 || Math.abs(light[cell]! - glazeLight) > 0.15) continue;
      if (Number.isNaN(light[cell]!) || seen[cell]) continue;
      seen[cell] = 1;
      stack.push(cell);
    }
  }
  const reached: number[] = [];
  for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
    reached.push(cell);
    const x = cell % cols;
    const y = Math.floor(cell / cols);
    for (const [nx, ny] of [
      [x - 1, y],
      [x + 1, y],
      [x, y - 1],
      [x, y + 1],
    ] as const) {
      if (nx < 0 || ny < 0 || nx >= cols || ny >= rows) continue;
      const next = ny * cols + nx;
      if (seen[next] || !(Math.abs(light[next]! - light[cell]!) < SHADING_STEP)) continue;
      seen[next] = 1;
      stack.push(next);
    }
  }
  return reached;
}
