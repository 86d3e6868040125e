/**
 * How much light falls on the piece where the dab lies, against the tile. A place turned away from the
 * lamp, or further from it, reads darker than its colour is, and a difference read there is scaled with
 * it. Two things tell. The same glaze elsewhere on the piece: its brightest even place faces the lamp,
 * much as the tile does. And the tile's own gradient: towards which side the near lamp stands, and so
 * how much more or less of it reaches that place.
 */
import { connectedCells } from './connected.ts';
import { logOfCell, relativeRgb, type LogTriple } from './log-window.ts';
import {
  centreX,
  centreY,
  insidePolygon,
  linearGrid,
  polygonCentre,
  type LinearGrid,
} from './picture.ts';
import { quantile } from './robust.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, PixelCircle, PixelPoint, PixelPolygon } from './types.ts';

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
const BELIEVED = 0.7;
const OPEN_SHARE = 0.25;
/**
 * How much of the tile's gradient, carried on in a straight line to the facing place, is there, and what
 * is left open: inverse squares flatten out, and the piece stands higher than the tile. On two rendered
 * benches that share no code the least squares were 0.6 and 1.06, and what the light was misjudged by
 * fell from 0.41 and 0.25 to 0.27 and 0.20 (standard deviation, ln).
 */
const CARRIED = 0.7;
const CARRIED_OPEN = 0.25;
/** Further than this, ln, no gradient is carried on. */
const FURTHEST = 1;
/** The facing place itself against the tile: other height, other angle. */
const FACING_AGAINST_TILE = 0.19;

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
    const [mean, red, blue] = logOfCell(grid, cell, tile.linearRgb);
    if (Math.hypot(red - glaze[1], blue - glaze[2]) > SAME_RATIO) continue;
    const [x, y] = [centreX(grid, cell), centreY(grid, cell)];
    if (insidePolygon(tilePolygon, x, y)) continue;
    // A lighter dab is no glaze that faces the lamp.
    if (Math.hypot(x - dab.x, y - dab.y) < dab.radius + step) continue;
    light[cell] = mean;
  }
  const reached = flood(grid, light, dab, glaze[0]);
  const lights = reached.map((cell) => light[cell]!);
  const known = lights.length > 30;
  const facingLight = known ? quantile(lights, FACING) : glaze[0];
  const drop = Math.max(0, facingLight - glaze[0]);
  const facing = known
    ? polygonCentre(
        reached
          .filter((cell) => light[cell]! >= facingLight)
          .map((cell) => ({ x: centreX(grid, cell), y: centreY(grid, cell) })),
      )
    : dab;
  const carried = carriedLight(tile, tilePolygon, facing);
  const logLight = carried - BELIEVED * drop;
  // No glaze is whiter than the whitest: what reads brighter than that has more light than the tile.
  const brightest = Math.max(...relativeRgb(glaze));
  const least = Math.log((brightest * tileWhite) / WHITEST);
  return least > logLight
    ? { logLight: least, standardUncertainty: FACING_AGAINST_TILE / 2 }
    : {
        logLight,
        standardUncertainty: Math.hypot(
          FACING_AGAINST_TILE,
          CARRIED_OPEN * carried,
          OPEN_SHARE * drop,
        ),
      };
}

/**
 * ln of the light at a place over the light on the tile's middle, as the tile's own gradient goes on.
 * @param at px
 */
export function carriedLight(tile: TileLight, tilePolygon: PixelPolygon, at: PixelPoint): number {
  const { x, y } = tile.logSlopePerPx;
  const from = polygonCentre(tilePolygon);
  const change = x * (at.x - from.x) + y * (at.y - from.y);
  return CARRIED * Math.max(-FURTHEST, Math.min(FURTHEST, change));
}

/** Cells that hang together with the glaze round the dab by steps small enough to be shading. */
function flood(
  grid: LinearGrid,
  light: Float32Array,
  dab: PixelCircle,
  glazeLight: number,
): number[] {
  const beside: number[] = [];
  light.forEach((own, cell) => {
    const away = Math.hypot(centreX(grid, cell) - dab.x, centreY(grid, cell) - dab.y);
    if (away < dab.radius * 1.15 || away > dab.radius * 1.6 + grid.step) return;
    if (Math.abs(own - glazeLight) <= 0.15) beside.push(cell);
  });
  return connectedCells(
    grid,
    beside,
    (from, to) => Math.abs(light[to]! - light[from]!) < SHADING_STEP,
  );
}
