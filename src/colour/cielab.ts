/** CIELAB 1976, ISO/CIE 11664-4:2019, for the D65 white and the CIE 1931 2° observer. */
import { labD65, xyzD65, type LabD65, type XyzD65 } from './spaces.ts';

/** D65 white, x = 0.3127, y = 0.3290 (IEC 61966-2-1), scaled to Y = 1. */
export const WHITE_D65: XyzD65 = xyzD65(0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329);

const DELTA = 6 / 29;

/** f of eq. 4–6: the cube root, with a straight line near black so that the slope stays finite. */
function f(t: number): number {
  return t > DELTA ** 3 ? Math.cbrt(t) : t / (3 * DELTA ** 2) + 4 / 29;
}
function inverseOfF(t: number): number {
  return t > DELTA ? t ** 3 : 3 * DELTA ** 2 * (t - 4 / 29);
}

export function labFromXyzD65([X, Y, Z]: XyzD65): LabD65 {
  const fx = f(X / WHITE_D65[0]);
  const fy = f(Y / WHITE_D65[1]);
  const fz = f(Z / WHITE_D65[2]);
  return labD65(116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz));
}

export function xyzD65FromLab([L, a, b]: LabD65): XyzD65 {
  const fy = (L + 16) / 116;
  return xyzD65(
    WHITE_D65[0] * inverseOfF(fy + a / 500),
    WHITE_D65[1] * inverseOfF(fy),
    WHITE_D65[2] * inverseOfF(fy - b / 200),
  );
}
