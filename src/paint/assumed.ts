/** Standard deviations the estimate assumes. */
export interface Assumed {
  /** Of a reading, on each axis of Lab. */
  readonly reading: number;
  /** Of the logarithm of one added dose. */
  readonly dose: number;
  /** Of the logarithm of each amount of the pot as first recorded. */
  readonly firstDose: number;
  /** Of the logarithm of a pigment's strength as characterised, before any pot taught it. */
  readonly strength: number;
  /** Of the discrepancy between theory and paint, on each axis, far from any reading. */
  readonly discrepancy: number;
  /** How far in Lab two mixtures share their discrepancy. */
  readonly reach: number;
  /** Of ln light on the piece as a reading estimates it; all readings of a pot err alike. */
  readonly light: number;
}

export const ASSUMED: Assumed = {
  reading: 0.3,
  dose: 0.15,
  firstDose: 0.1,
  strength: 0.25,
  discrepancy: 1,
  reach: 15,
  light: 0.2,
};
