/** Palette and attempt: the paints on the bench, and a mix of them by mass. */
import * as v from 'valibot';
import { FINISHES } from '../paint/drying.ts';
import { idOf, kindAndDates } from './commission.ts';
import { dried } from './drying.ts';
import {
  grams,
  instant,
  line,
  listOf,
  measuredLab,
  number,
  pigmentId,
  potGrams,
  recordOf,
  text,
  titled,
  type Frozen,
} from './fields.ts';

/** A unit a hand can dose, with its mass as weighed: a drop, a touch of the mixing stick. */
export const doseUnit = v.strictObject({
  name: titled('name of the dose', v.picklist(['drop', 'touch'])),
  grams: titled('mass of the dose, g', number(0.0001, 100)),
  /** Standard deviation of one as a share of its mass; absent when it was weighed only once. */
  spread: v.exactOptional(titled('spread of the dose', number(0, 10))),
});

const tint = v.strictObject({
  lab: titled('colour of the tint', measuredLab),
  pigment: titled('parts of pigment', number(0.0001, 10_000)),
  white: titled('parts of white', number(0.0001, 10_000)),
});

/**
 * One paint; colours are CIELAB D65/2° of opaque films. Without a masstone it has not been
 * characterised, and invented spectra stand in for it (`solverPalette`).
 */
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
  masstone: v.exactOptional(titled('masstone', measuredLab)),
  tint: v.exactOptional(titled('tint', tint)),
  moreTints: v.exactOptional(titled('further tints', listOf(tint, 0, 8))),
  /** The masstone's coat laid over black: whether it hides. */
  overBlack: v.exactOptional(titled('masstone over black', measuredLab)),
  /** How its colours came here; absent: not known. */
  origin: v.exactOptional(titled('how its colours came', v.picklist(['read', 'typed']))),
  /** Put away: mixes still name it, nothing suggests it. */
  putAway: v.exactOptional(titled('whether it is put away', v.boolean())),
  /** Strength relative to its characterisation, before what the pots taught; absent: 1. */
  strength: v.exactOptional(titled('strength', number(0.01, 100))),
  /** Doses of this paint where they differ from the palette's: a drop of white weighs more. */
  doseUnits: v.exactOptional(titled('doses of the pigment', listOf(doseUnit, 0, 10))),
  notes: v.exactOptional(titled('notes on the pigment', text(1000))),
});

/** What one pot taught, as factors on the strengths it began with. */
const learnedStrengths = v.strictObject({
  /** The mix the pot began with. */
  pot: titled('pot that taught them', idOf('attempt')),
  at: titled('date learned', instant),
  factors: titled('factors', recordOf(pigmentId, number(0.01, 100))),
  /** How much surer each strength became: standard deviation after, as a share of that before. */
  surer: v.exactOptional(titled('gain in certainty', recordOf(pigmentId, number(0.01, 1)))),
});

export const palette = v.pipe(
  v.strictObject({
    ...kindAndDates('palette'),
    name: titled('name of the palette', line(80)),
    pigments: titled('pigments', listOf(pigment, 0, 64)),
    doseUnits: titled('doses', listOf(doseUnit, 0, 10)),
    /** How the hand doses; absent: by the scale. */
    dosing: v.exactOptional(titled('way of dosing', v.picklist(['scale', 'drop', 'touch']))),
    /** What the scale shows, g; absent: not said. */
    scaleStep: v.exactOptional(titled('step of the scale, g', v.picklist([0.1, 0.01, 0.001]))),
    /** What each pot taught of the strengths: a factor a pigment. Undone by leaving it out. */
    learned: v.exactOptional(titled('learned strengths', listOf(learnedStrengths, 0, 500))),
    /** How its paint dries; absent: not said. */
    finish: v.exactOptional(titled('finish', v.picklist(FINISHES))),
    /** What dabs read wet and dry taught of the shift between. */
    dried: v.exactOptional(titled('learned drying', listOf(dried, 0, 500))),
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
export type DoseUnit = Frozen<v.InferOutput<typeof doseUnit>>;
