/**
 * How sharp the picture is, told by the tile: its edges are straight and sharp, so what width they have
 * in the picture is the lens's or the hand's.
 */
import { linearGrid, polygonCentre } from './picture.ts';
import { median, quantile } from './robust.ts';
import type { EncodedPicture, PixelPoint, PixelPolygon } from './types.ts';

/** Places along each side at which its edge is crossed, between these shares of its length. */
const CROSSINGS = 15;
const FROM = 0.25;
const TO = 0.75;
/** Least change of light over an edge, as a share of the tile's, that can be followed. */
const LEAST_CONTRAST = 0.12;
/** Of a Gaussian blur, 10–90 % over 25–75 %: 1.2816 / 0.6745. */
const GAUSSIAN = 1.9;

/**
 * Width of the tile's edges, px: over which the light goes from a tenth to nine tenths of its way. The
 * sharpest side counts, for a shadow may soften the others. Undefined when no side can be followed.
 * @param widest px; edges wider than this come out as some width above it, or not at all
 */
export function edgeWidth(
  picture: EncodedPicture,
  tile: PixelPolygon,
  widest: number,
): number | undefined {
  const centre = polygonCentre(tile);
  const widths: number[] = [];
  tile.forEach((corner, i) => {
    const next = tile[(i + 1) % tile.length]!;
    const width = sideWidth(picture, corner, next, centre, 1.5 * widest + 4);
    if (width !== undefined) widths.push(width);
  });
  return widths.length === 0 ? undefined : Math.min(...widths);
}

function sideWidth(
  picture: EncodedPicture,
  corner: PixelPoint,
  next: PixelPoint,
  centre: PixelPoint,
  furthest: number,
): number | undefined {
  const along = { x: next.x - corner.x, y: next.y - corner.y };
  const length = Math.hypot(along.x, along.y);
  const reach = Math.floor(Math.min(furthest, 0.45 * length));
  if (reach < 4) return undefined;
  const at = (share: number) => ({ x: corner.x + share * along.x, y: corner.y + share * along.y });
  const middle = at(0.5);
  const side = (middle.x - centre.x) * along.y - (middle.y - centre.y) * along.x;
  const outward = {
    x: (Math.sign(side) * along.y) / length,
    y: (-Math.sign(side) * along.x) / length,
  };
  const light = lightAround(picture, at(FROM), at(TO), reach);
  const widths: number[] = [];
  for (let i = 0; i < CROSSINGS; i++) {
    const { x, y } = at(FROM + ((TO - FROM) * i) / (CROSSINGS - 1));
    const profile: number[] = [];
    for (let s = -reach; s <= reach; s += 0.5) {
      const seen = light(x + s * outward.x, y + s * outward.y);
      // Beyond the picture, or the part of it that was fetched, nothing is known.
      if (Number.isNaN(seen)) break;
      profile.push(seen);
    }
    const width = profileWidth(profile, reach);
    if (width !== undefined) widths.push(width);
  }
  return widths.length < CROSSINGS / 3 ? undefined : median(widths);
}

/** Width of one crossing, px, sampled every half pixel from `reach` px inside outwards. */
function profileWidth(profile: readonly number[], reach: number): number | undefined {
  const plateau = Math.floor(reach / 2.5);
  if (profile.length < 2 * reach + 6) return undefined;
  const inside = median(profile.slice(0, plateau));
  const outside = median(profile.slice(-Math.min(plateau, 6)));
  if (inside - outside < LEAST_CONTRAST * inside) return undefined;
  const way = profile.map((v) => (inside - v) / (inside - outside));
  const half = way.findIndex((v) => v >= 0.5);
  let low = half - 1;
  while (low > 0 && way[low]! > 0.25) low--;
  let high = half;
  while (high < way.length - 1 && way[high]! < 0.75) high++;
  const crossing = (after: number, level: number) => {
    const [p, q] = [way[after - 1]!, way[after]!];
    return after - 1 + (q === p ? 0 : (level - p) / (q - p));
  };
  return half < 1 ? undefined : (GAUSSIAN * (crossing(high, 0.75) - crossing(low + 1, 0.25))) / 2;
}

/** Green light round a side, between pixels by straight lines; NaN where the picture has no pixel. */
function lightAround(
  picture: EncodedPicture,
  from: PixelPoint,
  to: PixelPoint,
  reach: number,
): (x: number, y: number) => number {
  const { x0, y0, cols, rows, g } = linearGrid(
    picture,
    Math.min(from.x, to.x) - reach - 2,
    Math.min(from.y, to.y) - reach - 2,
    Math.max(from.x, to.x) + reach + 2,
    Math.max(from.y, to.y) + reach + 2,
    1,
  );
  return (x, y) => {
    const px = x - x0 - 0.5;
    const py = y - y0 - 0.5;
    const col = Math.floor(px);
    const row = Math.floor(py);
    if (col < 0 || row < 0 || col >= cols - 1 || row >= rows - 1) return NaN;
    const alpha = picture.rgba[((y0 + row + 1) * picture.width + x0 + col + 1) * 4 + 3];
    if (alpha === 0) return NaN;
    const at = row * cols + col;
    const [fx, fy] = [px - col, py - row];
    return (
      (1 - fy) * ((1 - fx) * g[at]! + fx * g[at + 1]!) +
      fy * ((1 - fx) * g[at + cols]! + fx * g[at + cols + 1]!)
    );
  };
}

/** Places whose change of light is compared near and far: the strongest of this share. */
const STRONGEST = 0.002;
/** Change over two pixels against that over sixteen, of a reduced picture, where nothing is sharp. */
const NOTHING_SHARP = 0.18;
/** Least change over sixteen pixels, codes, that is an edge at all and not noise. */
const LEAST_CHANGE = 12;

/**
 * Is nothing in the picture sharp, though there are things in it? Then it is the lens or the hand.
 * @param codes encoded, 0–255, of a picture reduced to a few hundred pixels across
 */
export function nothingIsSharp(codes: Float32Array, width: number, height: number): boolean {
  const near: number[] = [];
  const far: number[] = [];
  for (let y = 8; y < height - 8; y += 2) {
    for (let x = 8; x < width - 8; x += 2) {
      const change = (by: number) => {
        const i = y * width + x;
        const [left, right] = [codes[i - by]!, codes[i + by]!];
        const [up, down] = [codes[i - by * width]!, codes[i + by * width]!];
        return Math.hypot(right - left, down - up);
      };
      near.push(change(1));
      far.push(change(8));
    }
  }
  if (near.length === 0) return false;
  const most = quantile(far, 1 - STRONGEST);
  return most > LEAST_CHANGE && quantile(near, 1 - STRONGEST) < NOTHING_SHARP * most;
}
