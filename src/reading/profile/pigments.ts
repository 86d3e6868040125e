/**
 * What other pigments than the glaze's may do to a difference that is read through a camera profile.
 *
 * Paints that look alike differ in K/S here and there along the spectrum, and a camera, which is no observer,
 * weighs that otherwise. A share of K/S moves R∞ by that share of R(1 − R)/(1 + R) (Kubelka and Munk 1931,
 * from K/S = (1 − R)²/2R), and CIELAB, a cube root, by that of Y^⅓(1 − Y)/(1 + Y): most in middling colours,
 * little in whites and blacks. Pairs of 3000 plausible surfaces that look nearly alike, seen by 120 plausible
 * cameras (`plausible.ts`), are misread just so: by the power 1.0 of it in L*, a* and b*, whose sizes, and
 * whose growth with chroma, are theirs too.
 */
import { xyzD65FromLab } from '../../colour/cielab.ts';
import type { LabD65 } from '../../colour/spaces.ts';

/** Y^⅓(1 − Y)/(1 + Y) where it is greatest, at Y = 0.17. */
const GREATEST = 0.39;
/** Of that; some is left of the palest and the darkest. */
const LEAST = 0.25;
/** Chroma beyond which nothing is said of it. */
const MOST_CHROMA = 40;
/** Standard deviations in L*, a*, b* in a middling grey, and the powers of 1 + C/5 they grow by. */
const IN_GREY = [0.115, 0.66, 0.31] as const;
const POWERS = [0.25, 0.25, 0.44] as const;
/**
 * How the camera's own share goes with the mean ΔE₀₀ of patches it had not seen: about half as fast, for two
 * dozen patches tell only so much of other paints. The size as a whole is a compromise: dabs of the glaze's
 * own pigments need a tenth of it and others twice as much, and no picture tells which one is; swatches of
 * which two of five are of others are covered as often as without a profile, nine times of ten.
 */
const ANY_CAMERA = 0.6;
const PER_LEFT_OUT = 0.25;

/**
 * @param leftOut mean ΔE₀₀ of the chart's patches left out of the profile's fit
 * @returns standard deviations in L*, a*, b*
 */
export function profiledPigments(
  glazeLab: LabD65,
  leftOut: number,
): readonly [number, number, number] {
  const Y = Math.min(1, Math.max(0, xyzD65FromLab(glazeLab)[1]));
  const moved = Math.max(LEAST, (Math.cbrt(Y) * (1 - Y)) / (1 + Y) / GREATEST);
  const strength = 1 + Math.min(MOST_CHROMA, Math.hypot(glazeLab[1], glazeLab[2])) / 5;
  const camera = ANY_CAMERA + PER_LEFT_OUT * leftOut;
  const of = (k: 0 | 1 | 2) => camera * moved * IN_GREY[k] * strength ** POWERS[k];
  return [of(0), of(1), of(2)];
}
