/** Attempts that do not go together: said, with the pigment's name, and reckoned with all the same. */
import type { Surprise } from './belief.ts';
import type { PalettePigment } from './types.ts';
import { writtenAs, type Writing } from './writing.ts';

/** Standard normal deviate from which the readings of a pot are called contradictory. */
const ASTONISHING = 4;
/** Below this many of its standard deviations no dose is to blame. */
const DOSE_TO_BLAME = 1;

export function contradictionsOf(
  palette: readonly PalettePigment[],
  { chiSquare, freedom, doses }: Surprise,
  writing?: Writing,
): string[] {
  if (deviate(chiSquare, freedom) < ASTONISHING || doses.length === 0) return [];
  const worst = doses.reduce((a, b) => (Math.abs(b.z) > Math.abs(a.z) ? b : a));
  if (Math.abs(worst.z) < DOSE_TO_BLAME) {
    return [
      'what is in the pot and what was read do not go together, and no wrong dose explains it. Check that all that went in is recorded, or read the dab again',
    ];
  }
  const { id } = palette[worst.pigment]!;
  const { grams } = writtenAs(writing);
  return [
    `“${id}”: what was added and what was read do not go together; the dab moved as if ${grams(worst.believed, 2)} had gone in where ${grams(worst.grams, 2)} is recorded (attempt ${worst.from + 1}). Check that dose, or read the dab again`,
  ];
}

/** χ² as a standard normal deviate: E. B. Wilson, M. M. Hilferty 1931, Proc. Natl. Acad. Sci. 17, 684. */
function deviate(chiSquare: number, freedom: number): number {
  const spread = 2 / (9 * freedom);
  return (Math.cbrt(chiSquare / freedom) - (1 - spread)) / Math.sqrt(spread);
}
