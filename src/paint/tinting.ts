/** Tinting strength: one number for what a pigment does to a mix, beside its spectra. */
import { BANDS } from '../colour/grid.ts';
import type { Characterised } from './characterise.ts';
import type { Believed } from './film.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import { SURFACE } from './kubelka-munk.ts';
import { K_TERMS, TERMS, WHITE_PRIOR } from './spectral-prior.ts';

/** Parts of white to one of pigment in which strength is judged. */
const PARTS = 9;

/**
 * Logarithm of tinting strength in the trade's sense: how much more a pigment absorbs in a tint than
 * its characterisation said, each band by how far the tint's colour moves with it. A white's is
 * its mass as believed.
 */
export function logTintingStrength(known: Characterised, { K, strength }: Believed): number {
  if (known.prior === WHITE_PRIOR) return Math.log(strength);
  const weights = weightsOf(known);
  const change = weights.reduce(
    (sum, weight, band) => sum + weight * Math.log(K[band]! / known.K[band]!),
    0,
  );
  return Math.log(strength) + change;
}

/** Its slopes over a pigment's unit unknowns, TERMS and the strength's own. */
export function tintingSlopes(known: Characterised, logSd: number, slopes: Float64Array): void {
  slopes[TERMS] = logSd;
  if (known.prior === WHITE_PRIOR) return;
  const { basisK } = known.prior;
  const weights = weightsOf(known);
  const bands = weights.length;
  const perCoefficient = Float64Array.from({ length: K_TERMS }, (_, i) =>
    weights.reduce((sum, weight, band) => sum + weight * basisK[i * bands + band]!, 0),
  );
  for (let j = 0; j < TERMS; j++) {
    for (let i = j; i < K_TERMS; i++) {
      slopes[j]! += perCoefficient[i]! * known.spread[j * TERMS + i]!;
    }
  }
}

/** How far the tint's Lab moves with ln K of each band, summing to 1. */
function weightsOf({ K }: Characterised): Float64Array {
  const slopes = new Float64Array(3 * BANDS);
  labOfOpaqueFilm(
    K.map((value) => value / PARTS),
    SURFACE,
    slopes,
  );
  const raw = K.map((_, band) =>
    Math.hypot(slopes[band]!, slopes[BANDS + band]!, slopes[2 * BANDS + band]!),
  );
  const total = raw.reduce((sum, value) => sum + value, 0);
  return raw.map((value) => value / total);
}
