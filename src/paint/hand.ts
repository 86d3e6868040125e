/** What a hand can dose: steps of a scale, and drops or touches that are counted. */

export interface Hand {
  /** Smallest dose a hand can make, g. */
  readonly smallest: number;
  /** Grams of one drop or touch of each pigment that is counted in them, by id. */
  readonly doses?: Readonly<Record<string, number>>;
  /** Step of the scale, g; absent: a tenth of the smallest dose. */
  readonly scaleStep?: number;
  /**
   * Whether a strong pigment may be suggested stirred into white first: its own grams are then fewer
   * than the smallest dose. Absent: that is only said in words.
   */
  readonly mayPreDilute?: boolean;
}

/** More than this many of one dose nobody counts: the scale takes it. */
export const MOST_COUNTED = 40;

/** Least that can be given of a pigment, g. */
export function leastDose(id: string, { smallest, doses, scaleStep = 0 }: Hand): number {
  return doses?.[id] ?? Math.max(smallest, scaleStep);
}

/**
 * Grams > 0 of a pigment as this hand gives them: whole drops or touches where it is counted in them,
 * else whole steps of the scale; at least one. Where nothing is said of steps, to a tenth of the
 * smallest dose and rather less than more.
 */
export function inHand(id: string, grams: number, hand: Hand): number {
  const { smallest, doses, scaleStep } = hand;
  const dose = doses?.[id];
  if (dose !== undefined && grams / dose <= MOST_COUNTED) return whole(grams / dose, dose);
  if (scaleStep !== undefined) return whole(Math.max(grams, smallest) / scaleStep, scaleStep);
  const step = smallest / 10;
  return tidied(Math.max(10, Math.floor(grams / step + 1e-6)) * step);
}

/** The largest step that a dose is rounded to by more than a tenth of the smallest, g; 0: none. */
export function coarsestStep({ doses = {}, scaleStep = 0 }: Hand): number {
  return Math.max(scaleStep, ...Object.values(doses));
}

const whole = (count: number, dose: number) => tidied(Math.max(1, Math.round(count)) * dose);
/** Without the noise of binary fractions. */
export const tidied = (grams: number) => Number(grams.toPrecision(12));
