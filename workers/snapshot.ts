/** A part of the averaged frame, cut out with what lies in it, and results put back into the frame. */
import type { BlendMapRequest, BlendMapResult } from '../src/reading/blend-map.ts';
import type { MarkedArea } from '../src/reading/marked-area.ts';
import { boundsOf, clamped, type PatchRect } from '../src/reading/patch-rect.ts';
import type {
  EncodedPicture,
  PixelPoint,
  PixelPolygon,
  ReadingResult,
  Regions,
} from '../src/reading/types.ts';

export interface Snapshot {
  readonly picture: EncodedPicture;
  /** In pixels of `picture`. */
  readonly regions: Regions & { readonly tile: PixelPolygon };
  /** Where the top-left corner of `picture` lies in the frame. */
  readonly at: PixelPoint;
}

/** A part is at least this wide and high, px: less is no picture to read. */
const LEAST_SIDE = 160;

/** The smallest part of a 16-bit RGBA frame that holds all rectangles. */
export function snapshot(
  frame: { readonly rgba: Uint16Array; readonly width: number; readonly height: number },
  rects: readonly PatchRect[],
  regions: Regions & { readonly tile: PixelPolygon },
  frames: number,
): Snapshot {
  const corners = rects.flatMap((r) => [
    { x: r.x, y: r.y },
    { x: r.x + r.width, y: r.y + r.height },
  ]);
  const bounds = boundsOf(corners, 0);
  const margin = Math.max(0, LEAST_SIDE - Math.min(bounds.width, bounds.height)) / 2;
  const part = clamped(boundsOf(corners, margin), frame.width, frame.height);
  const rgba = new Uint16Array(part.width * part.height * 4);
  for (let row = 0; row < part.height; row++) {
    const begin = ((part.y + row) * frame.width + part.x) * 4;
    rgba.set(frame.rgba.subarray(begin, begin + part.width * 4), row * part.width * 4);
  }
  const back = { x: -part.x, y: -part.y };
  return {
    picture: { width: part.width, height: part.height, rgba, maxCode: 65535, frames },
    regions: {
      ...regions,
      tile: regions.tile.map((corner) => moved(corner, back)),
      glaze: moved(regions.glaze, back),
      dab: moved(regions.dab, back),
    },
    at: { x: part.x, y: part.y },
  };
}

/** The result with all its positions shifted. */
export function movedResult(result: ReadingResult, by: PixelPoint): ReadingResult {
  const tile = result.tile && {
    tile: { ...result.tile, polygon: result.tile.polygon.map((corner) => moved(corner, by)) },
  };
  if (!result.ok) return { ...result, ...tile };
  const { evidence } = result;
  const { ring, dabOutline, mask } = evidence;
  return {
    ...result,
    ...tile,
    evidence: {
      ...evidence,
      dabOutline: dabOutline.map((corner) => moved(corner, by)),
      ...(ring && { ring: { inner: moved(ring.inner, by), outer: moved(ring.outer, by) } }),
      mask: moved(mask, by),
    },
  };
}

/** A request with all its positions shifted. */
export function movedRequest(
  { area, tile, glaze }: BlendMapRequest,
  by: PixelPoint,
): BlendMapRequest {
  return {
    area: movedArea(area, by),
    ...(tile && { tile: tile.map((corner) => moved(corner, by)) }),
    ...(glaze && { glaze: moved(glaze, by) }),
  };
}

function movedArea(area: MarkedArea, by: PixelPoint): MarkedArea {
  return 'radius' in area ? moved(area, by) : area.map((corner) => moved(corner, by));
}

/** The blend map with all its positions shifted. */
export function movedMap(map: BlendMapResult, by: PixelPoint): BlendMapResult {
  const tile = map.tile && {
    tile: { ...map.tile, polygon: map.tile.polygon.map((corner) => moved(corner, by)) },
  };
  if (!map.ok) return { ...map, ...tile };
  const lines = (polygons: readonly PixelPolygon[]) =>
    polygons.map((line) => line.map((p) => moved(p, by)));
  return {
    ...map,
    ...tile,
    crop: moved(map.crop, by),
    worst: moved(map.worst, by),
    glazeRound: lines(map.glazeRound),
    contours: {
      acceptable: lines(map.contours.acceptable),
      imperceptible: lines(map.contours.imperceptible),
    },
  };
}

const moved = <P extends PixelPoint>(point: P, by: PixelPoint): P => ({
  ...point,
  x: point.x + by.x,
  y: point.y + by.y,
});
