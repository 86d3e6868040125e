/** A dab on the glaze: the ring of glaze round it, one field of light under both. */
import type { OpenCv } from './opencv.ts';
import { circleLog } from './circle-log.ts';
import { conclude, reject, type Concluded, type Read } from './conclude.ts';
import { whyUnreadable, whyUnseen } from './dab-state.ts';
import { evidenceOf } from './evidence.ts';
import { farGlaze } from './far-glaze.ts';
import { findDab } from './find-dab.ts';
import { clearShare } from './glare.ts';
import type { Gleam } from './gleam.ts';
import { lightRound } from './light-round.ts';
import type { DabOutline } from './outline-shape.ts';
import { clippedShare } from './picture.ts';
import { whyDistrusted } from './piece-refusals.ts';
import { sheenMissing } from './sheen.ts';
import type { TileLight } from './tile.ts';
import { estimateTurn } from './turn.ts';
import { sum, tileWhiteness } from './uncertainty.ts';
import { stepOfUnseen } from './unseen-dab.ts';
import type { EncodedPicture, Matrix3, PixelPolygon, ReadingSettings, Regions } from './types.ts';

/** Clipped share of a circle pointed at, from which nothing in it can be trusted. */
const MOSTLY = 0.3;

/**
 * Reads the dab that `regions` point at on the glaze it lies on.
 * @param tilePolygon corners of the tile, px of the picture
 * @returns the reading, or why there is none
 */
export function readOnPiece(
  cv: OpenCv,
  picture: EncodedPicture,
  regions: Regions,
  settings: ReadingSettings,
  tile: TileLight,
  tilePolygon: PixelPolygon,
): Read {
  if (clippedShare(picture, regions.dab) > MOSTLY) return reject('dab-clipped');
  if (clippedShare(picture, regions.glaze) > MOSTLY) return reject('glaze-clipped');
  const glazeHint = circleLog(picture, regions.glaze, tile);
  const found = findDab(cv, picture, regions, glazeHint, tile);
  if (!found) return reject(whyUnseen(picture, regions.dab));
  const unreadable = whyUnreadable(found, regions.dab);
  if (unreadable.length > 0) return reject(...unreadable);
  const round = lightRound(cv, found, regions.dab);
  if (!round) return reject('ring-unusable');
  const distrusted = whyDistrusted(found, round, regions, glazeHint);
  const { highlights, layout, fit, faded } = round;
  if (distrusted || !fit) return reject(distrusted ?? 'ring-unusable');
  const { window, dab } = found;
  const unseen =
    dab.seen || faded
      ? undefined
      : stepOfUnseen(
          window,
          regions.dab,
          (cell) => dab.glazeTrust[cell]! * highlights.clear[cell]!,
        );
  const { step, noise, shading, texture } = unseen ?? fit;
  const circle = { ...dab.centre, radius: dab.radius };
  const sheen = sheenMissing(
    { glaze: fit.glaze, step },
    farGlaze(picture, tile, tilePolygon, circle, fit.glaze),
  );
  const gleam = fit.gleam();
  const turn = estimateTurn(
    picture,
    tilePolygon,
    tile,
    circle,
    fit.glaze,
    tileWhiteness(settings.tileColour.lab),
  );
  const read = conclude(
    {
      glaze: [fit.glaze[0] - turn.logLight, fit.glaze[1], fit.glaze[2]],
      step,
      covariances: {
        noise,
        shading,
        texture,
        highlight: sum([
          reflected(fit.ratioDrift),
          gleaming(sheen.logLight > gleam.logLight ? sheen : gleam),
        ]),
      },
      turn: turn.standardUncertainty,
    },
    settings,
    evidenceOf(found, layout, fit),
    [...warningsOf(tile, dab), ...(faded ? [FADED] : [])],
  );
  if (!read.ok || !tellsNothing(read.reading, settings.thresholds.acceptable)) return read;
  const shines = clearShare(dab, highlights.clear) < BY_GLARE;
  return reject(shines || isGlareFirst(read.reading) ? 'dab-highlight' : 'ring-unusable');
}

/** Half-width of the interval, ΔE₀₀, from which a number of less than twice it tells nothing. */
const NOTHING = 3.5;
/** Free share of the dab under which the highlight beside it is why. */
const BY_GLARE = 0.98;

/** What surely shows, by however much, is worth saying. */
function tellsNothing(
  { difference: { deltaE00, interval95 } }: Concluded,
  acceptable: number,
): boolean {
  const halfWidth = (interval95[1] - interval95[0]) / 2;
  return halfWidth > NOTHING && deltaE00 < 2 * halfWidth && interval95[0] <= acceptable;
}

const isGlareFirst = ({ uncertainty }: Concluded): boolean =>
  uncertainty.shares[0]?.source === 'highlight';

const FADED =
  'The edge of the dab fades away, or more of it is paint than you pointed at: point at all of it.';

/** Share of the drift of the glaze's colour round the dab that may lie between glaze and dab: one is glossy, the other perhaps not. */
const DRIFT_SHARE = 0.12;

function reflected(drift: number): Matrix3 {
  const variance = (DRIFT_SHARE * drift) ** 2;
  return [
    [variance, 0, 0],
    [0, variance, 0],
    [0, 0, variance],
  ];
}

/** What the glaze mirrors softly the dab may mirror as well, or not at all. */
function gleaming({ logLight, along }: Gleam): Matrix3 {
  return along.map((p) => along.map((q) => logLight ** 2 * p * q)) as unknown as Matrix3;
}

function warningsOf(tile: TileLight, dab: DabOutline): string[] {
  const warnings: string[] = [];
  if (tile.level > 0.93)
    warnings.push('The tile is nearly too bright: lower the exposure a little.');
  if (tile.level < 0.6) warnings.push('The tile is rather dark: raise the exposure.');
  if (tile.gradient > 0.25) warnings.push('The tile is lit unevenly: move the lamp further away.');
  if (!dab.seen) {
    warnings.push('The dab cannot be told from the glaze; the circle you pointed at was read.');
  }
  return warnings;
}
