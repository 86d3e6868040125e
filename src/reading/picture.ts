/** Pixels of an encoded picture, in linear light. */
import { linearFromEncoded, LINEAR_OF_CODE } from '../colour/srgb.ts';
import { lightOfCode } from './profile/profile.ts';
import type { EncodedPicture, PixelCircle, PixelPolygon } from './types.ts';

/** Codes this near to full range are clipped: the sensor may have seen any amount more. */
const CLIPPED_FROM = 254 / 255;

let linearOf16Bit: Float64Array | undefined;

/** Linear light of each code of the picture, sRGB assumed. */
export function linearOfCode(maxCode: EncodedPicture['maxCode']): Float64Array {
  if (maxCode === 255) return LINEAR_OF_CODE;
  linearOf16Bit ??= Float64Array.from({ length: 65536 }, (_, c) => linearFromEncoded(c / 65535));
  return linearOf16Bit;
}

export function clippedCode(maxCode: EncodedPicture['maxCode']): number {
  return Math.floor(CLIPPED_FROM * maxCode);
}

/**
 * A part of a picture reduced by an integer step, in linear light: each cell is the mean of
 * step × step pixels. Means are taken before any logarithm, so that noise in dark pixels does not
 * pull the mean down.
 */
export interface LinearGrid {
  /** Left and top of the grid in the picture, px. */
  readonly x0: number;
  readonly y0: number;
  /** Pixels a cell, in each direction. */
  readonly step: number;
  readonly cols: number;
  readonly rows: number;
  /** Linear light, 0–1, one value a cell. */
  readonly r: Float32Array;
  readonly g: Float32Array;
  readonly b: Float32Array;
  /** Per cell: 1 where any pixel is clipped. */
  readonly clipped: Uint8Array;
}

/** Reduces the rectangle (clamped to the picture) to cells of `step` pixels. */
export function linearGrid(
  picture: EncodedPicture,
  left: number,
  top: number,
  right: number,
  bottom: number,
  step: number,
): LinearGrid {
  const { width, height, rgba, maxCode } = picture;
  const x0 = Math.max(0, Math.floor(left));
  const y0 = Math.max(0, Math.floor(top));
  const cols = Math.max(0, Math.floor((Math.min(width, Math.ceil(right)) - x0) / step));
  const rows = Math.max(0, Math.floor((Math.min(height, Math.ceil(bottom)) - y0) / step));
  const r = new Float32Array(cols * rows);
  const g = new Float32Array(cols * rows);
  const b = new Float32Array(cols * rows);
  const clipped = new Uint8Array(cols * rows);
  const srgb = linearOfCode(maxCode);
  const [ofRed, ofGreen, ofBlue] = picture.tone
    ? picture.tone.map((curve) => lightOfCode(curve, maxCode))
    : [srgb, srgb, srgb];
  const limit = clippedCode(maxCode);
  const share = 1 / (step * step);
  for (let row = 0; row < rows; row++) {
    for (let dy = 0; dy < step; dy++) {
      let at = ((y0 + row * step + dy) * width + x0) * 4;
      for (let col = 0; col < cols; col++) {
        const cell = row * cols + col;
        let sumR = 0;
        let sumG = 0;
        let sumB = 0;
        let isClipped = 0;
        for (let dx = 0; dx < step; dx++, at += 4) {
          const codeR = rgba[at]!;
          const codeG = rgba[at + 1]!;
          const codeB = rgba[at + 2]!;
          sumR += ofRed![codeR]!;
          sumG += ofGreen![codeG]!;
          sumB += ofBlue![codeB]!;
          if (codeR >= limit || codeG >= limit || codeB >= limit) isClipped = 1;
        }
        r[cell]! += sumR * share;
        g[cell]! += sumG * share;
        b[cell]! += sumB * share;
        clipped[cell]! |= isClipped;
      }
    }
  }
  return { x0, y0, step, cols, rows, r, g, b, clipped };
}

/** Cells that are neither clipped nor black. */
export function clearCells({ cols, rows, r, g, b, clipped }: LinearGrid): number[] {
  return Array.from({ length: cols * rows }, (_, cell) => cell).filter(
    (cell) => !clipped[cell] && Math.min(r[cell]!, g[cell]!, b[cell]!) > 1e-4,
  );
}

export const centreX = (grid: LinearGrid, cell: number): number =>
  grid.x0 + ((cell % grid.cols) + 0.5) * grid.step;
export const centreY = (grid: LinearGrid, cell: number): number =>
  grid.y0 + (Math.floor(cell / grid.cols) + 0.5) * grid.step;

export function insidePolygon(polygon: PixelPolygon, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const p = polygon[i]!;
    const q = polygon[j]!;
    if (p.y > y !== q.y > y && x < ((q.x - p.x) * (y - p.y)) / (q.y - p.y) + p.x) inside = !inside;
  }
  return inside;
}

export const insideCircle = (circle: PixelCircle, x: number, y: number): boolean =>
  (x - circle.x) ** 2 + (y - circle.y) ** 2 <= circle.radius ** 2;

export const polygonArea = (polygon: PixelPolygon): number => Math.abs(signedArea(polygon));

/** Area of a polygon, px², above 0 when its corners go round as the hands of a clock do (y grows downwards). */
export function signedArea(polygon: PixelPolygon): number {
  let twice = 0;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    twice += polygon[j]!.x * polygon[i]!.y - polygon[i]!.x * polygon[j]!.y;
  }
  return twice / 2;
}

export function polygonCentre(polygon: PixelPolygon): { x: number; y: number } {
  const n = polygon.length;
  return {
    x: polygon.reduce((sum, p) => sum + p.x, 0) / n,
    y: polygon.reduce((sum, p) => sum + p.y, 0) / n,
  };
}

/** The polygon drawn in towards its centre, to stay clear of its edges. */
export function shrunk(polygon: PixelPolygon, share: number): PixelPolygon {
  const c = polygonCentre(polygon);
  return polygon.map((p) => ({ x: c.x + (p.x - c.x) * share, y: c.y + (p.y - c.y) * share }));
}

/** Share of the pixels in a circle that are clipped; 1 when the circle holds none. */
export function clippedShare(
  { width, height, rgba, maxCode }: EncodedPicture,
  c: PixelCircle,
): number {
  const limit = clippedCode(maxCode);
  let all = 0;
  let clipped = 0;
  for (let y = Math.max(0, Math.ceil(c.y - c.radius)); y < Math.min(height, c.y + c.radius); y++) {
    for (let x = Math.max(0, Math.ceil(c.x - c.radius)); x < Math.min(width, c.x + c.radius); x++) {
      if ((x - c.x) ** 2 + (y - c.y) ** 2 > c.radius ** 2) continue;
      const at = (y * width + x) * 4;
      all++;
      if (rgba[at]! >= limit || rgba[at + 1]! >= limit || rgba[at + 2]! >= limit) clipped++;
    }
  }
  return all === 0 ? 1 : clipped / all;
}
