/** Palette and attempt: the paints on the bench, and a mix of them by mass. */
import * as v from 'valibot';
import type { PalettePigment } from '../paint/types.ts';
import { idOf, kindAndDates } from './commission.ts';
import {
  grams,
  line,
  listOf,
  measuredLab,
  number,
  pigmentId,
  potGrams,
  text,
  titled,
  type Frozen,
} from './fields.ts';

/** A unit a hand can dose, with its measured mass. */
export const doseUnit = v.strictObject({
  /** "drop", "stick touch". */
  name: titled('name of the dose', line(40)),
  grams: titled('mass of the dose, g', number(0.0001, 100)),
});

/** One paint; colours are CIELAB D65/2° of opaque films. The shape the paint worker takes, and more. */
export const pigment = v.strictObject({
  id: titled('id of the pigment', pigmentId),
  /** As the restorer calls it; never a maker's name. */
  name: titled('name of the pigment', line(80)),
  colourIndex: v.exactOptional(
    titled(
      'Colour Index generic name',
      v.pipe(
        v.string(),
        v.regex(
          /^[NP](?:B|Bk|Br|G|M|O|R|V|W|Y) ?\d{1,3}(?::\d{1,2})?$/,
          'must be a Colour Index generic name such as PB 35 or PR 101',
        ),
      ),
    ),
  ),
  isWhite: v.exactOptional(titled('whether it is the white', v.boolean())),
  masstone: titled('masstone', measuredLab),
  tint: v.exactOptional(
    titled(
      'tint',
      v.strictObject({
        lab: titled('colour of the tint', measuredLab),
        pigment: titled('parts of pigment', number(0.0001, 10_000)),
        white: titled('parts of white', number(0.0001, 10_000)),
      }),
    ),
  ),
  /** Learned strength relative to its characterisation; 1: nothing learned. */
  strength: v.exactOptional(titled('strength', number(0.01, 100))),
  /** Doses of this paint where they differ from the palette's: a drop of white weighs more. */
  doseUnits: v.exactOptional(titled('doses of the pigment', listOf(doseUnit, 0, 10))),
  notes: v.exactOptional(titled('notes on the pigment', text(1000))),
});

export const palette = v.pipe(
  v.strictObject({
    ...kindAndDates('palette'),
    name: titled('name of the palette', line(80)),
    pigments: titled('pigments', listOf(pigment, 0, 64)),
    doseUnits: titled('doses', listOf(doseUnit, 0, 10)),
    /** Smallest dose a hand can make, g. */
    smallest: titled('smallest dose, g', number(0.0001, 100)),
    notes: titled('notes', text()),
  }),
  v.check(
    ({ pigments }) => new Set(pigments.map((p) => p.id)).size === pigments.length,
    'two pigments have the same id',
  ),
);

/** A mix by mass. The readings of its dab name it; wet or dry is said by each of them. */
export const attempt = v.strictObject({
  ...kindAndDates('attempt'),
  palette: titled('palette of the attempt', idOf('palette')),
  /** What the pot holds, g by pigment id, after the addition. */
  pot: titled('pot', potGrams),
  /** What was added since the attempt before, g by pigment id; empty for the first. */
  addition: titled('addition', potGrams),
  /** Clear medium and thinner in the pot, g. */
  medium: v.exactOptional(titled('medium, g', grams)),
  thinner: v.exactOptional(titled('thinner, g', grams)),
  note: titled('note', text(2000)),
});

export type Pigment = Frozen<v.InferOutput<typeof pigment>>;
// A stored pigment is what the paint worker takes, without translation.
export const asPalettePigment = (p: Pigment): PalettePigment => p;
