/** Clear medium goes in last: how much, and what it does to the colour until it is read again. */
import { labFromXyzD65, WHITE_D65, xyzD65FromLab } from '../../colour/cielab.ts';
import { deltaE00 } from '../../colour/ciede2000.ts';
import { BANDS, reflectance } from '../../colour/grid.ts';
import { xyzD65, type LabD65 } from '../../colour/spaces.ts';
import type { Finish } from '../drying.ts';
import { labOverGround, thicknessToHide } from '../hiding.ts';
import { SURFACE } from '../kubelka-munk.ts';
import type { PalettePigment, PotGrams } from '../types.ts';

/** Of the surface light, what a film scatters into the reading. Satin half-way: common practice, no source. */
const SCATTERED: Readonly<Record<Finish, number>> = { matt: 1, satin: 0.5, gloss: 0 };

/** A fill as it is usually left: near white. */
const FILL = reflectance(new Float64Array(BANDS).fill(0.8));

export interface Dilution {
  /** How much thicker the coat must be to hide as the unbound paint did: 1.05 with 5 %. */
  readonly thickerToHide: number;
  /** ΔE₀₀ over a white fill, where the coat is as thick as just hid before. */
  readonly deltaE00OverFill: number;
}

/**
 * Clear medium neither scatters nor absorbs, so K and S fall alike (Duncan 1940): an opaque coat keeps
 * its colour, a coat of the same thickness hides less.
 * @param share mass of medium over mass of the paint it went into, ≥ 0
 */
export function dilutionOf(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  share: number,
): Dilution {
  const hiding = thicknessToHide(palette, pot);
  const before = labOverGround(palette, pot, hiding, FILL);
  const after = labOverGround(palette, pot, hiding / (1 + share), FILL);
  return { thickerToHide: 1 + share, deltaE00OverFill: deltaE00(before, after) };
}

/**
 * A colour read from a film of one finish as it would read with another: the surface light k₁ that a
 * matt film scatters is added or taken off (Saunderson 1942, eq. 6, the first term).
 * @param way 0–1, how far the film goes from the one finish to the other
 */
export function withFinish(lab: LabD65, from: Finish, to: Finish, way: number): LabD65 {
  const light = SURFACE.k1 * way * (SCATTERED[to] - SCATTERED[from]);
  const [X, Y, Z] = xyzD65FromLab(lab);
  const at = (value: number, axis: 0 | 1 | 2) => Math.max(0, value + light * WHITE_D65[axis]);
  return labFromXyzD65(xyzD65(at(X, 0), at(Y, 1), at(Z, 2)));
}

/**
 * ΔE₀₀ that the medium's finish may bring: from as little as its share of the film to all of it. How
 * far a little medium closes a matt surface is known of no paint beforehand; hence the reading.
 */
export function finishShift(
  lab: LabD65,
  paint: Finish,
  medium: Finish,
  share: number,
): readonly [least: number, most: number] {
  const shift = (way: number) => deltaE00(lab, withFinish(lab, paint, medium, way));
  return [shift(share / (1 + share)), shift(share > 0 ? 1 : 0)];
}
