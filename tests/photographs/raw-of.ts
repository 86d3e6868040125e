/** A picture whose light is known as the raw file of a camera that sees as sRGB does. */
import type { EncodedPicture } from '../../src/reading/types.ts';
import { writeDng } from './dng.ts';

/** AsShotNeutral of the invented camera: what it has of a white surface before its balance. */
export const NEUTRAL = [0.45, 1, 0.62] as const;

/** IEC 61966-2-1, the decoding of a code of 0–1. */
export const linearOfCode = (v: number): number =>
  v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;

export function rawOf({ width, height, rgba, maxCode }: EncodedPicture): Uint8Array {
  const light = (at: number, c: 0 | 1 | 2) => linearOfCode(rgba[at + c]! / maxCode) * NEUTRAL[c];
  return writeDng({
    width,
    height,
    neutral: NEUTRAL,
    light: (x, y) => {
      const at = 4 * (y * width + x);
      return [light(at, 0), light(at, 1), light(at, 2)];
    },
  });
}
