/** The doses that made a pot: what went in between one reading and the next, and what was set aside. */

/** A pot and its reading; `grams` in the order of the palette. */
export interface PotOf {
  readonly grams: Float64Array;
  /** Share of the pot before that was kept, 0–1; 1 when nothing was set aside. */
  readonly kept?: number;
}

/** One dose: which pigment, how much, from which attempt on, and how well it is known. */
export interface Dose {
  readonly pigment: number;
  readonly grams: number;
  readonly from: number;
  /** Standard deviation of its logarithm. */
  readonly sigma: number;
}

/** Standard deviations of the logarithm of a dose, and of an amount of the pot as first recorded. */
export interface DoseErrors {
  readonly dose: number;
  readonly firstDose: number;
}

/** A mass up to this, g, is none: a nanogram is less than any pigment grain that shows. */
export const NOTHING = 1e-9;

/** The first pot as it stands, then every increase, oldest first. */
export function dosesOf(pots: readonly PotOf[], errors: DoseErrors): Dose[] {
  const doses: Dose[] = [];
  pots.forEach(({ grams, kept = 1 }, from) => {
    const before = pots[from - 1]?.grams;
    grams.forEach((value, pigment) => {
      const added = value - kept * (before?.[pigment] ?? 0);
      if (added <= NOTHING + (kept < 1 ? ROUNDING * value : 0)) return;
      doses.push({ pigment, grams: added, from, sigma: before ? errors.dose : errors.firstDose });
    });
  });
  return doses;
}

/** Share of what went in by attempt `from` that is still there at attempt `at`, in a table by attempt. */
export function keptSince(pots: readonly PotOf[]): (from: number, at: number) => number {
  const product: number[] = [];
  for (const { kept = 1 } of pots) product.push(kept * (product.at(-1) ?? 1));
  return (from, at) => product[at]! / product[from]!;
}

/** How far the masses of a pot of which a part was set aside may be off one ratio. */
const ROUNDING = 0.02;

/**
 * Share of the pot that was kept between two records of it, by pigment in one order, g: 1 when
 * nothing falls by more than `tolerance`, less when all that was not added to falls in one ratio,
 * undefined when the masses contradict each other.
 */
export function shareKept(
  before: ArrayLike<number>,
  now: ArrayLike<number>,
  tolerance: number,
): number | undefined {
  const indices = Array.from(before, (_, p) => p).filter((p) => before[p]! > 0);
  if (indices.every((p) => now[p]! >= before[p]! - tolerance)) return 1;
  const kept = Math.min(...indices.map((p) => now[p]! / before[p]!));
  if (!(kept > 0)) return undefined;
  const inRatio = indices.filter(
    (p) => now[p]! - kept * before[p]! <= Math.max(tolerance, ROUNDING * now[p]!),
  );
  return inRatio.length >= Math.min(2, indices.length) ? kept : undefined;
}
