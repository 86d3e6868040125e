/** What every reading starts from: a picture that is large and sharp enough, and its tile. */
import { LEAST_RADIUS } from './dab-state.ts';
import type { OpenCv } from './opencv.ts';
import { insidePolygon, polygonArea } from './picture.ts';
import { refusal } from './refusals.ts';
import { edgeWidth, nothingIsSharp } from './sharpness.ts';
import { DARK_LIGHT, readTile, type TileLight } from './tile.ts';
import { reducedPicture } from './tile-candidates.ts';
import { findTile } from './tile-finder.ts';
import type {
  EncodedPicture,
  PixelCircle,
  PixelPolygon,
  RefusalReason,
  RefusedReading,
  Regions,
  TileReading,
} from './types.ts';

const LEAST_SIDE = 120;
const LEAST_TILE_AREA = 150;
/**
 * Edges wider than this share of the radius of what is read leave no part of it unmixed with glaze: a
 * difference would be read as a fraction of what it is.
 */
const BLURRED = 0.6;

export interface Asked {
  /** The tile as given; absent: it is found. */
  readonly tile?: PixelPolygon;
  /** Radius of what is to be read, px. */
  readonly radius: number;
  /** Places that are surely not on the tile. */
  readonly onPiece: readonly PixelCircle[];
  /** What lies on the tile and is not tile. */
  readonly without?: ((x: number, y: number) => boolean) | undefined;
}

export type Reference =
  { readonly ok: true; readonly tile: TileReading; readonly light: TileLight } | RefusedReading;

/**
 * What was pointed at and lies on the piece: no tile is there. A coat of paint that is read on the tile
 * for itself has no glaze beside it: both then point at the same place.
 */
export function placesOnPiece({ dab, glaze, dabOn }: Partial<Regions>): readonly PixelCircle[] {
  const places = dabOn === 'tile' ? [] : [dab];
  const isCoat = dabOn === 'tile' && dab?.x === glaze?.x && dab?.y === glaze?.y;
  if (!isCoat) places.push(glaze);
  return places.filter((place) => place !== undefined);
}

/** What lies on the tile and is not tile: a dab laid there, and its soft edge. */
export function laidOnTile({
  dab,
  dabOn,
}: Partial<Regions>): ((x: number, y: number) => boolean) | undefined {
  if (!dab || dabOn !== 'tile') return undefined;
  return (x, y) => Math.hypot(x - dab.x, y - dab.y) < 1.6 * dab.radius;
}

export type NoTile = Extract<RefusalReason, 'tile-missing' | 'picture-small' | 'picture-blurred'>;

/** The tile as a live feed looks for it, and its level as a share of the encoded range, 0–1. */
export function findLitTile(
  cv: OpenCv,
  picture: EncodedPicture,
  regions: Partial<Regions>,
): { readonly polygon: PixelPolygon; readonly level: number } | NoTile {
  if (isSmall(picture)) return 'picture-small';
  const polygon = findTile(cv, picture, placesOnPiece(regions), laidOnTile(regions));
  return polygon ? { polygon, level: readTile(picture, polygon).level } : whyNone(cv, picture)[0];
}

const isSmall = ({ width, height }: EncodedPicture): boolean =>
  Math.min(width, height) < LEAST_SIDE;

/** A picture in colour differs in its channels somewhere, by its noise alone. */
function isGrey({ rgba }: EncodedPicture): boolean {
  for (let at = 0; at < rgba.length; at += 4) {
    if (rgba[at] !== rgba[at + 1] || rgba[at] !== rgba[at + 2]) return false;
  }
  return true;
}

function whyNone(
  cv: OpenCv,
  picture: EncodedPicture,
): readonly [why: NoTile, ...besides: RefusalReason[]] {
  const { smallest, width, height, top } = reducedPicture(cv, picture);
  if (nothingIsSharp(smallest, width, height)) return ['picture-blurred'];
  // Where nothing is as light as a tile that can be read, one may well be there.
  return top < DARK_LIGHT ? ['tile-missing', 'tile-dark'] : ['tile-missing'];
}

export function findReference(cv: OpenCv, picture: EncodedPicture, asked: Asked): Reference {
  if (isSmall(picture)) return refused('picture-small');
  const polygon = asked.tile ?? findTile(cv, picture, asked.onPiece, asked.without);
  if (!polygon) return { ok: false, refused: whyNone(cv, picture).map(refusal) };
  if (polygon.length < 3 || polygonArea(polygon) < LEAST_TILE_AREA) {
    return refused('tile-missing');
  }
  const light = readTile(picture, polygon, asked.without);
  const tile: TileReading = { polygon, level: light.level, found: asked.tile === undefined };
  if (asked.onPiece.some(({ x, y }) => insidePolygon(polygon, x, y))) {
    return refused('tile-covers', tile);
  }
  if (light.fault) return refused(light.fault, tile);
  if (isGrey(picture)) return refused('picture-grey', tile);
  const widest = BLURRED * Math.max(asked.radius, LEAST_RADIUS);
  const width = edgeWidth(picture, polygon, widest);
  if (width !== undefined && width > widest) return refused('picture-blurred', tile);
  return { ok: true, tile, light };
}

export function refused(reason: RefusalReason, tile?: TileReading): RefusedReading {
  return { ok: false, refused: [refusal(reason)], ...(tile ? { tile } : {}) };
}
