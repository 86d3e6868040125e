/** Thin films: what a coat shows of its ground, and how thick it must be to hide it. */
import { BANDS, reflectance, type Reflectance } from '../colour/grid.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { labD65FromReflectance, xyzD65FromReflectance } from '../colour/spectra.ts';
import {
  internalReflectance,
  readReflectance,
  reflectanceOfFilm,
  SURFACE,
} from './kubelka-munk.ts';
import { mixtureOf } from './predict.ts';
import type { PalettePigment, PotGrams } from './types.ts';

/** Contrast ratio from which a film is said to hide: ISO 6504-1, ASTM D6441. */
export const COMPLETE_HIDING = 0.98;
/** Reflectance of the white ground of the contrast card, ISO 6504-1: 0.80. */
const WHITE_GROUND = 0.8;

/**
 * Reflectance of a dry film of the pot over a ground (as read, specular excluded). `thickness` is
 * optical: in units of the thickness at which the palette's white has S·X = 1.
 */
export function filmOverGround(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  thickness: number,
  ground: Reflectance,
): Reflectance {
  const { K, S } = mixtureOf(palette, pot);
  const film = new Float64Array(BANDS);
  for (let band = 0; band < BANDS; band++) {
    const under = Math.min(1, internalReflectance(ground[band]!, SURFACE));
    const over = reflectanceOfFilm(K[band]!, S[band]!, thickness, under);
    film[band] = readReflectance(over, SURFACE);
  }
  return reflectance(film);
}

/** Lab D65/2° of the same. */
export function labOverGround(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  thickness: number,
  ground: Reflectance,
): LabD65 {
  return labD65FromReflectance(filmOverGround(palette, pot, thickness, ground));
}

/** Contrast ratio in 0–1: luminous reflectance Y over black divided by that over white (ISO 6504-1). */
export function contrastRatioOf(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  thickness: number,
): number {
  const luminous = (ground: number) =>
    xyzD65FromReflectance(
      filmOverGround(palette, pot, thickness, reflectance(new Float64Array(BANDS).fill(ground))),
    )[1];
  return luminous(0) / luminous(WHITE_GROUND);
}

/** Optical thickness at which the film hides (contrast ratio 0.98), by bisection to one part in 10⁶. */
export function thicknessToHide(palette: readonly PalettePigment[], pot: PotGrams): number {
  let high = 1;
  while (contrastRatioOf(palette, pot, high) < COMPLETE_HIDING && high < 1e6) high *= 2;
  let low = 0;
  while (high - low > 1e-6 * high) {
    const middle = (low + high) / 2;
    if (contrastRatioOf(palette, pot, middle) < COMPLETE_HIDING) low = middle;
    else high = middle;
  }
  return high;
}
