/** How a hand doses: what a drop or a touch of each paint weighs, and grams rounded to them. */
import type { DoseUnit, Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import { MOST_COUNTED } from '../../paint/hand.ts';
import type { PotGrams } from '../../paint/types.ts';

export type DoseName = DoseUnit['name'];

type Dosed = Pick<Palette, 'doseUnits' | 'dosing' | 'scaleStep' | 'smallest'> & {
  readonly pigments: readonly Pick<Pigment, 'id' | 'doseUnits'>[];
};

/** The dose of one pigment: its own where it was weighed, else the palette's; undefined: not weighed. */
export function doseOf(palette: Dosed, id: string, name: DoseName): DoseUnit | undefined {
  const own = palette.pigments.find((pigment) => pigment.id === id)?.doseUnits ?? [];
  return [...own, ...palette.doseUnits].find((unit) => unit.name === name);
}

/**
 * Additions as this palette's hand can give them: whole drops, touches or steps of the scale, at least
 * one. What is not weighed in doses, or is too much to count, goes by the scale.
 */
export function inWholeDoses(additions: PotGrams, palette: Dosed): PotGrams {
  const { dosing, scaleStep } = palette;
  return Object.fromEntries(
    Object.entries(additions).map(([id, grams]) => {
      const unit =
        dosing === undefined || dosing === 'scale' ? undefined : doseOf(palette, id, dosing);
      const isCounted = unit !== undefined && grams / unit.grams <= MOST_COUNTED;
      const step = isCounted ? unit.grams : scaleStep;
      if (step === undefined) return [id, grams];
      return [id, Number((Math.max(1, Math.round(grams / step)) * step).toPrecision(6))];
    }),
  );
}

/** Grams of one dose of each pigment that this hand counts, by id; none when it goes by the scale. */
export function countedDoses(palette: Dosed): PotGrams {
  const { dosing } = palette;
  if (dosing === undefined || dosing === 'scale') return {};
  return Object.fromEntries(
    palette.pigments.flatMap(({ id }) => {
      const unit = doseOf(palette, id, dosing);
      return unit ? [[id, unit.grams] as const] : [];
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
