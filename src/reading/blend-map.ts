/**
 * The blend map of a sprayed area: ΔE₀₀ of every pixel from the glaze it should look like. The light on
 * the sound glaze round the area is carried on under it, and each pixel is held against the glaze in the
 * light of its own place.
 *
 * Noise alone makes a difference: pixels are first averaged over a square as large as their noise asks
 * for, in linear light, so that what is left of it lies well under what can be seen.
 */
import { deltaE00 as differenceE00 } from '../colour/ciede2000.ts';
import { deltaE00OfPixels } from '../colour/delta-e-kernel.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { AREA_REFUSALS } from './area-refusals.ts';
import { wholeArea, type WholeArea } from './area-whole.ts';
import {
  encodedBytes,
  isTooDark,
  judgeablePixels,
  meanLightRound,
  quieten,
  shadingOver,
} from './blend-pixels.ts';
import { medianWithin, placesOf, sharesAbove, type SharesAbove } from './blend-summary.ts';
import { contourLines } from './contour-lines.ts';
import { deltaE00ThroughProfile } from './blend-through-profile.ts';
import { readGlazeRound } from './glaze-round.ts';
import { logTriple, relativeRgb, type LogTriple } from './log-window.ts';
import { shapeOf, type AreaShape, type MarkedArea } from './marked-area.ts';
import type { OpenCv } from './opencv.ts';
import { clamped, squareRound, type PatchRect } from './patch-rect.ts';
import { centreX, centreY, clippedShare, linearGrid, type LinearGrid } from './picture.ts';
import { misfits } from './profile/fits-tile.ts';
import { labThroughProfile } from './profile/profile.ts';
import { withTone } from './sensor-light.ts';
import { findReference } from './reference.ts';
import { median } from './robust.ts';
import { differenceWords } from './words.ts';
import { estimateTurn } from './turn.ts';
import type {
  EncodedPicture,
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingSettings,
  Refusal,
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
  /** The mean colour of the area: how sure one can be of it is how sure one can be of the map. */
  readonly whole: WholeArea;
  /** ΔE₀₀ that half of the area, as far as it was judged, does not exceed. */
  readonly median: number;
  /** The shares of the sound glaze round it: what its own unevenness and the picture's noise make. */
  readonly glazeAbove: SharesAbove;
  /** The worst place in the area, over a spot of a few pixels; picture px. */
  readonly worst: PixelPoint & {
    readonly deltaE00: number;
    /** How it differs from the glaze, largest first: "darker", "a little yellower". */
    readonly words: readonly string[];
  };
  /** Closed lines round what exceeds each threshold within the area; picture px. */
  readonly contours: {
    readonly acceptable: readonly PixelPolygon[];
    readonly imperceptible: readonly PixelPolygon[];
  };
  /** Closed lines round the sound glaze that the area was held against; picture px. */
  readonly glazeRound: readonly PixelPolygon[];
  /** What to mind, in the person's words: a profile that no longer fits the tile. */
  readonly warnings: readonly string[];
  readonly algorithm: string;
}

/** Version of the way a map is made, kept with every stored map. */
const ALGORITHM = 'lamp-and-tile blend map 2';

export type BlendMapResult = BlendMap | RefusedReading;

/** Least radius of an area, px, and share of it that must be judged. */
const LEAST_RADIUS = 15;
const LEAST_JUDGED = 0.6;
/** Share of the radius that a mean of pixels may reach to each side. */
const LARGEST_MEAN = 1 / 12;
/** Share of the sound glaze that may itself show, before nothing can be said of the paint. */
const MOST_GLAZE_ABOVE = 0.5;

/**
 * Reads the blend map of a sprayed area.
 * @param taken encoded as sRGB says, or as the profile's tone response does; positions in its pixels
 * @returns the map, or refusals each with a remedy; never throws for a bad picture
 */
export function readBlendMap(
  cv: OpenCv,
  taken: EncodedPicture,
  request: BlendMapRequest,
  given: ReadingSettings,
): BlendMapResult {
  const { profile } = given;
  const { picture, settings } = withTone(taken, given);
  const shape = shapeOf(request.area);
  if (!isWhollyIn(picture, shape)) return refused(AREA_REFUSALS.outside);
  if (!(shape.radius >= LEAST_RADIUS)) return refused(AREA_REFUSALS.small);
  const circle: PixelCircle = { ...shape.centre, radius: shape.radius };
  const reference = findReference(cv, picture, {
    ...(request.tile ? { tile: request.tile } : {}),
    radius: shape.radius,
    onPiece: request.glaze ? [circle, request.glaze] : [circle],
  });
  if (!reference.ok) return reference;
  const { tile, light } = reference;
  if (clippedShare(picture, circle) > 1 - LEAST_JUDGED) return refused(AREA_REFUSALS.clipped, tile);
  const round = readGlazeRound(picture, shape, light, request.glaze);
  if (!round) return refused(AREA_REFUSALS.noGlaze, tile);

  const tileLab = settings.tileColour.lab;
  const tileColour = tileLinearSrgb(tileLab);
  const known = profile?.colour;
  const labOf = (log: LogTriple): LabD65 =>
    known ? labThroughProfile(known, relativeRgb(log), tileLab) : labOfRelative(log, tileColour);
  const tileWhite = (tileColour[0] + tileColour[1] + tileColour[2]) / 3;
  const toLamp = estimateTurn(picture, tile.polygon, light, circle, round.glaze, tileWhite);
  const turn = toLamp.logLight;
  const [mean, redToGreen, blueToGreen] = round.glaze;
  const glazeLab = labOf([mean - turn, redToGreen, blueToGreen]);
  const sides = round.sides.map(([mean_, red, blue]) =>
    differenceE00(glazeLab, labOf([mean_ - turn, red, blue])),
  );
  if (median(sides) > settings.thresholds.acceptable / 2)
    return refused(AREA_REFUSALS.uneven, tile);

  const crop = clamped(squareRound(shape.centre, round.reach), picture.width, picture.height);
  const [right, bottom] = [crop.x + crop.width, crop.y + crop.height];
  const pixels = linearGrid(picture, crop.x, crop.y, right, bottom, 1);
  const inArea = maskOf(pixels, shape);
  const shading = shadingOver(pixels, round);
  const judgeable = judgeablePixels(pixels, shading, round.glaze, light.linearRgb, round.reach);
  const shareOfArea = (counts: (pixel: number) => boolean) => {
    let [all, counted] = [0, 0];
    for (let i = 0; i < inArea.length; i++) {
      if (!inArea[i]) continue;
      all++;
      if (counts(i)) counted++;
    }
    return counted / Math.max(1, all);
  };
  const judged = shareOfArea((i) => judgeable[i] === 1);
  if (judged < LEAST_JUDGED) {
    const dark = shareOfArea((i) => isTooDark(pixels, i)) > (1 - LEAST_JUDGED) / 2;
    return refused(dark ? AREA_REFUSALS.dark : AREA_REFUSALS.glare, tile);
  }
  quieten(pixels, judgeable, LARGEST_MEAN * shape.radius);

  const inLight = shading.map((v, i) => (judgeable[i] ? v * Math.exp(turn) : 0));
  const tileLinearRgb = light.linearRgb;
  const deltaE00 = known
    ? deltaE00ThroughProfile(pixels, { colour: known, tileLinearRgb, tileLab }, inLight, glazeLab)
    : deltaE00OfPixels({
        rgba: encodedBytes(pixels),
        shading: inLight,
        gain: [
          tileColour[0] / tileLinearRgb[0],
          tileColour[1] / tileLinearRgb[1],
          tileColour[2] / tileLinearRgb[2],
        ],
        glazeLab,
      });
  const { thresholds } = settings;
  const above = (counts: (pixel: number) => boolean) => sharesAbove(deltaE00, counts, thresholds);
  const isGlaze = Float32Array.from(inArea, (_, i) =>
    round.isGlaze(centreX(pixels, i), centreY(pixels, i)) ? 1 : 0,
  );
  const glazeAbove = above((i) => isGlaze[i] === 1);
  if (glazeAbove.acceptable > MOST_GLAZE_ABOVE) return refused(AREA_REFUSALS.restless, tile);
  const { worst, spot, contours } = placesOf(deltaE00, inArea, crop, shape.radius, thresholds);
  const counts = inArea.map((inside, i) => inside & judgeable[i]!);
  const logSeen = (place: PixelPoint, reach: number): LogTriple => {
    const [r, g, b] = meanLightRound(pixels, counts, shading, place, reach);
    const seen = logTriple(r / light.linearRgb[0], g / light.linearRgb[1], b / light.linearRgb[2]);
    return [seen[0] - turn, seen[1], seen[2]];
  };
  const worstLab = labOf(logSeen(worst, 2 * spot));
  const whole = wholeArea(
    [mean - turn, redToGreen, blueToGreen],
    logSeen(shape.centre, Math.max(crop.width, crop.height)),
    round.sides,
    toLamp.standardUncertainty,
    settings,
  );
  return {
    ok: true,
    tile,
    glazeLab,
    crop,
    deltaE00,
    inArea,
    judged,
    above: above((i) => inArea[i] === 1),
    whole,
    median: medianWithin(deltaE00, inArea),
    glazeAbove,
    worst: { ...worst, words: differenceWords(glazeLab, worstLab) },
    contours,
    glazeRound: linesRound(isGlaze, crop),
    warnings: profile ? misfits(profile, light, settings.camera) : [],
    algorithm: ALGORITHM,
  };
}

/** Lines round the places that are 1. */
function linesRound(places: Float32Array, { x, y, width, height }: PatchRect): PixelPolygon[] {
  return contourLines(places, width, height, 0.5).map((line) =>
    line.map((p) => ({ x: p.x + x, y: p.y + y })),
  );
}

function refused(refusal: Refusal, tile?: TileReading): RefusedReading {
  return { ok: false, refused: [refusal], ...(tile ? { tile } : {}) };
}

const isWhollyIn = ({ width, height }: EncodedPicture, s: AreaShape): boolean =>
  s.left >= 0 && s.top >= 0 && s.right <= width && s.bottom <= height;

function maskOf(pixels: LinearGrid, shape: AreaShape): Uint8Array {
  return Uint8Array.from({ length: pixels.cols * pixels.rows }, (_, i) =>
    shape.holds(centreX(pixels, i), centreY(pixels, i)) ? 1 : 0,
  );
}
