/** What speaks against a dab on the glaze once the light round it has been fitted. */
import type { BlockLayout } from './field-blocks.ts';
import type { Block } from './field-terms.ts';
import { UNSEEN_STEP } from './faded-dab.ts';
import { holdsMiddle, type FoundDab } from './find-dab.ts';
import {
  clearShare,
  dabLog,
  glareShare,
  highlightOnDab,
  isGleam,
  isLampImage,
  isLampSlice,
  LEAST_CLEAR,
  MOST_GLARE,
  roundness,
} from './glare.ts';
import type { LightRound } from './light-round.ts';
import type { LogTriple } from './log-window.ts';
import { CLEAR, type DabOutline } from './outline-shape.ts';
import type { FieldFit } from './shading-field.ts';
import type { PixelCircle, RefusalReason, Regions } from './types.ts';

/** Drift of the glaze's colour round the dab, ln of channel ratio, that only a reflection makes. */
const COLOURED = 0.3;

/**
 * @param glazeHint log colour of the glaze that was pointed at
 * @returns why the fit is not to be trusted; undefined when it is
 */
export function whyDistrusted(
  found: FoundDab,
  { highlights, layout, fit }: LightRound,
  regions: Regions,
  glazeHint: LogTriple | undefined,
): RefusalReason | undefined {
  const { window, dab } = found;
  const free = clearShare(dab, highlights.clear);
  if (free < LEAST_CLEAR || glareShare(window, regions.dab, highlights.image) > MOST_GLARE) {
    return 'dab-highlight';
  }
  // What was outlined lies beside: a shadow, a band, a facet of the piece.
  if (dab.seen && !holdsMiddle(found, regions.dab)) return 'dab-missing';
  if (!fit) return free < 0.8 ? 'dab-highlight' : 'ring-unusable';
  if (fit.ratioDrift > COLOURED) return 'coloured-reflection';
  if (glazeHint && !isThatGlaze(fit, glazeHint, dab, layout, regions.glaze)) {
    const beside = awayFrom(dab, regions.glaze) < BESIDE;
    return beside && isGleam(fit.glaze, glazeHint) ? 'dab-highlight' : 'ring-unusable';
  }
  const sides = sidesWithGlaze(layout.blocks, fit);
  if (sides.filter((has) => has).length < LEAST_SIDES) return 'ring-unusable';
  // Long and narrow at the glaze's end: a rim, a shadow, the inside of the piece. A stroke has glaze on both sides.
  if (dab.seen && roundness(dab) < SLENDER && !isBetween(sides)) return 'dab-missing';
  if (!dab.seen && Math.abs(fit.step[0]) > UNSEEN_STEP) return 'dab-missing';
  if (
    highlightOnDab(layout.blocks, fit) ||
    isLampImage(dab, fit) ||
    isLampSlice(found, regions.dab, fit)
  ) {
    return 'dab-highlight';
  }
  if (dab.contrast > CLEAR / 2 && dab.softness > Math.max(8, 0.4 * dab.radius)) {
    // What fades out so softly is no paint: a soft gleam, or paint out of focus.
    return isGleam(dabLog(fit), fit.glaze) ? 'dab-highlight' : 'picture-blurred';
  }
  return undefined;
}

/** Roundness under which an outline is long and narrow: four times as long as wide. */
const SLENDER = 0.32;

/** From the dab's middle, in its radii. */
const awayFrom = ({ centre, radius }: DabOutline, at: PixelCircle): number =>
  Math.hypot(at.x - centre.x, at.y - centre.y) / radius;
/** Glaze pointed at no further than this from the dab, in its radii, is the piece it lies on. */
const BESIDE = 8;

/**
 * Is what the ring holds the glaze that was pointed at, and not the bench behind the piece? The light
 * may differ between the two places; as far as the field reaches, it says by how much.
 */
function isThatGlaze(
  fit: FieldFit,
  hint: LogTriple,
  dab: DabOutline,
  layout: BlockLayout,
  at: PixelCircle,
): boolean {
  const away = Math.min(4, awayFrom(dab, at));
  const x = (at.x - dab.centre.x) / layout.outer;
  const y = (at.y - dab.centre.y) / layout.outer;
  const there = Math.hypot(x, y) < 1.1 ? fit.glazeAt(x, y) : fit.glaze;
  const alike = (glaze: LogTriple) =>
    Math.abs(glaze[0] - hint[0]) < 0.4 + 0.15 * away &&
    Math.hypot(glaze[1] - hint[1], glaze[2] - hint[2]) < 0.25 + 0.05 * away;
  return alike(there) || alike(fit.glaze);
}

/** The eight sides of the dab, each with whether glaze that counts lies there. */
function sidesWithGlaze(blocks: readonly Block[], fit: FieldFit): readonly boolean[] {
  const held = new Float64Array(8);
  blocks.forEach((b, i) => {
    if (b.onDab) return;
    held[Math.floor((Math.atan2(b.y, b.x) / Math.PI + 1) * 4) % 8]! += fit.weights[i]!;
  });
  return Array.from(held, (weight) => weight > 2);
}

/** Of the eight, on how many glaze must lie. */
const LEAST_SIDES = 3;
/** Does it lie on two that are opposite? */
const isBetween = (sides: readonly boolean[]): boolean =>
  sides.some((has, side) => has && sides[(side + 4) % 8]);
