/**
 * A dab on the tile or on a card beside the piece: no ring. Dab and glaze are sampled as they are,
 * each against the tile's light, and the interval says how much less that is worth.
 */
import type { OpenCv } from './opencv.ts';
import { conclude, reject, type Read } from './conclude.ts';
import { circleLog } from './on-piece.ts';
import { clippedShare } from './picture.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, Matrix3, PixelCircle, ReadingSettings, Regions } from './types.ts';

/** Share of the pointed-at circle that is sampled: clear of the dab's edge. */
const CORE = 0.7;
/** Standard uncertainty, ln, of the light on the piece against that on the dab. */
const PLACE_LIGHT = 0.2;
const PLACE_RATIO = 0.006;

export function readBeside(
  _cv: OpenCv,
  picture: EncodedPicture,
  regions: Regions,
  settings: ReadingSettings,
  tile: TileLight,
): Read {
  const core = { ...regions.dab, radius: CORE * regions.dab.radius };
  if (core.radius < 3) return reject('dab-small');
  if (clippedShare(picture, core) > 0.01) return reject('dab-clipped');
  if (clippedShare(picture, regions.glaze) > 0.2) return reject('glaze-clipped');
  const dab = circleLog(picture, core, tile);
  const glaze = circleLog(picture, regions.glaze, tile);
  if (!dab || !glaze) return reject('dab-missing');
  const placement: Matrix3 = [
    [PLACE_LIGHT ** 2, 0, 0],
    [0, PLACE_RATIO ** 2, 0],
    [0, 0, PLACE_RATIO ** 2],
  ];
  return conclude(
    {
      glaze,
      step: [dab[0] - glaze[0], dab[1] - glaze[1], dab[2] - glaze[2]],
      covariances: { placement },
      turn: PLACE_LIGHT,
    },
    settings,
    {
      dabOutline: circlePolygon(core),
      mask: { x: 0, y: 0, width: 0, height: 0, step: 1, used: new Uint8Array(0) },
    },
    ['The dab lies beside the piece: the piece’s own curve is not taken away.'],
  );
}

const circlePolygon = (c: PixelCircle) =>
  Array.from({ length: 32 }, (_, i) => ({
    x: c.x + c.radius * Math.cos((i / 16) * Math.PI),
    y: c.y + c.radius * Math.sin((i / 16) * Math.PI),
  }));
