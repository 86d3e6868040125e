/** Which paints of the palette may be added: of two that are one paint only one, none that is put away. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';
import type { Believed } from './film.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import { hazardOf } from './hazards.ts';
import { SURFACE } from './kubelka-munk.ts';
import type { PalettePigment } from './types.ts';

type Spectra = Pick<Believed, 'K' | 'S'>;

/** Two paints nearer than this as masstone and as tint, ΔE₀₀, are two tubes of one. */
const ONE_PAINT = 1;
/** Parts of a white that only scatters in the tint. */
const PARTS = 9;
/** What a recipe without a hazardous pigment may be further off to be preferred, ΔE₀₀. */
export const HAZARD_WORTH = 0.3;

/**
 * Places in the palette that may be added to a pot. Of two tubes of one paint it is the one that is in
 * the pot, else the first.
 * @param inPot grams or any other measure of what the pot holds; absent: nothing
 */
export function choiceOf(
  palette: readonly PalettePigment[],
  pigments: readonly Spectra[],
  inPot?: Float64Array,
): number[] {
  return onlyOneOfEach(
    [...palette.keys()].filter((p) => !palette[p]!.putAway),
    pigments,
    inPot,
  );
}

/**
 * The same without pigments that ask for care, but for those that the pot holds already: whatever is
 * added, they are in it.
 */
export function harmlessChoiceOf(
  palette: readonly PalettePigment[],
  pigments: readonly Spectra[],
  inPot?: Float64Array,
): number[] {
  const harmless = [...palette.keys()].filter((p) => {
    const { putAway } = palette[p]!;
    return !putAway && ((inPot?.[p] ?? 0) > 0 || !isHazardous(palette[p]!));
  });
  return onlyOneOfEach(harmless, pigments, inPot);
}

export const isHazardous = ({ colourIndex }: PalettePigment) => hazardOf(colourIndex) !== undefined;

function onlyOneOfEach(
  among: readonly number[],
  pigments: readonly Spectra[],
  inPot?: Float64Array,
): number[] {
  const looks = new Map(among.map((p) => [p, looksOf(pigments[p]!)]));
  const isIn = (p: number) => (inPot?.[p] ?? 0) > 0;
  return among.filter((p) => {
    if (isIn(p)) return true;
    return !among.some((q) => {
      if (q === p || !(isIn(q) || q < p)) return false;
      return looks.get(p)!.every((lab, i) => deltaE00(lab, looks.get(q)![i]!) < ONE_PAINT);
    });
  });
}

/** Masstone and tint of a paint as characterised, whatever its strength: both say which it is. */
function looksOf({ K, S }: Spectra): readonly LabD65[] {
  return [0, PARTS].map((white) =>
    labOfOpaqueFilm(
      K.map((value, band) => value / (S[band]! + white)),
      SURFACE,
    ),
  );
}
