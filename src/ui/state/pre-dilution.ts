/** Less of a strong paint than the hand can dose: stirred into white first, and more of that added. */
import { preDilution } from '../../paint/notes.ts';
import type { PotGrams } from '../../paint/types.ts';

export interface Diluted {
  readonly pigment: string;
  /** Parts of white to one of pigment. */
  readonly parts: number;
  /** Grams of the dilution to add. */
  readonly grams: number;
  /** What that puts into the pot, g by pigment. */
  readonly additions: PotGrams;
}

/** The search for what a finer hand would add goes down to this share of what this hand can dose. */
export const FINER = 1 / 40;

/**
 * The one addition that is too small for the hand, as a dilution in white; undefined when none is, or
 * more than one is, or even the dilution cannot be dosed.
 * @param smallest what the hand can dose, g
 */
export function diluted(additions: PotGrams, white: string, smallest: number): Diluted | undefined {
  const small = Object.entries(additions).filter(
    ([id, grams]) => id !== white && grams > 0 && grams < smallest,
  );
  const [only, ...more] = small;
  if (!only || more.length > 0) return undefined;
  const [pigment, grams] = only;
  const parts = preDilution(grams, smallest);
  const whole = grams * (parts + 1);
  if (whole < smallest) return undefined;
  // To the smallest dose: the hand gives no finer.
  const given = Math.max(1, Math.round(whole / smallest)) * smallest;
  return {
    pigment,
    parts,
    grams: Number(given.toPrecision(6)),
    additions: {
      ...additions,
      [pigment]: Number((given / (parts + 1)).toPrecision(6)),
      [white]: Number(((additions[white] ?? 0) + (given * parts) / (parts + 1)).toPrecision(6)),
    },
  };
}
