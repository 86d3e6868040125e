/** What a field of light is made of, and how much of each term is believed beforehand. */
import type { LogTriple } from './log-window.ts';

/** A small block of like pixels: where it is, its mean log light, how many pixels it holds. */
export interface Block {
  /** Position relative to the dab's centre, in units of the ring's outer radius. */
  readonly x: number;
  readonly y: number;
  readonly log: LogTriple;
  readonly onDab: boolean;
  /** Pixels in the block over pixels of a full block, 0–1. */
  readonly fill: number;
  /** Weight by distance from the dab in a picture without noise, 0–1: 1 on it. */
  readonly nearness: number;
  /** First guess of how likely it is glaze or dab at all, 0–1. */
  readonly trust: number;
}

/** How smooth a field is believed to be. Deviations per ring radius or per bump. */
export interface Roughness {
  /**
   * In which the field is smooth. The light on a curved matt body goes with the cosine of its slope,
   * which is smooth where its logarithm plunges, towards the shadow; on a glaze whose light varies by
   * factors it is the other way round.
   */
  readonly smoothIn: 'log' | 'light';
  /** Prior standard deviation of constant, slopes and curvature, mean log light. */
  readonly quadratic: readonly [number, number, number];
  /** Prior standard deviation of each bump; 0: none. */
  readonly bump: number;
}

const QUADRATIC = [20, 1.2, 0.8] as const;
const bent = (smoothIn: 'log' | 'light', bump = 0): Roughness => ({
  smoothIn,
  quadratic: QUADRATIC,
  bump,
});
const STRAIGHT: Roughness = { smoothIn: 'log', quadratic: [20, 1.2, 0.02], bump: 0 };
export const BENT: Roughness = bent('log');
/** From smooth to rough. */
export const ROUGHNESSES: readonly Roughness[] = [
  STRAIGHT,
  BENT,
  bent('light'),
  bent('light', 0.01),
  bent('log', 0.03),
  bent('light', 0.03),
  bent('log', 0.1),
  bent('light', 0.1),
  bent('log', 0.3),
];
/** Enough to draw an outline by. */
export const FEW_ROUGHNESSES: readonly Roughness[] = [
  BENT,
  bent('light'),
  bent('light', 0.03),
  bent('log', 0.1),
];
/** The lamp has one colour: log ratios vary this much less than the mean. */
const RATIO_SHARE = 0.04;
/**
 * A camera’s tone curve, and the room's light beside the lamp's, make the ratios a function of the
 * light: prior standard deviation of ln ratio per ln light.
 */
const RATIO_PER_LIGHT = 0.15;
const STEP_PRIOR = 3;
/** Spacing of the bumps in ring radii; their standard deviation is as wide. */
const SPACING = 0.36;

/** Centres of the bumps: a hexagonal grid over the disc. */
const KNOTS: readonly (readonly [number, number])[] = (() => {
  const knots: [number, number][] = [];
  const rise = (SPACING * Math.sqrt(3)) / 2;
  for (let row = -4; row <= 4; row++) {
    for (let col = -4; col <= 4; col++) {
      const x = (col + (row % 2 === 0 ? 0 : 0.5)) * SPACING;
      const y = row * rise;
      if (Math.hypot(x, y) < 1.15) knots.push([x, y]);
    }
  }
  return knots;
})();

/** Quadratic and bumps; then the light itself, for the ratios; then the dab's step. */
const SMOOTH_TERMS = 6 + KNOTS.length;
export const LIGHT = SMOOTH_TERMS;
export const STEP = SMOOTH_TERMS + 1;
export const TERMS = SMOOTH_TERMS + 2;

/** Writes the smooth terms at a place in ring radii. */
export function fieldTerms(x: number, y: number, into: Float64Array, at = 0): void {
  into[at] = 1;
  into[at + 1] = x;
  into[at + 2] = y;
  into[at + 3] = x * x;
  into[at + 4] = x * y;
  into[at + 5] = y * y;
  KNOTS.forEach(([kx, ky], k) => {
    into[at + 6 + k] = Math.exp(-((x - kx) ** 2 + (y - ky) ** 2) / (2 * SPACING * SPACING));
  });
}

/** Smooth terms and cover of every block, TERMS values each; the light is left 0. */
export function basisOf(blocks: readonly Block[], cover: readonly number[]): Float64Array {
  const basis = new Float64Array(blocks.length * TERMS);
  blocks.forEach((block, i) => {
    fieldTerms(block.x, block.y, basis, i * TERMS);
    basis[i * TERMS + STEP] = cover[i]!;
  });
  return basis;
}

/** Coordinate 0 is the mean log light; 1 and 2 are the log ratios. */
export type Coordinate = 0 | 1 | 2;
export const COORDINATES: readonly Coordinate[] = [0, 1, 2];

/** Prior standard deviation of each term of a coordinate. */
export function priorDeviations(roughness: Roughness, coordinate: Coordinate): Float64Array {
  const share = coordinate === 0 ? 1 : RATIO_SHARE;
  const [constant, slope, curvature] = roughness.quadratic;
  const deviations = new Float64Array(TERMS).fill(roughness.bump * share);
  deviations[0] = constant;
  deviations.fill(slope * share, 1, 3);
  deviations.fill(curvature * share, 3, 6);
  deviations[LIGHT] = RATIO_PER_LIGHT;
  deviations[STEP] = STEP_PRIOR;
  return deviations;
}

/** Terms that a coordinate of such a field has; the others are 0. */
export const termsOf = (roughness: Roughness, coordinate: Coordinate): readonly number[] =>
  Array.from({ length: TERMS }, (_, t) => t).filter(
    (t) => t < 6 || t === STEP || (t === LIGHT ? coordinate > 0 : roughness.bump > 0),
  );
