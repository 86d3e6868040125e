/**
 * One picture and the places the person points at → a reading, or the reasons why there is none.
 * The live feed, the photograph and the command line all come through here.
 */
import type { OpenCv } from './opencv.ts';
import { readBeside } from './beside.ts';
import { readOnPiece } from './on-piece.ts';
import { misfits } from './profile/fits-tile.ts';
import { findReference, laidOnTile, placesOnPiece, refused } from './reference.ts';
import { refusal } from './refusals.ts';
import { withTone } from './sensor-light.ts';
import type {
  EncodedPicture,
  PixelCircle,
  ReadingResult,
  ReadingSettings,
  Regions,
} from './types.ts';

/** Changes whenever the same picture would give another number; kept with every reading. */
export const ALGORITHM = 'lamp-and-tile reading 7';

/**
 * Reads the difference between glaze and dab.
 * @param taken encoded as sRGB says, or as the profile's tone response does; regions in its pixels
 * @returns a reading, or refusals each with a remedy; never throws for a bad picture
 */
export function read(
  cv: OpenCv,
  taken: EncodedPicture,
  regions: Regions,
  given: ReadingSettings,
): ReadingResult {
  const { profile } = given;
  const { picture, settings } = withTone(taken, given);
  const reference = findReference(cv, picture, {
    ...(regions.tile ? { tile: regions.tile } : {}),
    radius: regions.dab.radius,
    onPiece: placesOnPiece(regions),
    without: laidOnTile(regions),
  });
  if (!reference.ok) return reference;
  const { tile, light } = reference;
  if (!inPicture(picture, regions.dab)) return refused('dab-missing', tile);
  if (!inPicture(picture, regions.glaze)) return refused('ring-unusable', tile);
  const result =
    regions.dabOn === 'piece'
      ? readOnPiece(cv, picture, regions, settings, light, tile.polygon)
      : readBeside(cv, picture, regions, settings, light, tile.polygon);
  if (!result.ok) return { ok: false, refused: result.reasons.map(refusal), tile };
  const doubts = profile ? misfits(profile, light, settings.camera) : [];
  const warnings = [...result.reading.warnings, ...doubts];
  return { ...result.reading, warnings, ok: true, tile, algorithm: ALGORITHM };
}

const inPicture = (picture: EncodedPicture, { x, y, radius }: PixelCircle): boolean =>
  x > 0 && y > 0 && x < picture.width && y < picture.height && radius > 0;
