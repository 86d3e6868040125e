/** Of a batch and slightly larger ones, the one whose doses change its colour least. */

/** A rounding that costs less than this, ΔE₀₀, is not looked for any better. */
const GOOD_ROUNDING = 0.1;
/** Batches up to this much larger are tried, when a larger one rounds better. */
const LARGEST_EXCESS = 0.3;
const STEP = 0.02;

export interface Rounded {
  /** ΔE₀₀ between the mix as wanted and as its doses make it. */
  readonly roundingDeltaE00: number;
}

/**
 * @param roundedAt the batch made `factor` times as large, ≥ 1, in doses; undefined when that is not
 *   looked at
 * @returns undefined when none was looked at
 */
export function bestRounded<Mix extends Rounded>(
  roundedAt: (factor: number) => Mix | undefined,
): Mix | undefined {
  let best: Mix | undefined;
  for (let excess = 0; excess <= LARGEST_EXCESS; excess += STEP) {
    const mix = roundedAt(1 + excess);
    if (!mix) continue;
    if (!best || mix.roundingDeltaE00 < best.roundingDeltaE00) best = mix;
    if (mix.roundingDeltaE00 <= GOOD_ROUNDING) break;
  }
  return best;
}
