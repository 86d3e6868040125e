/** Is it the dab that is seen, or the lamp mirrored on it? What is never averaged in is told here. */
import type { Block } from './field-terms.ts';
import { shareOfMiddle, type FoundDab } from './find-dab.ts';
import { isBodyPlusLamp } from './highlights.ts';
import { relativeRgb, type LogTriple, type LogWindow } from './log-window.ts';
import { CLEAR, type DabOutline } from './outline-shape.ts';
import { median } from './robust.ts';
import type { FieldFit } from './shading-field.ts';
import type { PixelCircle } from './types.ts';

/** Share of the dab that is free of glare. */
export function clearShare(dab: DabOutline, clear: Float32Array): number {
  let all = 0;
  let free = 0;
  dab.mask.forEach((on, cell) => {
    if (!on) return;
    all++;
    free += clear[cell]!;
  });
  return free / Math.max(1, all);
}
export const LEAST_CLEAR = 0.4;

/** Share of the middle of what was pointed at that shows the lamp, whatever was outlined beside it. */
export const glareShare = (window: LogWindow, pointed: PixelCircle, image: Uint8Array): number =>
  shareOfMiddle(window, pointed, GLARE_CORE, image);
const GLARE_CORE = 0.75;
export const MOST_GLARE = 0.15;

/** Share of the dab's blocks thrown out for brightness, from which it is the lamp that is seen. */
const GLARE_SHARE = 0.08;
/** Fewer blocks than this are specks. */
const GLARE_BLOCKS = 3;
/** Excess of ln light that is glare and not the dab’s own unevenness. */
const GLARE = 0.08;

export function highlightOnDab(blocks: readonly Block[], fit: FieldFit): boolean {
  let dab = 0;
  let bright = 0;
  // A dark dab is noisier than the glaze; how much, its darker blocks tell, for glare only brightens.
  const darker = blocks.flatMap((b, i) =>
    b.onDab && fit.residuals[i]! < 0 ? [-fit.residuals[i]!] : [],
  );
  const own = darker.length > 3 ? median(darker) / 0.6745 : 0;
  const least = Math.max(5 * fit.sigma, 4 * own, GLARE);
  blocks.forEach((block, i) => {
    if (!block.onDab) return;
    dab++;
    if (fit.weights[i]! < 0.05 && fit.residuals[i]! > least) bright++;
  });
  return bright >= GLARE_BLOCKS && bright > GLARE_SHARE * dab;
}

/** Brighter than the body by light of the lamp's colour. */
export const isGleam = (seen: LogTriple, body: LogTriple): boolean =>
  seen[0] > body[0] && isBodyPlusLamp(seen, body);

export const dabLog = ({ glaze, step }: Pick<FieldFit, 'glaze' | 'step'>): LogTriple => [
  glaze[0] + step[0],
  glaze[1] + step[1],
  glaze[2] + step[2],
];

/**
 * Is what was taken for a dab the lamp itself, mirrored? It is then brighter than the glaze by light of
 * the lamp's colour, and fades into it far more softly than paint does that is brushed on. A sprayed dab
 * with too much white is soft too: where the light added is not quite the lamp's, it must fade twice as far.
 */
export function isLampImage(dab: DabOutline, { glaze, step }: FieldFit): boolean {
  // Without contrast nobody knows how soft the edge is.
  if (dab.contrast < CLEAR || step[0] < LAMP_IMAGE_STEP) return false;
  const seen = dabLog({ glaze, step });
  const body = relativeRgb(glaze);
  const added = relativeRgb(seen).map((v, k) => v - body[k]!);
  const mean = (added[0]! + added[1]! + added[2]!) / 3;
  if (mean <= 0) return false;
  const unequal = Math.hypot(...added.map((v) => v - mean)) / (Math.sqrt(3) * mean);
  const tint = Math.hypot(seen[1], seen[2]);
  const isBright = seen[0] > 0;
  const isSofterThan = (px: number, share: number) =>
    dab.softness > Math.max(px, share * dab.radius);
  // Nearly clipped, a camera renders the lamp's own colour with a little tint.
  if (unequal < LAMP_EQUAL || (isBright && tint < LAMP_TINT)) {
    const white = isBright && tint < LAMP_TINT / 2;
    return isSofterThan(LAMP_SOFTNESS_PX, white ? WHITE_SOFTNESS : LAMP_SOFTNESS);
  }
  const isNear = unequal < LAMP_UNEQUAL || tint < LAMP_TINT;
  return isNear && isSofterThan(NEARLY_LAMP_SOFTNESS_PX, NEARLY_LAMP_SOFTNESS);
}
/** Light added by the lamp's image is the same in all channels, relative to the tile, within this. */
const LAMP_EQUAL = 0.2;
/** The same where a channel of the glaze is so dark, or so light, that the camera bends it. */
const LAMP_UNEQUAL = 0.4;
const LAMP_IMAGE_STEP = 0.15;
const LAMP_TINT = 0.2;
const LAMP_SOFTNESS = 0.15;
/** The same for what is white and as bright as the tile. */
const WHITE_SOFTNESS = 0.1;
const LAMP_SOFTNESS_PX = 4;
/** Softer than most sprayed dabs. */
const NEARLY_LAMP_SOFTNESS = 0.22;
const NEARLY_LAMP_SOFTNESS_PX = 7;

/**
 * Is what was taken for a dab the piece of glare that stands between glaze and a clipped highlight, or the
 * part of a dab that it makes shine? Brighter by light of the lamp's colour, and a slice: it neither fills
 * what was pointed at nor is it round, as a brushed or sprayed dab is.
 */
export const isLampSlice = (
  { window, dab }: FoundDab,
  pointed: PixelCircle,
  fit: FieldFit,
): boolean =>
  dab.seen &&
  fit.step[0] > LAMP_IMAGE_STEP &&
  isGleam(dabLog(fit), fit.glaze) &&
  shareOfMiddle(window, pointed, 1, dab.mask) < SLICE_FILLS &&
  roundness(dab) < SLICE_ROUND;
const SLICE_FILLS = 0.7;
const SLICE_ROUND = 0.55;

/** Area over that of the circle round the dab's middle that holds it: 1 for a disc. */
export const roundness = ({ polygon, centre, radius }: DabOutline): number =>
  (radius / Math.max(...polygon.map(({ x, y }) => Math.hypot(x - centre.x, y - centre.y)))) ** 2;
