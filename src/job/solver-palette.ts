/**
 * A palette as the paint worker takes it: learned strengths put in, and invented spectra in place of
 * pigments that were never characterised.
 */
import type { LabD65 } from '../colour/spaces.ts';
import { genericPigment } from '../paint/generic-pigments.ts';
import type { PalettePigment, PotGrams, Tint } from '../paint/types.ts';
import type { Id } from './ids.ts';
import type { Pigment } from './mixing.ts';
import type { Palette } from './records.ts';
import { strengthOf } from './strengths.ts';

/** What a pigment's colours rest on: its own readings, or an invention by Colour Index name. */
export interface PigmentColours {
  readonly invented: boolean;
  readonly masstone: LabD65;
  readonly tint?: Tint;
  readonly moreTints?: readonly Tint[];
}

/** Undefined when the pigment was not characterised and nothing was invented for its name. */
export function coloursOf({ colourIndex, isWhite, ...own }: Pigment): PigmentColours | undefined {
  const { masstone, tint, moreTints } = own;
  if (masstone) {
    return {
      invented: false,
      masstone,
      ...(tint && !isWhite && { tint }),
      ...(moreTints && !isWhite && { moreTints }),
    };
  }
  const generic = genericPigment(isWhite ? 'PW 6' : (colourIndex ?? ''));
  if (!generic || (generic.isWhite ?? false) !== (isWhite ?? false)) return undefined;
  return {
    invented: true,
    masstone: generic.masstone,
    ...(generic.tint && { tint: generic.tint }),
  };
}

/**
 * The pigments that can be reckoned with. One that is put away counts only while it is in the pot.
 * @param before a pot whose own teaching is left out of the strengths
 */
export function solverPalette(
  palette: Palette,
  pot: PotGrams = {},
  before?: Id<'attempt'>,
): readonly PalettePigment[] {
  return palette.pigments.flatMap((pigment) => {
    const { id, colourIndex, isWhite, putAway } = pigment;
    const colours = coloursOf(pigment);
    if (!colours || (putAway && !((pot[id] ?? 0) > 0))) return [];
    const { masstone, tint, moreTints } = colours;
    return {
      id,
      ...(colourIndex !== undefined && { colourIndex }),
      ...(isWhite && { isWhite }),
      ...(putAway && { putAway }),
      masstone,
      ...(tint && { tint }),
      ...(moreTints && moreTints.length > 0 && { moreTints }),
      strength: strengthOf(palette, id, before),
    };
  });
}
