/**
 * Verdict with a guard band (JCGM 106:2012, clause 8): said only when it is at least 95 % sure.
 * Default thresholds: 50:50 acceptability 1.8 and perceptibility 0.8 ΔE₀₀ for ceramic specimens, 175
 * observers (Paravina et al. 2015, J. Esthet. Restor. Dent. 27 S1).
 */
import type { Difference, Verdict, VerdictThresholds } from './types.ts';

export const DEFAULT_THRESHOLDS: VerdictThresholds = { acceptable: 1.8, imperceptible: 0.8 };

const SURE = 0.95;

/** @param atMost how probable it is that ΔE₀₀ does not exceed the threshold, 0–1 */
export function verdict(atMost: number): Verdict {
  if (atMost >= SURE) return 'blends';
  return 1 - atMost >= SURE ? 'shows' : 'unsure';
}

/**
 * What is said of a difference. Round equal colours most of those it may be lie further off than what was
 * read, so the probabilities alone would say that it shows where the interval holds the threshold; it is not
 * said then, for the two stand side by side.
 */
export function verdictOn(
  difference: Pick<Difference, 'interval95'> & { atMost: (threshold: number) => number },
  threshold: number,
): Verdict {
  const said = verdict(difference.atMost(threshold));
  return said === 'shows' && difference.interval95[0] < threshold ? 'unsure' : said;
}

/** The same by both thresholds. */
export const verdictsOn = (
  difference: Parameters<typeof verdictOn>[0],
  { acceptable, imperceptible }: VerdictThresholds,
): { readonly acceptable: Verdict; readonly imperceptible: Verdict } => ({
  acceptable: verdictOn(difference, acceptable),
  imperceptible: verdictOn(difference, imperceptible),
});
