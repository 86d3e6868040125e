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
/** The contrast card of ISO 6504-1, taken as even: black, and white of reflectance 0.80. */
const BLACK_CARD = reflectance(new Float64Array(BANDS));
const WHITE_CARD = reflectance(new Float64Array(BANDS).fill(0.8));

/** K and S of a pot, 36 bands, relative to the S of the palette's white. */
type Mixture = ReturnType<typeof mixtureOf>;

/**
 * Lab D65/2° of a dry film of the pot over a ground (as read, specular excluded). `thickness` ≥ 0 is
 * optical: in units of the thickness at which the palette's white has S·X = 1.
 */
export function labOverGround(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  thickness: number,
  ground: Reflectance,
): LabD65 {
  return labD65FromReflectance(filmOver(mixtureOf(palette, pot), thickness, ground));
}

/** Contrast ratio in 0–1: luminous reflectance Y over black divided by that over white (ISO 6504-1). */
export function contrastRatioOf(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  thickness: number,
): number {
  return luminousContrast(mixtureOf(palette, pot), thickness);
}

/** Optical thickness at which the film hides (contrast ratio 0.98), by bisection to one part in 10⁶. */
export function thicknessToHide(palette: readonly PalettePigment[], pot: PotGrams): number {
  const mixture = mixtureOf(palette, pot);
  let high = 1;
  while (luminousContrast(mixture, high) < COMPLETE_HIDING && high < 1e6) high *= 2;
  let low = 0;
  while (high - low > 1e-6 * high) {
    const middle = (low + high) / 2;
    if (luminousContrast(mixture, middle) < COMPLETE_HIDING) low = middle;
    else high = middle;
  }
  return high;
}

function luminousContrast(mixture: Mixture, thickness: number): number {
  const luminous = (ground: Reflectance) =>
    xyzD65FromReflectance(filmOver(mixture, thickness, ground))[1];
  return luminous(BLACK_CARD) / luminous(WHITE_CARD);
}

function filmOver({ K, S }: Mixture, thickness: number, ground: Reflectance): Reflectance {
  const film = ground.map((under, band) => {
    const inside = Math.min(1, internalReflectance(under, SURFACE));
    return readReflectance(reflectanceOfFilm(K[band]!, S[band]!, thickness, inside), SURFACE);
  });
  return reflectance(film);
}
