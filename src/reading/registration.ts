/** Whether a patch of one frame shows what the patch of another did, and how far it has shifted. */
import { opencvError, type OpenCv } from './opencv.ts';
import type { FetchedPixels } from './patch-average.ts';
import type { PatchRect } from './patch-rect.ts';

/** A patch reduced to cells: mean green code of each, by every second pixel. */
export interface Cells {
  readonly cols: number;
  readonly rows: number;
  /** Pixels a cell, in each direction. */
  readonly size: number;
  readonly green: Float32Array;
}

const MOST_CELLS = 100;
/** Correlation of two frames of the same thing; a hand in the picture leaves less. */
const LEAST_CORRELATION = 0.9;

export function cellsOf(pixels: FetchedPixels, { width, height }: PatchRect): Cells {
  const size = Math.max(4, 2 * Math.ceil(Math.max(width, height) / (2 * MOST_CELLS)));
  const cols = Math.floor(width / size);
  const rows = Math.floor(height / size);
  const green = new Float32Array(cols * rows);
  const { rgba, first, stride } = pixels;
  const share = 4 / (size * size);
  for (let y = 0; y < rows * size; y += 2) {
    const row = Math.floor(y / size) * cols;
    let at = (first + y * stride) * 4 + 1;
    for (let col = 0; col < cols; col++) {
      let sum = 0;
      for (let x = 0; x < size; x += 2, at += 8) sum += rgba[at]!;
      green[row + col]! += sum * share;
    }
  }
  return { cols, rows, size, green };
}

/**
 * Root mean square difference in codes, after the one gain that the whole patch may have changed by
 * (a camera's exposure, a flickering lamp).
 */
export function difference(reference: Cells, now: Cells): number {
  const before = reference.green;
  const after = now.green;
  let sumBefore = 0;
  let sumAfter = 0;
  for (let i = 0; i < before.length; i++) {
    sumBefore += before[i]!;
    sumAfter += after[i]!;
  }
  const gain = sumBefore / Math.max(1, sumAfter);
  let squares = 0;
  for (let i = 0; i < before.length; i++) squares += (before[i]! - gain * after[i]!) ** 2;
  return Math.sqrt(squares / before.length);
}

/**
 * How far the content of `reference` has moved in `now`, px, by maximising the enhanced
 * correlation coefficient (Evangelidis and Psarakis 2008, IEEE TPAMI 30:1858); undefined when there
 * is nothing in the patch to hold on to, or it is no longer the same.
 */
export function shiftBetween(
  cv: OpenCv,
  reference: Cells,
  now: Cells,
): { readonly x: number; readonly y: number } | undefined {
  const { cols, rows, size } = reference;
  const template = cv.matFromArray(rows, cols, cv.CV_32FC1, reference.green);
  const input = cv.matFromArray(rows, cols, cv.CV_32FC1, now.green);
  const warp = cv.Mat.eye(2, 3, cv.CV_32FC1);
  const mask = new cv.Mat();
  try {
    const stop = new cv.TermCriteria(cv.TermCriteria_COUNT + cv.TermCriteria_EPS, 20, 0.002);
    const correlation = cv.findTransformECC(
      template,
      input,
      warp,
      cv.MOTION_TRANSLATION,
      stop,
      mask,
      5,
    );
    const [x, y] = [warp.data32F[2]!, warp.data32F[5]!];
    const inside = Math.abs(x) < cols / 4 && Math.abs(y) < rows / 4;
    return correlation > LEAST_CORRELATION && inside ? { x: x * size, y: y * size } : undefined;
  } catch (thrown) {
    // That it does not converge is an answer here; anything else is a bug.
    const { message } = opencvError(cv, thrown) as Error;
    if (message.includes('do not converge')) return undefined;
    throw opencvError(cv, thrown);
  } finally {
    for (const mat of [template, input, warp, mask]) mat.delete();
  }
}
