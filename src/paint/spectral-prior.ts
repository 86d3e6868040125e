/**
 * What is believed of a pigment's ln K and ln S before it is read: smooth, positive, any level.
 *
 * S. A. Burns 2020 (“Numerical methods for smoothest reflectance reconstruction”, Color Res. Appl.
 * 45(1), 8–21) rebuilds the reflectance whose logarithm has the least sum of squared steps between
 * bands. The same measure is taken here of ln K and ln S, which keeps K and S positive and R in 0–1
 * by construction, and as a Gaussian prior rather than as a bare minimum, so that masstone and tint
 * enter together, each with its reading error, and what they leave open comes out as uncertainty.
 * The eigenvectors of the sum of squared steps are cosines (the DCT-II) with eigenvalues
 * 4 sin²(πj/2n): the prior needs no matrix of its own.
 */
import { BANDS } from '../colour/grid.ts';

/** Coefficients of ln K: the level and 11 cosines; finer detail does not show in colour. */
export const K_TERMS = 12;
/** Coefficients of ln S: the level and 3 cosines; scattering of pigments changes slowly. */
export const S_TERMS = 4;
export const TERMS = K_TERMS + S_TERMS;

/** Basis of ln K or ln S: `terms` rows of 36, each scaled so that its coefficient is N(0, 1). */
function cosineBasis(terms: number, sigmaLevel: number, sigmaStep: number): Float64Array {
  const rows = new Float64Array(terms * BANDS);
  for (let band = 0; band < BANDS; band++) {
    rows[band] = sigmaLevel;
    for (let j = 1; j < terms; j++) {
      const amplitude = sigmaStep / (2 * Math.sin((Math.PI * j) / (2 * BANDS)));
      rows[j * BANDS + band] =
        Math.sqrt(2 / BANDS) * amplitude * Math.cos((Math.PI * j * (band + 0.5)) / BANDS);
    }
  }
  return rows;
}

/** A Gaussian prior on ln K and ln S: mean curves and scaled basis rows. */
export interface SpectralPrior {
  readonly meanLnK: Float64Array;
  readonly meanLnS: Float64Array;
  readonly basisK: Float64Array;
  readonly basisS: Float64Array;
}

/** Any coloured pigment, S relative to white's. */
export const PIGMENT_PRIOR: SpectralPrior = {
  meanLnK: new Float64Array(BANDS).fill(0),
  meanLnS: new Float64Array(BANDS).fill(Math.log(0.5)),
  basisK: cosineBasis(K_TERMS, 2, 0.5),
  basisS: cosineBasis(S_TERMS, 0.7, 0.06),
};

/**
 * A white: S = 1 in every band by definition (opaque colour knows only ratios), K small, rising
 * towards the violet as titanium white does below 410 nm (from memory).
 */
export const WHITE_PRIOR: SpectralPrior = {
  meanLnK: Float64Array.from(
    { length: BANDS },
    (_, band) => -6 + ([3.5, 2.5, 1.5, 0.5][band] ?? 0),
  ),
  meanLnS: new Float64Array(BANDS),
  basisK: cosineBasis(K_TERMS, 1.5, 0.15),
  basisS: new Float64Array(S_TERMS * BANDS),
};
