/**
 * Kubelka–Munk theory of opaque and thin paint films with Saunderson's correction, for one band.
 *
 * Sources: P. Kubelka, F. Munk 1931, “Ein Beitrag zur Optik der Farbanstriche”, Z. tech. Phys. 12;
 * P. Kubelka 1948, “New contributions to the optics of intensely light-scattering materials.
 * Part I”, J. Opt. Soc. Am. 38(5), 448 (the hyperbolic solutions; a, b, S, X, R_g are his symbols);
 * D. R. Duncan 1940, “The colour of pigment mixtures”, Proc. Phys. Soc. 52, 390 (mixtures by mass);
 * J. L. Saunderson 1942, “Calculation of the color of pigmented plastics”, J. Opt. Soc. Am. 32, 727.
 */

/** Saunderson's constants of a paint surface, specular reflection excluded from the reading. */
export interface Saunderson {
  /** k₁: share of the incident light reflected at the surface, 0–1; 0.04 for n = 1.5. */
  readonly k1: number;
  /** k₂: share of diffuse light reflected back inside the surface, 0–1; 0.6 for n = 1.5. */
  readonly k2: number;
}

/** Theory for n = 1.5: Fresnel at normal incidence, and diffuse light inside (Judd 1942, 0.596). */
export const SURFACE: Saunderson = { k1: 0.04, k2: 0.6 };

/**
 * Internal reflectance R∞ in 0–1 of an opaque film from K/S ≥ 0: the inverse of K/S = (1 − R)² / 2R
 * (Kubelka 1948, eq. 22). The same as 1 + K/S − √((K/S)² + 2 K/S), written so that nothing cancels
 * for dark films.
 */
export function reflectanceFromKOverS(kOverS: number): number {
  return 1 / (1 + kOverS + Math.sqrt(kOverS * (kOverS + 2)));
}

/**
 * Internal reflectance R of a film of optical thickness S·X over a ground R_g (Kubelka 1948, eq. 20):
 * R = (1 − R_g(a − b coth bSX)) / (a − R_g + b coth bSX), a = 1 + K/S, b = √(a² − 1).
 * `K` and `S` per unit of thickness, ≥ 0; `thickness` X ≥ 0 in that unit; grounds in 0–1.
 */
export function reflectanceOfFilm(K: number, S: number, thickness: number, ground: number): number {
  const SX = S * thickness;
  // A film that does not scatter only absorbs, on the way down and back: Beer–Lambert.
  if (SX < 1e-9) return ground * Math.exp(-2 * K * thickness);
  const a = 1 + K / S;
  const b = Math.sqrt(a * a - 1);
  // b coth(bSX) → 1/SX as b → 0; the series keeps six digits where the quotient would be 0/0.
  const bSX = b * SX;
  const bCoth = bSX < 1e-4 ? (1 + bSX ** 2 / 3) / SX : b / Math.tanh(bSX);
  return (1 - ground * (a - bCoth)) / (a - ground + bCoth);
}

/**
 * What an instrument reads, specular excluded, from internal reflectance R (Saunderson 1942, eq. 6
 * less its first term k₁): (1 − k₁)(1 − k₂)R / (1 − k₂R).
 */
export function readReflectance(internal: number, { k1, k2 }: Saunderson): number {
  return ((1 - k1) * (1 - k2) * internal) / (1 - k2 * internal);
}

/** The inverse of `readReflectance`: R = R_m / ((1 − k₁)(1 − k₂) + k₂R_m). */
export function internalReflectance(read: number, { k1, k2 }: Saunderson): number {
  return read / ((1 - k1) * (1 - k2) + k2 * read);
}
