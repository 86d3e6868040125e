/** What a blend map comes to: shares above the thresholds, the worst place, the lines round it. */
import { contourLines } from './contour-lines.ts';
import type { PatchRect } from './patch-rect.ts';
import { meanOverSquares } from './pixel-means.ts';
import type { PixelPoint, PixelPolygon, VerdictThresholds } from './types.ts';

/** Shares, 0–1, of the pixels judged whose ΔE₀₀ exceeds each threshold. */
export interface SharesAbove {
  readonly acceptable: number;
  readonly imperceptible: number;
}

/** A spot this share of the area's radius to each side, and at least so many px, is one place. */
const SPOT = 1 / 30;
const LEAST_SPOT = 2;

export function sharesAbove(
  deltaE00: Float32Array,
  counts: (pixel: number) => boolean,
  thresholds: VerdictThresholds,
): SharesAbove {
  let judged = 0;
  let acceptable = 0;
  let imperceptible = 0;
  deltaE00.forEach((v, i) => {
    if (Number.isNaN(v) || !counts(i)) return;
    judged++;
    if (v > thresholds.acceptable) acceptable++;
    if (v > thresholds.imperceptible) imperceptible++;
  });
  const whole = Math.max(1, judged);
  return { acceptable: acceptable / whole, imperceptible: imperceptible / whole };
}

/** ΔE₀₀ that half of the pixels of the area do not exceed; NaN when none could be judged. */
export function medianWithin(deltaE00: Float32Array, inArea: Uint8Array): number {
  const judged = deltaE00.filter((v, i) => inArea[i] === 1 && !Number.isNaN(v)).sort();
  return judged.length === 0 ? NaN : judged[judged.length >> 1]!;
}

/** The worst place and the lines, both of the area alone and of means over a spot; picture px. */
export function placesOf(
  deltaE00: Float32Array,
  inArea: Uint8Array,
  crop: PatchRect,
  radius: number,
  thresholds: VerdictThresholds,
): {
  readonly worst: PixelPoint & { readonly deltaE00: number };
  /** Px that the mean reaches to each side. */
  readonly spot: number;
  readonly contours: Record<keyof SharesAbove, readonly PixelPolygon[]>;
} {
  // The area alone, out of the larger crop.
  const part = boundsWithin(inArea, crop.width);
  const { width, height } = part;
  const smooth = cutOut(deltaE00, crop.width, part);
  const counts = cutOut(inArea, crop.width, part);
  for (let i = 0; i < counts.length; i++) if (Number.isNaN(smooth[i]!)) counts[i] = 0;
  // Twice over a square is nearly a bell: no corner of the square shows.
  const by = Math.max(LEAST_SPOT, Math.round(SPOT * radius));
  meanOverSquares([smooth], counts, width, height, by);
  meanOverSquares([smooth], counts, width, height, by);
  let worst = -1;
  for (let i = 0; i < smooth.length; i++) {
    if (!counts[i]) smooth[i] = NaN;
    else if (worst < 0 || smooth[i]! > smooth[worst]!) worst = i;
  }
  const [left, top] = [crop.x + part.x, crop.y + part.y];
  const lines = (threshold: number) =>
    contourLines(smooth, width, height, threshold).map((line) =>
      line.map((p) => ({ x: p.x + left, y: p.y + top })),
    );
  return {
    worst: {
      x: left + (worst % width) + 0.5,
      y: top + Math.floor(worst / width) + 0.5,
      deltaE00: smooth[worst]!,
    },
    spot: by,
    contours: {
      acceptable: lines(thresholds.acceptable),
      imperceptible: lines(thresholds.imperceptible),
    },
  };
}

/** The rectangle of the pixels that are not 0, and one more to each side, for lines to close in. */
function boundsWithin(mask: Uint8Array, width: number): PatchRect {
  const height = mask.length / width;
  let [left, right, top, bottom] = [width, 0, height, 0];
  for (let y = 0; y < height; y++) {
    const row = mask.subarray(y * width, (y + 1) * width);
    const first = row.indexOf(1);
    if (first < 0) continue;
    left = Math.min(left, first);
    right = Math.max(right, row.lastIndexOf(1) + 1);
    top = Math.min(top, y);
    bottom = y + 1;
  }
  const x = Math.max(0, left - 1);
  const y = Math.max(0, top - 1);
  return {
    x,
    y,
    width: Math.min(width, right + 1) - x,
    height: Math.min(height, bottom + 1) - y,
  };
}

function cutOut<T extends Float32Array | Uint8Array>(values: T, width: number, part: PatchRect): T {
  const kind = values.constructor as new (length: number) => T;
  const out = new kind(part.width * part.height);
  for (let y = 0; y < part.height; y++) {
    const from = (part.y + y) * width + part.x;
    out.set(values.subarray(from, from + part.width), y * part.width);
  }
  return out;
}
