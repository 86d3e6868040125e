/**
 * Strong pigments stirred into white beforehand, so that a hand can dose them: to the search each is
 * one more paint, whose K and S are those of the dilution (D. R. Duncan 1940: sums by mass).
 */
import type { Believed } from './film.ts';
import { inHand, leastDose, tidied, type Hand } from './hand.ts';
import type { PalettePigment, PreDilution } from './types.ts';

/** Parts of white to one of pigment: within the trade's 10 to 50 (common practice, no source). */
export const PARTS = 20;

/** The palette's paints, and after them a dilution of each that is not white; none without a white. */
export interface WithDilutions {
  readonly pigments: readonly Believed[];
  /** Place in the palette of what each dilution is of; `pigments[palette.length + i]`. */
  readonly of: readonly number[];
  readonly white: number;
}

export function withDilutions(
  palette: readonly PalettePigment[],
  pigments: readonly Believed[],
): WithDilutions {
  const white = palette.findIndex(({ isWhite }) => isWhite);
  if (white < 0) return { pigments, of: [], white };
  const of = [...palette.keys()].filter((p) => !palette[p]!.isWhite);
  const { K, S, strength } = pigments[white]!;
  const diluted = of.map((p): Believed => {
    const own = pigments[p]!;
    const mixed = (key: 'K' | 'S', whites: Float64Array) =>
      own[key].map(
        (value, band) => (own.strength * value + PARTS * strength * whites[band]!) / (PARTS + 1),
      );
    return { K: mixed('K', K), S: mixed('S', S), strength: 1 };
  });
  return { pigments: [...pigments, ...diluted], of, white };
}

/** What is put into the pot, in doses, and what of it is stirred together first. */
export interface Dosed {
  /** Grams in the order of the palette. */
  readonly grams: Float64Array;
  readonly preDiluted: readonly PreDilution[];
}

/** Grams of paints and dilutions, as the search found them, in what this hand can give. */
export function dosedWith(
  { of, white }: Pick<WithDilutions, 'of' | 'white'>,
  palette: readonly PalettePigment[],
  wanted: Float64Array,
  hand: Hand,
): Dosed {
  const grams = new Float64Array(palette.length);
  const preDiluted: PreDilution[] = [];
  for (const [p, { id }] of palette.entries()) {
    if (wanted[p]! > 0) grams[p] = inHand(id, wanted[p]!, hand);
  }
  of.forEach((p, i) => {
    const grown = wanted[palette.length + i] ?? 0;
    if (!(grown > 0)) return;
    const { id } = palette[p]!;
    const given = inHand(palette[white]!.id, grown, hand);
    const pigment = given / (PARTS + 1);
    // What a hand can dose needs no dilution.
    if (pigment >= leastDose(id, hand)) {
      grams[p]! += inHand(id, pigment, hand);
      grams[white] = tidied(grams[white]! + inHand(palette[white]!.id, PARTS * pigment, hand));
      return;
    }
    // To a millionth of a gram: nobody weighs what is in a dilution.
    grams[p] = Number((grams[p]! + pigment).toFixed(6));
    grams[white] = Number((grams[white]! + PARTS * pigment).toFixed(6));
    preDiluted.push({ pigment: id, parts: PARTS, grams: given });
  });
  return { grams, preDiluted };
}

/** Parts of white to one of pigment, 10 to 50, that make the dose ten smallest doses. */
export function preDilution(grams: number, smallest: number): number {
  const wanted = (10 * smallest) / grams - 1;
  return Math.min(50, Math.max(10, 5 * Math.ceil(wanted / 5)));
}
