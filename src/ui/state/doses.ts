/** How a hand doses: what a drop or a touch of each paint weighs, and grams rounded to them. */
import type { DoseUnit, Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import type { PotGrams } from '../../paint/types.ts';

export type DoseName = DoseUnit['name'];

type Dosed = Pick<Palette, 'doseUnits' | 'dosing' | 'smallest'> & {
  readonly pigments: readonly Pick<Pigment, 'id' | 'doseUnits'>[];
};

/** The dose of one pigment: its own where it was weighed, else the palette's; undefined: not weighed. */
export function doseOf(palette: Dosed, id: string, name: DoseName): DoseUnit | undefined {
  const own = palette.pigments.find((pigment) => pigment.id === id)?.doseUnits ?? [];
  return [...own, ...palette.doseUnits].find((unit) => unit.name === name);
}

/** More than this many of one dose nobody counts: the scale takes it. */
const MOST_COUNTED = 40;

/**
 * Additions as this palette's hand can give them: whole drops or touches, at least one. What is not
 * weighed in doses, or is too much to count, stays in grams.
 */
export function inWholeDoses(additions: PotGrams, palette: Dosed): PotGrams {
  const { dosing } = palette;
  if (dosing === undefined || dosing === 'scale') return additions;
  return Object.fromEntries(
    Object.entries(additions).map(([id, grams]) => {
      const unit = doseOf(palette, id, dosing);
      if (!unit) return [id, grams];
      const count = Math.max(1, Math.round(grams / unit.grams));
      if (count > MOST_COUNTED) return [id, grams];
      return [id, Number((count * unit.grams).toPrecision(6))];
    }),
  );
}

/** The smallest addition that is worth proposing, g: one dose of the lightest paint, or the scale's. */
export function smallestOf(palette: Dosed): number {
  const { dosing } = palette;
  if (dosing === undefined || dosing === 'scale') return palette.smallest;
  const grams = palette.pigments.flatMap(({ id }) => doseOf(palette, id, dosing)?.grams ?? []);
  // Half a dose is rounded up to one, so half of one may be proposed.
  return grams.length > 0 ? Math.min(...grams) / 2 : palette.smallest;
}
