/** Flat patches whose 16-bit codes are known: what a decoder must give back. */
import sharp, { type Sharp } from 'sharp';

export type Codes = readonly [number, number, number];

export const PATCH = 80;
export const COLUMNS = 4;
export const ROWS = 3;
export const WIDTH = PATCH * COLUMNS;
export const HEIGHT = PATCH * ROWS;

/** Codes of 65535 whose lower halves hold something; from a dark brown to a bright white. */
export const PATCHES: readonly Codes[] = [
  [5001, 3210, 2333],
  [20011, 9877, 7013],
  [31007, 27511, 40129],
  [12345, 30303, 51515],
  [49999, 51234, 39876],
  [60001, 58765, 52345],
  [33333, 33333, 33333],
  [8191, 20479, 17001],
  [57007, 40961, 19997],
  [40404, 20202, 30303],
  [64001, 64003, 64007],
  [27271, 47111, 42013],
];

export const patchAt = (x: number, y: number): number =>
  Math.min(ROWS - 1, Math.floor(y / PATCH)) * COLUMNS +
  Math.min(COLUMNS - 1, Math.floor(x / PATCH));

export function patchPicture(patches: readonly Codes[] = PATCHES): Uint16Array {
  const rgb = new Uint16Array(3 * WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y += 1) {
    for (let x = 0; x < WIDTH; x += 1) rgb.set(patches[patchAt(x, y)]!, 3 * (y * WIDTH + x));
  }
  return rgb;
}

/** For libvips to write as it will: 16 bits a channel. */
export function patchImage(patches?: readonly Codes[]): Sharp {
  const raw = { width: WIDTH, height: HEIGHT, channels: 3 as const };
  return sharp(patchPicture(patches), { raw }).toColourspace('rgb16');
}

/** The same in 8 bits, each code rounded: libvips would cut them off. */
export function patchImage8(patches: readonly Codes[] = PATCHES): Sharp {
  const codes = Uint8Array.from(patchPicture(patches), (code) => Math.round(code / 257));
  return sharp(codes, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } });
}

/** Mean codes of the middle of each patch in an upright picture of 16 bits. */
export function patchMeans(
  rgba: { readonly [at: number]: number; readonly length: number },
  width = WIDTH,
): Codes[] {
  return PATCHES.map((_, patch) => {
    const left = (patch % COLUMNS) * PATCH + 20;
    const top = Math.floor(patch / COLUMNS) * PATCH + 20;
    const sum = [0, 0, 0];
    for (let y = top; y < top + 40; y += 1) {
      for (let x = left; x < left + 40; x += 1) {
        for (let c = 0; c < 3; c += 1) sum[c]! += rgba[4 * (y * width + x) + c]! / 1600;
      }
    }
    return sum as unknown as Codes;
  });
}

/** Largest difference of a channel, codes. */
export const worst = (one: readonly Codes[], other: readonly Codes[]): number =>
  Math.max(...one.flatMap((codes, i) => codes.map((v, c) => Math.abs(v - other[i]![c]!))));
