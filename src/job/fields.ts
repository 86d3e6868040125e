/**
 * The fields every record is made of. A title says what a field is in the person's words: it is
 * what a complaint about that field names, and what the published schema shows.
 */
import * as v from 'valibot';
import type { LabD65 } from '../colour/spaces.ts';

type Brand = string | number | boolean | null | undefined | LabD65;
/** Records are values: nothing changes one in place. */
export type Frozen<T> = T extends Brand ? T : { readonly [K in keyof T]: Frozen<T[K]> };

export function titled<S extends v.GenericSchema>(title: string, schema: S): S {
  return v.pipe(schema, v.title(title)) as unknown as S;
}

/** A finite number in a closed range. */
export function number(min: number, max: number) {
  return v.pipe(v.number(), v.finite(), v.minValue(min), v.maxValue(max));
}
export function count(min: number, max: number) {
  return v.pipe(v.number(), v.integer(), v.minValue(min), v.maxValue(max));
}
/** One line that must not be empty. */
export function line(maxLength = 200) {
  return v.pipe(v.string(), v.regex(/\S/, 'must not be empty'), v.maxLength(maxLength));
}
/** Free text, may be empty. */
export function text(maxLength = 20_000) {
  return v.pipe(v.string(), v.maxLength(maxLength));
}
export function listOf<S extends v.GenericSchema>(item: S, min: number, max: number) {
  return v.pipe(v.array(item), v.minLength(min), v.maxLength(max));
}

/** The library's record takes a list for one, and drops fields of these names without a word. */
function isPlain(input: unknown): boolean {
  return (
    typeof input === 'object' &&
    input !== null &&
    !Array.isArray(input) &&
    !['__proto__', 'constructor', 'prototype'].some((name) => Object.hasOwn(input, name))
  );
}
/** A group of fields whose names are data: grams by pigment, settings by name. */
export function recordOf<K extends v.GenericSchema<string, string>, S extends v.GenericSchema>(
  key: K,
  value: S,
) {
  return v.pipe(
    v.custom<Record<string, unknown>>(isPlain, 'must be a plain group of fields'),
    v.record(key, value),
  );
}

function isInstant(value: string): boolean {
  const time = Date.parse(value);
  return Number.isFinite(time) && new Date(time).toISOString() === value;
}
/** A moment in UTC as ISO 8601 with milliseconds: 2026-01-31T10:15:00.000Z. */
export const instant = v.pipe(
  v.string(),
  v.isoTimestamp(),
  v.check(isInstant, 'must be a date and time such as 2026-01-31T10:15:00.000Z'),
);

/** Named, so that the types of the records stay short. */
export interface LabSchema extends v.GenericSchema<LabD65> {
  readonly kind: 'schema';
}

function labWithin(lowest: number, highest: number, chroma: number): LabSchema {
  return v.strictTuple([
    titled('L*', number(lowest, highest)),
    titled('a*', number(-chroma, chroma)),
    titled('b*', number(-chroma, chroma)),
  ]) as unknown as LabSchema;
}
/** CIELAB D65/2° of a known surface. */
export const lab = labWithin(0, 100, 150);
/** CIELAB D65/2° as measured: noise and a glaze brighter than the tile may leave 0–100. */
export const measuredLab = labWithin(-10, 150, 200);

/** ΔE₀₀, CIEDE2000. */
export const deltaE00 = number(0, 200);

/** Pixels of a picture; positions may lie a little outside it. */
const pixel = number(-100_000, 100_000);
export const pixelPoint = v.strictObject({ x: pixel, y: pixel });
export const pixelCircle = v.strictObject({ x: pixel, y: pixel, radius: number(0, 100_000) });
export const pixelPolygon = listOf(pixelPoint, 0, 10_000);

/** Grams; the pot holds at most ten kilograms. */
export const grams = number(0, 10_000);
/** A pigment's id in its palette: a name that a pot can hold its grams under. */
export const pigmentId = v.pipe(
  v.string(),
  v.regex(/^[A-Za-z0-9][A-Za-z0-9-]{0,59}$/, 'may hold letters, digits and hyphens only'),
  v.check((id) => isPlain({ [id]: 0 }), 'is a name that cannot be used'),
);
/** Grams by pigment id. */
export const potGrams = recordOf(pigmentId, grams);

export const thresholds = v.pipe(
  v.strictObject({
    acceptable: titled('acceptable up to ΔE₀₀', number(0.05, 20)),
    imperceptible: titled('imperceptible up to ΔE₀₀', number(0.05, 20)),
  }),
  v.check(
    (t) => t.imperceptible <= t.acceptable,
    'the imperceptible threshold must not be above the acceptable one',
  ),
);

/** A white tile by name, with its own colour under D65 and the standard uncertainty of it. */
const tileEntries = {
  name: titled('name of the tile', line(80)),
  lab: titled('colour of the tile', lab),
  standardUncertainty: titled(
    'standard uncertainty of the tile',
    v.strictTuple([
      titled('L*', number(0, 20)),
      titled('a*', number(0, 20)),
      titled('b*', number(0, 20)),
    ]),
  ),
};
export const tile = v.strictObject(tileEntries);
export const tileAsUsed = v.strictObject({
  ...tileEntries,
  polygon: titled('outline of the tile', pixelPolygon),
  level: titled('level of the tile', number(0, 1)),
  found: titled('whether the tile was found by itself', v.boolean()),
});
