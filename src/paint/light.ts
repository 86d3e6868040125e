/**
 * The light on the piece against the tile's, of which a reading knows little: it makes dab and glaze
 * lighter or darker by one factor, and leaves their ratio alone.
 */
import { labFromXyzD65, xyzD65FromLab } from '../colour/cielab.ts';
import { labD65, xyzD65, type LabD65 } from '../colour/spaces.ts';

/** A colour read in `logLight` (ln) more light than was reckoned with: X, Y and Z by one factor. */
export function inLight(lab: LabD65, logLight: number): LabD65 {
  if (logLight === 0) return lab;
  const [L, a, b] = lab;
  const scale = Math.exp(logLight / 3);
  const fy = (L + 16) / 116;
  // Where f is the cube root before and after, as it is of all but black, it is scaled itself.
  if (Math.min(fy, fy + a / 500, fy - b / 200) * Math.min(1, scale) > 6 / 29) {
    return labD65(scale * (L + 16) - 16, scale * a, scale * b);
  }
  const factor = Math.exp(logLight);
  const [X, Y, Z] = xyzD65FromLab(lab);
  return labFromXyzD65(xyzD65(factor * X, factor * Y, factor * Z));
}

/** ∂Lab/∂ln light along one axis: f goes with the cube root (ISO/CIE 11664-4 eq. 4). */
export function lightSlope(lab: LabD65, axis: 0 | 1 | 2): number {
  return (axis === 0 ? lab[0] + 16 : lab[axis]) / 3;
}
