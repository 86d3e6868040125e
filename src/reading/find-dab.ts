/** Where the dab is: its outline from the place pointed at, closer, fainter, or at last as a disc. */
import type { OpenCv } from './opencv.ts';
import { discOutline, findDabOutline, pointedOutline } from './dab-outline.ts';
import { scanForDisc } from './disc-scan.ts';
import { findFaintOutline } from './faint-outline.ts';
import { logWindow, type LogTriple, type LogWindow } from './log-window.ts';
import { CLEAR, type DabOutline } from './outline-shape.ts';
import { centreX, centreY, insideCircle } from './picture.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, PixelCircle, Regions } from './types.ts';

/** An outline and the window it was found in. */
export interface FoundDab {
  readonly window: LogWindow;
  readonly dab: DabOutline;
}

/** Of the radius pointed at, what is surely dab. */
export const POINTED_CORE = 0.6;

/**
 * The dab at the place pointed at; undefined where it cannot be seen at all.
 * @param glaze log colour of the glaze pointed at
 */
export function findDab(
  cv: OpenCv,
  picture: EncodedPicture,
  { dab: pointed, glaze: soundGlaze }: Regions,
  glaze: LogTriple | undefined,
  tile: TileLight,
): FoundDab | undefined {
  let circle = pointed;
  let first: FoundDab | undefined;
  let best: FoundDab | undefined;
  for (let attempt = 0; attempt < 3; attempt++) {
    const window = logWindow(picture, circle, 4.5 * circle.radius + 12, tile.linearRgb);
    const dab =
      findDabOutline(cv, window, circle, glaze, soundGlaze) ??
      findDabOutline(cv, window, circle, undefined, soundGlaze);
    if (!dab) break;
    best = { window, dab };
    first ??= best;
    if (dab.runsOut) {
      circle = { ...circle, radius: circle.radius * 1.8 };
    } else if (
      dab.seen &&
      (dab.radius > 1.35 * circle.radius ||
        Math.hypot(dab.centre.x - circle.x, dab.centre.y - circle.y) > 0.35 * circle.radius)
    ) {
      // Much larger than, or off, the pointed-at circle: look again from its own middle.
      circle = { ...dab.centre, radius: Math.max(circle.radius, dab.radius) };
    } else break;
  }
  // A wider look that shows no outline either says nothing about the pointed-at circle.
  return closer(cv, picture, pointed, best?.dab.seen ? best : first, glaze, soundGlaze, tile);
}

/** The dab found, a window no wider than its ring shows its edge in finer cells. */
function closer(
  cv: OpenCv,
  picture: EncodedPicture,
  pointed: PixelCircle,
  found: FoundDab | undefined,
  glaze: LogTriple | undefined,
  soundGlaze: PixelCircle,
  tile: TileLight,
): FoundDab | undefined {
  if (!found) return undefined;
  const { window, dab } = found;
  if (!dab.seen || dab.contrast < CLEAR) {
    const { glazeTrust } = dab;
    const faint = (circle: PixelCircle) =>
      findFaintOutline(cv, window, circle, glazeTrust, soundGlaze);
    const own = () => faint({ ...dab.centre, radius: dab.radius }) ?? { dab };
    const outlined = faint(pointed) ?? (dab.seen ? own() : 'drowned');
    if (outlined !== 'drowned' && !isDrawnByChance({ window, ...outlined }, pointed)) {
      return { window, dab: outlined.dab };
    }
    const disc = scanForDisc(window, pointed, glazeTrust);
    return {
      window,
      dab: disc
        ? discOutline(cv, window, disc, glazeTrust)
        : pointedOutline(cv, window, pointed, glazeTrust),
    };
  }
  if (window.grid.step === 1) return found;
  const circle = { ...dab.centre, radius: dab.radius };
  const finer = logWindow(picture, circle, 2.4 * circle.radius + 12, tile.linearRgb);
  if (finer.grid.step >= window.grid.step) return found;
  const again = findDabOutline(cv, finer, circle, glaze, soundGlaze);
  const finest = again?.seen ? { window: finer, dab: again } : found;
  return holdsMiddle(finest, pointed) ? finest : found;
}

/** Contrast up to which noise may still have drawn an outline. */
const BARELY = 5;

/**
 * An outline barely seen that leaves out much of the middle of what was pointed at is noise's; a slight
 * one that lies beside it is a trace of the glaze, or of the camera's processing.
 */
function isDrawnByChance(
  { window, dab, step }: FoundDab & { readonly step?: LogTriple },
  pointed: PixelCircle,
): boolean {
  const isBarelySeen = dab.contrast < BARELY;
  const isSlight = step?.every((d) => Math.abs(d) < SLIGHT) ?? false;
  return (
    (isBarelySeen &&
      shareOfMiddle(window, pointed, POINTED_CORE, dab.mask, window.usable) < MIDDLE) ||
    (isSlight && !holdsMiddle({ window, dab }, pointed))
  );
}
const MIDDLE = 0.85;
/** A step below this in every coordinate, ln, is no edge of the piece. */
const SLIGHT = 0.06;

/**
 * However clear, an outline that leaves out most of the middle of what was pointed at, or has its own
 * middle elsewhere, is not the dab's.
 */
export const holdsMiddle = ({ window, dab }: FoundDab, pointed: PixelCircle): boolean =>
  Math.hypot(dab.centre.x - pointed.x, dab.centre.y - pointed.y) < pointed.radius &&
  shareOfMiddle(window, pointed, POINTED_CORE, dab.mask) > LARGELY;
const LARGELY = 0.65;

/**
 * Of the cells in the middle of what was pointed at (and of those, what `counts`), the share that is on;
 * NaN where there are none.
 */
export function shareOfMiddle(
  { grid }: LogWindow,
  pointed: PixelCircle,
  middle: number,
  on: Uint8Array,
  counts?: Uint8Array,
): number {
  const core = { ...pointed, radius: middle * pointed.radius };
  let all = 0;
  let lit = 0;
  on.forEach((is, cell) => {
    if (counts?.[cell] === 0) return;
    if (!insideCircle(core, centreX(grid, cell), centreY(grid, cell))) return;
    all++;
    lit += is;
  });
  return lit / all;
}
