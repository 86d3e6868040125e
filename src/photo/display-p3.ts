/** Display P3 named by its code point alone, without a profile (SMPTE EG 432-1, D65, curve of sRGB). */
import { converter } from 'culori';
import { encodedFromLinear, linearFromEncoded } from '../colour/srgb.ts';

const toLinearSrgb = converter('lrgb');

/** @param rgba 16-bit codes, changed in place; what lies outside sRGB is brought to its edge */
export function displayP3ToSrgb(rgba: Uint16Array): void {
  const columns = (['r', 'g', 'b'] as const).map((one) =>
    toLinearSrgb({ mode: 'p3', r: 0, g: 0, b: 0, [one]: 1 }),
  );
  const [ofR, ofG, ofB] = columns;
  const linear = Float64Array.from({ length: 65536 }, (_, c) => linearFromEncoded(c / 65535));
  const code = (light: number) =>
    Math.round(65535 * encodedFromLinear(Math.min(1, Math.max(0, light))));
  for (let at = 0; at < rgba.length; at += 4) {
    const r = linear[rgba[at]!]!;
    const g = linear[rgba[at + 1]!]!;
    const b = linear[rgba[at + 2]!]!;
    rgba[at] = code(ofR!.r * r + ofG!.r * g + ofB!.r * b);
    rgba[at + 1] = code(ofR!.g * r + ofG!.g * g + ofB!.g * b);
    rgba[at + 2] = code(ofR!.b * r + ofG!.b * g + ofB!.b * b);
  }
}
