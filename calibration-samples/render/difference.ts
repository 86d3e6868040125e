/**
 * ΔE₀₀ of two CIELAB D65 colours, ISO/CIE 11664-6:2014 with all k = 1: the generator's own, so that
 * truth does not come from the code it judges. Works on hue unit vectors instead of angles where the
 * standard works in degrees.
 */
import type { Triple } from './spectra.ts';

const RAD = Math.PI / 180;

export function differenceE00(one: Triple, two: Triple): number {
  const meanChroma7 = ((Math.hypot(one[1], one[2]) + Math.hypot(two[1], two[2])) / 2) ** 7;
  const stretch = 1.5 - 0.5 * Math.sqrt(meanChroma7 / (meanChroma7 + 25 ** 7));
  const a1 = one[1] * stretch;
  const a2 = two[1] * stretch;
  const c1 = Math.hypot(a1, one[2]);
  const c2 = Math.hypot(a2, two[2]);
  const grey = c1 * c2 === 0;
  // Turn from the first hue to the second, −π…π; half of it leads to the mean hue.
  const turn = grey ? 0 : Math.atan2(a1 * two[2] - a2 * one[2], a1 * a2 + one[2] * two[2]);
  const hue1 = c1 === 0 ? 0 : Math.atan2(one[2], a1);
  const hue2 = c2 === 0 ? 0 : Math.atan2(two[2], a2);
  const meanHue = grey ? hue1 + hue2 : hue1 + turn / 2;
  const meanL = (one[0] + two[0]) / 2;
  const meanC = (c1 + c2) / 2;
  const t =
    1 -
    0.17 * Math.cos(meanHue - 30 * RAD) +
    0.24 * Math.cos(2 * meanHue) +
    0.32 * Math.cos(3 * meanHue + 6 * RAD) -
    0.2 * Math.cos(4 * meanHue - 63 * RAD);
  const light =
    (two[0] - one[0]) / (1 + (0.015 * (meanL - 50) ** 2) / Math.hypot(Math.sqrt(20), meanL - 50));
  const chroma = (c2 - c1) / (1 + 0.045 * meanC);
  const hue = (2 * Math.sqrt(c1 * c2) * Math.sin(turn / 2)) / (1 + 0.015 * meanC * t);
  const degrees = (((meanHue / RAD) % 360) + 360) % 360;
  const rotation =
    -2 *
    Math.sqrt(meanC ** 7 / (meanC ** 7 + 25 ** 7)) *
    Math.sin(60 * RAD * Math.exp(-(((degrees - 275) / 25) ** 2)));
  return Math.sqrt(Math.max(0, light ** 2 + chroma ** 2 + hue ** 2 + rotation * chroma * hue));
}
