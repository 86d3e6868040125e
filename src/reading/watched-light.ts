/** The mean light of a few hundred places of a patch, frame by frame, and whether it stays what it is. */
import { LINEAR_OF_CODE } from '../colour/srgb.ts';
import type { FetchedPixels } from './patch-average.ts';
import type { Patch } from './patch.ts';
import type { PatchRect } from './patch-rect.ts';
import type { Steady } from './steadiness.ts';

/** Mean linear light of R, G, B, 0–1. */
export type Light = readonly [number, number, number];

/** Places of a patch whose mean light is watched. */
export interface Spots {
  /** @param pixels of all patches, in the order of `patches` */
  light(pixels: readonly FetchedPixels[], patches: readonly Patch[]): Light;
}

const MOST_SPOTS = 1500;
/** Light, against the tile's, in which a dark dab's noise drowns. */
const DARK = 0.02;

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
    light(pixels, patches) {
      const { rgba, first, stride } = pixels[patches.indexOf(patch)]!;
      let [r, g, b] = [0, 0, 0];
      for (let i = 0; i < xs.length; i++) {
        const at = (first + ys[i]! * stride + xs[i]!) * 4;
        r += LINEAR_OF_CODE[rgba[at]!]!;
        g += LINEAR_OF_CODE[rgba[at + 1]!]!;
        b += LINEAR_OF_CODE[rgba[at + 2]!]!;
      }
      const count = Math.max(1, xs.length);
      return [r / count, g / count, b / count];
    },
  };
}

/** ln G, ln R/G, ln B/G of a tile: its light, and its colour. */
export function tileNumbers([r, g, b]: Light): [number, number, number] {
  const log = (light: number) => Math.log(Math.max(1e-4, light));
  return [log(g), log(r) - log(g), log(b) - log(g)];
}

/** ln of each channel of a dab against the tile. */
export const dabNumbers = (dab: Light, tile: Light): number[] =>
  dab.map((light, k) => Math.log(light / Math.max(1e-4, tile[k]!) + DARK));

export const departs = (steady: readonly Steady[], values: readonly number[]): boolean =>
  steady.some((each, k) => Math.abs(each.departure(values[k]!)) > 1);
