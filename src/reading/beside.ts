/**
 * A dab on the tile or on a card beside the piece: no ring. Dab and glaze are sampled as they are,
 * each against the tile's light, and the interval says how much less that is worth.
 */
import type { OpenCv } from './opencv.ts';
import { conclude, reject, type Read } from './conclude.ts';
import type { LogTriple } from './log-window.ts';
import { circleLog } from './circle-log.ts';
import { clippedShare, insidePolygon } from './picture.ts';
import type { TileLight } from './tile.ts';
import { carriedLight, estimateTurn, type Turn } from './turn.ts';
import { tileWhiteness } from './uncertainty.ts';
import type {
  EncodedPicture,
  Matrix3,
  PixelCircle,
  PixelPolygon,
  ReadingSettings,
  Regions,
} from './types.ts';

/** Share of the pointed-at circle that is sampled: clear of the dab's edge. */
const CORE = 0.7;
/** Standard uncertainty, ln, of the light on tile or card where the dab lies. */
const CARD_LIGHT = 0.05;
const PLACE_RATIO = 0.006;

export function readBeside(
  _cv: OpenCv,
  picture: EncodedPicture,
  regions: Regions,
  settings: ReadingSettings,
  tile: TileLight,
  tilePolygon: PixelPolygon,
): Read {
  const core = { ...regions.dab, radius: CORE * regions.dab.radius };
  if (core.radius < 3) return reject('dab-small');
  if (clippedShare(picture, core) > 0.01) return reject('dab-clipped');
  if (clippedShare(picture, regions.glaze) > 0.2) return reject('glaze-clipped');
  const dab = circleLog(picture, core, tile);
  const glaze = circleLog(picture, regions.glaze, tile);
  if (!dab || !glaze) return reject('dab-missing');
  const light = (place: PixelCircle): Turn => ({
    logLight: carriedLight(tile, tilePolygon, place),
    standardUncertainty: CARD_LIGHT,
  });
  const onDab = light(regions.dab);
  const onGlaze = insidePolygon(tilePolygon, regions.glaze.x, regions.glaze.y)
    ? light(regions.glaze)
    : estimateTurn(
        picture,
        tilePolygon,
        tile,
        regions.glaze,
        glaze,
        tileWhiteness(settings.tileColour.lab),
      );
  const lit = (log: LogTriple, { logLight }: Turn): LogTriple => [
    log[0] - logLight,
    log[1],
    log[2],
  ];
  const glazeLit = lit(glaze, onGlaze);
  const dabLit = lit(dab, onDab);
  const placement: Matrix3 = [
    [onDab.standardUncertainty ** 2 + onGlaze.standardUncertainty ** 2, 0, 0],
    [0, PLACE_RATIO ** 2, 0],
    [0, 0, PLACE_RATIO ** 2],
  ];
  return conclude(
    {
      glaze: glazeLit,
      step: [dabLit[0] - glazeLit[0], dabLit[1] - glazeLit[1], dabLit[2] - glazeLit[2]],
      covariances: { placement },
      turn: onDab.standardUncertainty,
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
