/** The mean light of a few hundred places of a patch, frame by frame, and whether it stays what it is. */
import { LINEAR_OF_CODE } from '../colour/srgb.ts';
import type { FetchedPixels } from './patch-average.ts';
import type { Patch } from './patch.ts';
import type { PatchRect } from './patch-rect.ts';
import type { Steady } from './steadiness.ts';

/** ln G, ln R/G, ln B/G of linear light. */
export type LogLight = readonly [number, number, number];

/** Places of a patch whose mean light is watched. */
export interface Spots {
  /** @param pixels of all patches, in the order of `patches` */
  logLight(pixels: readonly FetchedPixels[], patches: readonly Patch[]): LogLight;
}

const MOST_SPOTS = 1500;
/** Keeps the logarithm of a black dab finite. */
const LEAST_LIGHT = 1e-3;

export function spotsIn(
  patch: Patch,
  bounds: PatchRect,
  inside: (x: number, y: number) => boolean,
): Spots {
  const { rect } = patch;
  const step = Math.max(1, Math.floor(Math.sqrt((bounds.width * bounds.height) / MOST_SPOTS)));
  const xs: number[] = [];
  const ys: number[] = [];
  for (let y = Math.ceil(bounds.y); y < bounds.y + bounds.height; y += step) {
    for (let x = Math.ceil(bounds.x); x < bounds.x + bounds.width; x += step) {
      if (!patch.heldAtFirst({ x, y }) || !inside(x + 0.5, y + 0.5)) continue;
      xs.push(x - rect.x);
      ys.push(y - rect.y);
    }
  }
  return {
    logLight(pixels, patches) {
      const { rgba, first, stride } = pixels[patches.indexOf(patch)]!;
      let [r, g, b] = [LEAST_LIGHT, LEAST_LIGHT, LEAST_LIGHT];
      for (let i = 0; i < xs.length; i++) {
        const at = (first + ys[i]! * stride + xs[i]!) * 4;
        r += LINEAR_OF_CODE[rgba[at]!]!;
        g += LINEAR_OF_CODE[rgba[at + 1]!]!;
        b += LINEAR_OF_CODE[rgba[at + 2]!]!;
      }
      return [Math.log(g / Math.max(1, xs.length)), Math.log(r / g), Math.log(b / g)];
    },
  };
}

export const departs = (steady: readonly Steady[], values: readonly number[]): boolean =>
  steady.some((each, k) => Math.abs(each.departure(values[k]!)) > 1);
