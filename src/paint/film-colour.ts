/** The colour of an opaque film from its K/S, and how that colour moves with K/S in each band. */
import { BANDS, reflectance } from '../colour/grid.ts';
import { labFromXyzD65, WHITE_D65 } from '../colour/cielab.ts';
import { xyzD65, type LabD65 } from '../colour/spaces.ts';
import { xyzD65FromReflectance } from '../colour/spectra.ts';
import type { Saunderson } from './kubelka-munk.ts';

/** XYZ D65/2° of unit reflectance in each band: the sum is linear, so these are its weights. */
const WEIGHTS: readonly [Float64Array, Float64Array, Float64Array] = (() => {
  const rows = [new Float64Array(BANDS), new Float64Array(BANDS), new Float64Array(BANDS)] as const;
  for (let band = 0; band < BANDS; band++) {
    const unit = new Float64Array(BANDS);
    unit[band] = 1;
    xyzD65FromReflectance(reflectance(unit)).forEach((value, row) => {
      rows[row as 0 | 1 | 2][band] = value;
    });
  }
  return [rows[0], rows[1], rows[2]];
})();

/** Slope of CIELAB's f at t (ISO/CIE 11664-4 eq. 4–6). */
function slopeOfF(t: number): number {
  return t > (6 / 29) ** 3 ? 1 / (3 * Math.cbrt(t) ** 2) : 841 / 108;
}

/**
 * Lab D65/2° of an opaque film, specular excluded, from `kOverS` (36 bands, ≥ 0). When `slopes`
 * (3 × 36) is given it is filled with ∂Lab/∂ln(K/S), rows L*, a*, b*.
 */
export function labOfOpaqueFilm(
  kOverS: Float64Array,
  { k1, k2 }: Saunderson,
  slopes?: Float64Array,
): LabD65 {
  const [wX, wY, wZ] = WEIGHTS;
  // A copy: a module's export is looked up anew each time it is named, and this loop is the hottest.
  const bands = BANDS;
  const through = (1 - k1) * (1 - k2);
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let band = 0; band < bands; band++) {
    const q = kOverS[band]!;
    const root = Math.sqrt(q * (q + 2));
    // 1/R∞ less k₂: what Saunderson divides by, so that a band takes one division, with its slope two.
    const inverse = 1 + q + root;
    const less = inverse - k2;
    const read = through / less;
    X += wX[band]! * read;
    Y += wY[band]! * read;
    Z += wZ[band]! * read;
    // dR/dq = −R/√(q² + 2q); d ln q brings q; Saunderson brings (1 − k₁)(1 − k₂)/(1 − k₂R)².
    if (slopes) slopes[band] = root > 0 ? (-read * inverse * q) / (less * root) : 0;
  }
  if (slopes) {
    const sX = slopeOfF(X / WHITE_D65[0]) / WHITE_D65[0];
    const sY = slopeOfF(Y / WHITE_D65[1]) / WHITE_D65[1];
    const sZ = slopeOfF(Z / WHITE_D65[2]) / WHITE_D65[2];
    for (let band = 0; band < bands; band++) {
      const slope = slopes[band]!;
      const fx = sX * wX[band]! * slope;
      const fy = sY * wY[band]! * slope;
      const fz = sZ * wZ[band]! * slope;
      slopes[band] = 116 * fy;
      slopes[bands + band] = 500 * (fx - fy);
      slopes[2 * bands + band] = 200 * (fy - fz);
    }
  }
  return labFromXyzD65(xyzD65(X, Y, Z));
}
