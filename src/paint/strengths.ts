/** What is believed of the pigments' strengths before a pot is read. */
import { ASSUMED } from './assumed.ts';
import type { PalettePigment, Strength } from './types.ts';

/** The strengths of the others are against the white's: only ratios show, so it stands still. */
const WHITE_SD = 0.02;

/** Strength of each pigment before the pot is read, in the order of the palette. */
export function strengthsOf(
  palette: readonly PalettePigment[],
  learned: Readonly<Record<string, Strength>> = {},
): Strength[] {
  return palette.map(
    ({ id, isWhite, strength = 1 }) =>
      learned[id] ?? {
        logMean: Math.log(strength),
        logSd: isWhite ? WHITE_SD : ASSUMED.strength,
      },
  );
}
