/** sRGB codes as codes of Display P3, by colorjs.io. */
import Color from 'colorjs.io';
import type { Codes } from './patches.ts';

export const inSpace =
  (space: string) =>
  (codes: Codes): Codes =>
    new Color('srgb', codes.map((v) => v / 65535) as [number, number, number])
      .to(space)
      .coords.map((v) => Math.round(65535 * v!)) as unknown as Codes;

export const inDisplayP3 = inSpace('p3');
