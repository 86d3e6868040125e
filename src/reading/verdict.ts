/**
 * Verdict with a guard band (JCGM 106:2012, clause 8): said only when it is at least 95 % sure.
 * Default thresholds: 50:50 acceptability 1.8 and perceptibility 0.8 ΔE₀₀ for ceramic specimens, 175
 * observers (Paravina et al. 2015, J. Esthet. Restor. Dent. 27 S1).
 */
import type { Verdict, VerdictThresholds } from './types.ts';
import type { KnownDeltaE00 } from './uncertainty.ts';

export const DEFAULT_THRESHOLDS: VerdictThresholds = { acceptable: 1.8, imperceptible: 0.8 };

const SURE = 0.95;

/** @param atMost how probable it is that ΔE₀₀ does not exceed the threshold, 0–1 */
export function verdict(atMost: number): Verdict {
  if (atMost >= SURE) return 'blends';
  return 1 - atMost >= SURE ? 'shows' : 'unsure';
}

/**
 * What is said of a difference. Noise lengthens a small one, so those it may be lie mostly further off than
 * the threshold where the truth is the threshold itself: it shows only where what was read would then be
 * surprisingly large, and never where equal colours would be read so.
 */
export function verdictOn(difference: KnownDeltaE00, threshold: number): Verdict {
  const said = verdict(difference.atMost(threshold));
  if (said !== 'shows') return said;
  return difference.interval95[0] > 0 && difference.exceeds(threshold) ? 'shows' : 'unsure';
}

/** The same by both thresholds. */
export const verdictsOn = (
  difference: KnownDeltaE00,
  { acceptable, imperceptible }: VerdictThresholds,
): { readonly acceptable: Verdict; readonly imperceptible: Verdict } => ({
  acceptable: verdictOn(difference, acceptable),
  imperceptible: verdictOn(difference, imperceptible),
});
