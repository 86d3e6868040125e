/**
 * One picture and the places the person points at → a reading, or the reasons why there is none.
 * The live feed, the photograph and the command line all come through here.
 */
import type { OpenCv } from './opencv.ts';
import { polygonArea } from './picture.ts';
import { readBeside } from './beside.ts';
import { readOnPiece } from './on-piece.ts';
import { refusal } from './refusals.ts';
import { edgeWidth } from './sharpness.ts';
import { readTile } from './tile.ts';
import { findTile } from './tile-finder.ts';
import type {
  EncodedPicture,
  PixelCircle,
  ReadingResult,
  ReadingSettings,
  RefusalReason,
  Regions,
  TileReading,
} from './types.ts';

/** Changes whenever the same picture would give another number; kept with every reading. */
export const ALGORITHM = 'lamp-and-tile reading 1';

const LEAST_SIDE = 120;
/**
 * Edges wider than this share of the dab's radius leave no part of it unmixed with glaze: a difference
 * would be read as a fraction of what it is.
 */
const BLURRED = 0.6;

/**
 * Reads the difference between glaze and dab.
 * @param picture sRGB-encoded; regions in its pixels
 * @returns a reading, or refusals each with a remedy; never throws for a bad picture
 */
export function read(
  cv: OpenCv,
  picture: EncodedPicture,
  regions: Regions,
  settings: ReadingSettings,
): ReadingResult {
  if (Math.min(picture.width, picture.height) < LEAST_SIDE) return refused('picture-small');
  if (!inPicture(picture, regions.dab)) return refused('dab-missing');
  if (!inPicture(picture, regions.glaze)) return refused('ring-unusable');
  const onPiece = regions.dabOn === 'piece' ? [regions.dab, regions.glaze] : [regions.glaze];
  const polygon = regions.tile ?? findTile(cv, picture, onPiece);
  if (!polygon || polygon.length < 3 || polygonArea(polygon) < 150) return refused('tile-missing');
  const light = readTile(picture, polygon, notTile(regions));
  const tile: TileReading = { polygon, level: light.level, found: regions.tile === undefined };
  if (light.fault) return refused(light.fault, tile);
  const widest = BLURRED * regions.dab.radius;
  const width = edgeWidth(picture, polygon, widest);
  if (width !== undefined && width > widest) return refused('picture-blurred', tile);
  const result =
    regions.dabOn === 'piece'
      ? readOnPiece(cv, picture, regions, settings, light, polygon)
      : readBeside(cv, picture, regions, settings, light);
  if (!result.ok) return { ok: false, refused: result.reasons.map(refusal), tile };
  return { ...result.reading, ok: true, tile, algorithm: ALGORITHM };
}

function refused(reason: RefusalReason, tile?: TileReading): ReadingResult {
  return { ok: false, refused: [refusal(reason)], ...(tile ? { tile } : {}) };
}

const inPicture = (picture: EncodedPicture, { x, y, radius }: PixelCircle): boolean =>
  x > 0 && y > 0 && x < picture.width && y < picture.height && radius > 0;

/** A dab laid on the tile is not tile, nor is its soft edge. */
function notTile({ dab, dabOn }: Regions): ((x: number, y: number) => boolean) | undefined {
  if (dabOn === 'piece') return undefined;
  return (x, y) => Math.hypot(x - dab.x, y - dab.y) < 1.6 * dab.radius;
}
