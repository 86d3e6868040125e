/**
 * The mean of many camera frames over one rectangle, in linear light: light adds, codes do not, and
 * a lamp that flickers averages to what it gives.
 */
import { encodedFromLinear, linearFromEncoded } from '../colour/srgb.ts';
import { clippedCode } from './picture.ts';

/** Pixels of a rectangle inside a larger RGBA buffer: the first one's index, and pixels a row. */
export interface FetchedPixels {
  readonly rgba: Uint8Array | Uint8ClampedArray;
  readonly first: number;
  readonly stride: number;
}

/** Frames after which the older half counts half: what changes unnoticed fades in two seconds. */
export const MOST_FRAMES = 64;

// A sum holds the light of up to 64 frames in its lower 24 bits, 18 bits a frame, and above them how
// many of the frames were clipped.
const FULL_LIGHT = 2 ** 18 - 1;
const LIGHT_BITS = 24;
const LIGHT_MASK = 2 ** LIGHT_BITS - 1;
/** A pixel clipped in more than this share of the frames is clipped in the mean. */
const CLIPPED_SHARE = 1 / 8;

const SUMMAND_OF_CODE: Uint32Array = Uint32Array.from({ length: 256 }, (_, code) => {
  const light = Math.round(FULL_LIGHT * linearFromEncoded(code / 255));
  return light + (code >= clippedCode(255) ? 2 ** LIGHT_BITS : 0);
});

let codeOfLight: Uint16Array | undefined;

export class PatchAverage {
  readonly #sums: Uint32Array;
  #frames = 0;
  readonly width: number;
  readonly height: number;

  constructor(width: number, height: number) {
    this.width = width;
    this.height = height;
    this.#sums = new Uint32Array(width * height * 3);
  }

  get frames(): number {
    return this.#frames;
  }

  add({ rgba, first, stride }: FetchedPixels): void {
    if (this.#frames >= MOST_FRAMES) this.#halve();
    const sums = this.#sums;
    const summand = SUMMAND_OF_CODE;
    let to = 0;
    for (let y = 0; y < this.height; y++) {
      let from = (first + y * stride) * 4;
      for (let x = 0; x < this.width; x++, from += 4, to += 3) {
        sums[to] = sums[to]! + summand[rgba[from]!]!;
        sums[to + 1] = sums[to + 1]! + summand[rgba[from + 1]!]!;
        sums[to + 2] = sums[to + 2]! + summand[rgba[from + 2]!]!;
      }
    }
    this.#frames += 1;
  }

  reset(): void {
    this.#sums.fill(0);
    this.#frames = 0;
  }

  /** Writes the mean, sRGB-encoded in 16 bits, into an RGBA picture `stride` px wide at (x, y). */
  write(rgba: Uint16Array, stride: number, x: number, y: number): void {
    codeOfLight ??= Uint16Array.from({ length: FULL_LIGHT + 1 }, (_, light) =>
      Math.round(65535 * encodedFromLinear(light / FULL_LIGHT)),
    );
    const share = 1 / this.#frames;
    const limit = this.#frames * CLIPPED_SHARE;
    let from = 0;
    for (let row = 0; row < this.height; row++) {
      let to = ((y + row) * stride + x) * 4;
      for (let col = 0; col < this.width; col++, to += 4) {
        for (let k = 0; k < 3; k++, from++) {
          const sum = this.#sums[from]!;
          rgba[to + k] =
            sum >>> LIGHT_BITS > limit
              ? 65535
              : codeOfLight[((sum & LIGHT_MASK) * share + 0.5) | 0]!;
        }
        rgba[to + 3] = 65535;
      }
    }
  }

  #halve(): void {
    const sums = this.#sums;
    const clipped = 2 ** 32 - 2 ** LIGHT_BITS;
    for (let i = 0; i < sums.length; i++) {
      const sum = sums[i]!;
      sums[i] = (((sum & clipped) >>> 1) & clipped) + ((sum & LIGHT_MASK) >>> 1);
    }
    this.#frames >>= 1;
  }
}
