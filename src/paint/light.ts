/**
 * The light on the piece against the tile's, of which a reading knows little: it makes dab and glaze
 * lighter or darker by one factor, and leaves their ratio alone.
 */
import { labFromXyzD65, xyzD65FromLab } from '../colour/cielab.ts';
import { xyzD65, type LabD65 } from '../colour/spaces.ts';

/** A colour read in `logLight` (ln) more light than was reckoned with: X, Y and Z by one factor. */
export function inLight(lab: LabD65, logLight: number): LabD65 {
  if (logLight === 0) return lab;
  const factor = Math.exp(logLight);
  const [X, Y, Z] = xyzD65FromLab(lab);
  return labFromXyzD65(xyzD65(factor * X, factor * Y, factor * Z));
}

/** ∂Lab/∂ln light along one axis: f goes with the cube root (ISO/CIE 11664-4 eq. 4). */
export function lightSlope(lab: LabD65, axis: 0 | 1 | 2): number {
  return (axis === 0 ? lab[0] + 16 : lab[axis]) / 3;
}
