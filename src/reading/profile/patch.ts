/** One even patch in a picture: its mean code, or what is wrong with it. */
import { clippedCode } from '../picture.ts';
import { median, robustSigma } from '../robust.ts';
import type { EncodedPicture, PixelPoint } from '../types.ts';

/** Codes under this share of range are black, and spread over this share is no even patch. */
const DARK = 0.02;
const UNEVEN = 0.05;
/** Of an even patch nearly all pixels are like the middle one. */
const ALIKE = 0.8;
/** Fewest pixels a patch. */
const LEAST_PIXELS = 25;

export type PatchFault = 'clipped' | 'dark' | 'uneven' | 'outside';

export const PATCH_FAULTS: Readonly<Record<PatchFault, string>> = {
  clipped: 'too bright',
  dark: 'too dark',
  uneven: 'uneven, perhaps by a highlight',
  outside: 'outside the picture',
};

export interface SeenPatch {
  /** Codes as shares of full range, [r, g, b], 0–1. */
  readonly encoded: readonly [number, number, number];
  readonly fault?: PatchFault;
}

/**
 * Mean of what lies within three deviations of the median: a median alone would stand on whole codes.
 * @param places px, where the patch is sampled
 */
export function seenPatch(
  { width, height, rgba, maxCode }: EncodedPicture,
  places: Iterable<PixelPoint>,
): SeenPatch {
  const values: [number[], number[], number[]] = [[], [], []];
  let clipped = 0;
  let outside = 0;
  for (const place of places) {
    const [x, y] = [Math.floor(place.x), Math.floor(place.y)];
    if (!(x >= 0 && y >= 0 && x < width && y < height)) {
      outside++;
      continue;
    }
    const from = (y * width + x) * 4;
    const codes = [rgba[from]!, rgba[from + 1]!, rgba[from + 2]!];
    if (codes.some((code) => code >= clippedCode(maxCode))) clipped++;
    values.forEach((list, k) => list.push(codes[k]! / maxCode));
  }
  if (outside > 0 || values[0].length < LEAST_PIXELS) {
    return { encoded: [0, 0, 0], fault: 'outside' };
  }
  const middles = values.map(middle);
  const encoded = middles.map(({ mean }) => mean) as unknown as SeenPatch['encoded'];
  const spread = Math.max(...values.map((list) => robustSigma(list)));
  const alike = Math.min(...middles.map(({ share }) => share));
  if (clipped > 0.01 * values[0].length) return { encoded, fault: 'clipped' };
  if (Math.max(...encoded) < DARK) return { encoded, fault: 'dark' };
  return spread > UNEVEN || alike < ALIKE ? { encoded, fault: 'uneven' } : { encoded };
}

function middle(values: readonly number[]): { readonly mean: number; readonly share: number } {
  const centre = median(values);
  const reach = 3 * Math.max(robustSigma(values), 0.004);
  const near = values.filter((v) => Math.abs(v - centre) <= reach);
  const mean = near.reduce((sum, v) => sum + v, 0) / near.length;
  return { mean, share: near.length / values.length };
}
