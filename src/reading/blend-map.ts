/**
 * The blend map of a sprayed area: ΔE₀₀ of every pixel from the glaze it should look like. The light on
 * the sound glaze round the area is carried on under it, and each pixel is held against the glaze in the
 * light of its own place.
 *
 * Noise alone makes a difference: pixels are first averaged over a square as large as their noise asks
 * for, in linear light, so that what is left of it lies well under what can be seen.
 */
import { deltaE00OfPixels } from '../colour/delta-e-kernel.ts';
import { encodedFromLinear } from '../colour/srgb.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { contourLines } from './contour-lines.ts';
import { readGlazeRound, ringReach, type GlazeRound } from './glaze-round.ts';
import { isBodyPlusLamp } from './highlights.ts';
import type { LogTriple } from './log-window.ts';
import { shapeOf, type AreaShape, type MarkedArea } from './marked-area.ts';
import type { OpenCv } from './opencv.ts';
import { clamped, type PatchRect } from './patch-rect.ts';
import { clippedShare, linearGrid, type LinearGrid } from './picture.ts';
import { meanOverSquares } from './pixel-means.ts';
import { findReference } from './reference.ts';
import { robustSigma } from './robust.ts';
import { estimateTurn } from './turn.ts';
import type {
  EncodedPicture,
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingSettings,
  RefusalReason,
  RefusedReading,
  TileReading,
} from './types.ts';
import { labOfRelative, tileLinearSrgb } from './uncertainty.ts';

export interface BlendMapRequest {
  /** The sprayed area as the person marks it. */
  readonly area: MarkedArea;
  /** Corners of the tile; absent: it is found. */
  readonly tile?: PixelPolygon;
  /** A patch of sound glaze; absent: most of what surrounds the area is taken for glaze. */
  readonly glaze?: PixelCircle;
}

/** Shares, 0–1, of the pixels judged whose ΔE₀₀ exceeds each threshold. */
export interface SharesAbove {
  readonly acceptable: number;
  readonly imperceptible: number;
}

export interface BlendMap {
  readonly ok: true;
  readonly tile: TileReading;
  /** The glaze at the middle of the area, CIELAB D65/2°. */
  readonly glazeLab: LabD65;
  /** The part of the picture the map covers: the area and the ring of glaze round it, px. */
  readonly crop: PatchRect;
  /** ΔE₀₀ of each pixel of the crop, row by row; NaN where nothing can be told. */
  readonly deltaE00: Float32Array;
  /** 1 for each pixel of the crop that lies in the area. */
  readonly inArea: Uint8Array;
  /** Share of the area that could be judged, 0–1: the rest is glare or too dark. */
  readonly judged: number;
  /** Of the area as far as it was judged. */
  readonly above: SharesAbove;
  /** The same of the sound glaze round it: what its own unevenness and the picture's noise make. */
  readonly glazeAbove: SharesAbove;
  /** The worst place in the area, over a spot of a few pixels; picture px. */
  readonly worst: PixelPoint & { readonly deltaE00: number };
  /** Closed lines round what exceeds each threshold within the area; picture px. */
  readonly contours: {
    readonly acceptable: readonly PixelPolygon[];
    readonly imperceptible: readonly PixelPolygon[];
  };
}

export type BlendMapResult = BlendMap | RefusedReading;

const LEAST_RADIUS = 10;
/** Share of the area that must be judged. */
const LEAST_JUDGED = 0.6;
/** ln of light by which a highlight, at the least, outshines the glaze: much more than paint may. */
const GLARE = 0.35;
/** More of the area than this is never the lamp's mirror image: it is paint. */
const MOST_GLARE = 0.4;
/** Deviation of ln light, of a mean of pixels, that is left as noise. */
const NOISE_LEFT = 0.005;
/** Linear light under which noise and quantisation rule: code 4 of 255. */
const BLACK = 1.2e-3;

export function readBlendMap(
  cv: OpenCv,
  picture: EncodedPicture,
  request: BlendMapRequest,
  settings: ReadingSettings,
): BlendMapResult {
  const shape = shapeOf(request.area);
  const circle: PixelCircle = { ...shape.centre, radius: shape.radius };
  const reference = findReference(cv, picture, {
    ...(request.tile ? { tile: request.tile } : {}),
    radius: shape.radius,
    onPiece: request.glaze ? [circle, request.glaze] : [circle],
  });
  if (!reference.ok) return reference;
  const { tile, light } = reference;
  const refuse = (reason: AreaReason): RefusedReading => ({ ...refusedArea(reason), tile });
  if (!isIn(picture, shape)) return refuse('dab-missing');
  if (shape.radius < LEAST_RADIUS) return refuse('dab-small');
  if (clippedShare(picture, circle) > 1 - LEAST_JUDGED) return refuse('dab-clipped');
  const round = readGlazeRound(picture, shape, light, request.glaze);
  if (!round) return refuse('ring-unusable');

  const reach = ringReach(shape);
  const crop = clamped(
    { x: shape.centre.x - reach, y: shape.centre.y - reach, width: 2 * reach, height: 2 * reach },
    picture.width,
    picture.height,
  );
  const pixels = linearGrid(
    picture,
    crop.x,
    crop.y,
    crop.x + crop.width,
    crop.y + crop.height,
    1,
  );
  const inArea = maskOf(pixels, shape);
  const known = knownPixels(pixels);
  const tileColour = tileLinearSrgb(settings.tileColour.lab);
  const turn = estimateTurn(
    picture,
    tile.polygon,
    light,
    circle,
    round.glaze,
    (tileColour[0] + tileColour[1] + tileColour[2]) / 3,
  ).logLight;
  const shading = shadingOver(pixels, round, shape);
  leaveOutGlare(pixels, known, inArea, shading, round.glaze, light.linearRgb);
  const judged = shareOf(inArea, (i) => known[i] === 1);
  if (judged < LEAST_JUDGED) {
    return refuse(shareOf(inArea, (i) => tooDark(pixels, i)) > 0.2 ? 'dab-dark' : 'dab-highlight');
  }

  const by = smoothingFor(pixels, known, shape.radius);
  meanOverSquares([pixels.r, pixels.g, pixels.b], known, pixels.cols, pixels.rows, by);
  const glazeLab = labOfRelative(
    [round.glaze[0] - turn, round.glaze[1], round.glaze[2]],
    tileColour,
  );
  const gain = [0, 1, 2].map((k) => tileColour[k]! / light.linearRgb[k]!) as [
    number,
    number,
    number,
  ];
  const deltaE00 = deltaE00OfPixels({
    rgba: encodedBytes(pixels),
    shading: shading.map((v, i) => (known[i] ? v * Math.exp(turn) : NaN)),
    gain,
    glazeLab,
  });
  return {
    ok: true,
    tile,
    glazeLab,
    crop,
    deltaE00,
    inArea,
    judged,
    ...summary(deltaE00, inArea, crop, shape, settings.thresholds),
  };
}
