/** The paints most palettes hold, to begin one with. */
import { GENERIC_NAMES, genericPigment } from '../paint/generic-pigments.ts';
import type { Pigment } from './mixing.ts';

/** Paints by name alone: nothing of them is read yet. */
export function usualPigments(): readonly Pigment[] {
  return GENERIC_NAMES.map((colourIndex) => {
    const { id, isWhite } = genericPigment(colourIndex)!;
    return {
      id: id.replace(/ /g, '-'),
      name: id,
      colourIndex,
      ...(isWhite && { isWhite }),
    };
  });
}
