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
  const { width, height } = crop;
  const counts = inArea.map((inside, i) => (inside && !Number.isNaN(deltaE00[i]!) ? 1 : 0));
  const smooth = deltaE00.slice();
  // Twice over a square is nearly a bell: no corner of the square shows.
  const by = Math.max(LEAST_SPOT, Math.round(SPOT * radius));
  meanOverSquares([smooth], counts, width, height, by);
  meanOverSquares([smooth], counts, width, height, by);
  let worst = -1;
  for (let i = 0; i < smooth.length; i++) {
    if (!counts[i]) smooth[i] = NaN;
    else if (worst < 0 || smooth[i]! > smooth[worst]!) worst = i;
  }
  const lines = (threshold: number) =>
    contourLines(smooth, width, height, threshold).map((line) =>
      line.map((p) => ({ x: p.x + crop.x, y: p.y + crop.y })),
    );
  return {
    worst: {
      x: crop.x + (worst % width) + 0.5,
      y: crop.y + Math.floor(worst / width) + 0.5,
      deltaE00: smooth[worst]!,
    },
    spot: by,
    contours: {
      acceptable: lines(thresholds.acceptable),
      imperceptible: lines(thresholds.imperceptible),
    },
  };
}
