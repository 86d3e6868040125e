/**
 * The glaze further from the dab than its ring. A broad sheen is all but even across the ring of a small
 * dab; out where it ends the glaze is darker, and its own colour again.
 */
import { connectedCells } from './connected.ts';
import type { LitBlock } from './gleam.ts';
import { logOfCell, type LogTriple } from './log-window.ts';
import { centreX, centreY, insidePolygon, linearGrid } from './picture.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, PixelCircle, PixelPolygon } from './types.ts';

/** How far the glaze is followed: radii of the dab, least px, and cells from the dab to there. */
const REACH_RADII = 14;
const LEAST_REACH = 150;
const REACH_CELLS = 40;
/** Least side of a cell, px: noise must not look like an edge. */
const LEAST_SIDE = 4;
/** Glaze beside the dab, where following begins: radii of the dab, and cells. */
const BEGIN_RADII = 1.9;
const BEGIN_CELLS = 3;
/** How far that may stray from the glaze at the dab: ln light, ln of channel ratio. */
const BEGIN_LIGHT = 0.25;
const BEGIN_RATIO = 0.1;
/** Most change from cell to cell that is light and not the edge of a band, a shade or the piece. */
const SMOOTH_LIGHT = 0.15;
const SMOOTH_RATIO = 0.03;
/** The soft edge of the dab, and a cell half on it, cells. */
const EDGE_CELLS = 1.5;

/** A block of glaze some way off, counted whole. */
export interface FarBlock extends LitBlock {
  /** Distance from the dab's centre, radii of the dab. */
  readonly away: number;
}

/**
 * @param tilePolygon corners of the tile, px of the picture
 * @param glaze log colour of the glaze at the dab's centre
 * @returns what hangs together with the glaze beside the dab without any edge
 */
export function farGlaze(
  picture: EncodedPicture,
  tile: TileLight,
  tilePolygon: PixelPolygon,
  dab: PixelCircle,
  glaze: LogTriple,
): readonly FarBlock[] {
  const reach = Math.max(REACH_RADII * dab.radius, LEAST_REACH);
  const side = Math.max(LEAST_SIDE, Math.round(reach / REACH_CELLS));
  const grid = linearGrid(
    picture,
    dab.x - reach,
    dab.y - reach,
    dab.x + reach,
    dab.y + reach,
    side,
  );
  const awayFrom = (cell: number) =>
    Math.hypot(centreX(grid, cell) - dab.x, centreY(grid, cell) - dab.y);
  const logs = Array.from({ length: grid.cols * grid.rows }, (_, cell) => {
    if (grid.clipped[cell] || awayFrom(cell) < dab.radius + EDGE_CELLS * side) return undefined;
    if (insidePolygon(tilePolygon, centreX(grid, cell), centreY(grid, cell))) return undefined;
    return logOfCell(grid, cell, tile.linearRgb);
  });
  const isWithin = (a: LogTriple | undefined, b: LogTriple, light: number, ratio: number) =>
    a !== undefined &&
    Math.abs(a[0] - b[0]) < light &&
    Math.hypot(a[1] - b[1], a[2] - b[2]) < ratio;
  const beside = [...logs.keys()].filter(
    (cell) =>
      awayFrom(cell) < BEGIN_RADII * dab.radius + BEGIN_CELLS * side &&
      isWithin(logs[cell], glaze, BEGIN_LIGHT, BEGIN_RATIO),
  );
  const reached = connectedCells(grid, beside, (from, to) =>
    isWithin(logs[to], logs[from]!, SMOOTH_LIGHT, SMOOTH_RATIO),
  );
  return reached.map((cell) => {
    const log = logs[cell]!;
    return { log, light: log[0], weight: 1, away: awayFrom(cell) / dab.radius };
  });
}
