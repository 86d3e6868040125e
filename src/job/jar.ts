/** A jar on the shelf: what was left of a mix, and until when it can be expected to be good. */
import * as v from 'valibot';
import { MOST_MEDIUM_PERCENT } from '../paint/spray/batch.ts';
import { THINNERS } from '../paint/spray/thinning.ts';
import { idOf, kindAndDates } from './commission.ts';
import {
  grams,
  instant,
  line,
  listOf,
  measuredLab,
  potGrams,
  text,
  titled,
  type Frozen,
} from './fields.ts';

const use = v.strictObject({
  at: titled('time it was taken', instant),
  grams: titled('paint taken, g', grams),
  /** The area it went to, or what else became of it. */
  what: titled('what it was taken for', text(120)),
});

export const jar = v.strictObject({
  ...kindAndDates('jar'),
  label: titled('label of the jar', line(80)),
  /** The mix it is of, and the palette that names its pigments. */
  attempt: v.exactOptional(titled('mix in the jar', idOf('attempt'))),
  palette: titled('palette of the jar', idOf('palette')),
  /** The recipe, g by pigment id; its ratios count. */
  pot: titled('recipe of the jar', potGrams),
  /** Its dab as it was read, CIELAB D65/2°. */
  lab: titled('colour of the jar', measuredLab),
  /** What was put into the jar, g, all counted. */
  grams: titled('paint put into the jar, g', grams),
  /** What was taken out since, oldest first; absent: nothing. */
  uses: v.exactOptional(titled('what was taken from the jar', listOf(use, 0, 200))),
  mediumPercent: titled(
    'clear medium, %',
    v.pipe(v.number(), v.minValue(0), v.maxValue(MOST_MEDIUM_PERCENT)),
  ),
  thinned: titled('whether it is thinned', v.boolean()),
  thinner: titled('thinner', v.picklist(THINNERS)),
  /** It skins over or spoils about then; an expectation, not a date of death. */
  goodUntil: titled('expected to keep until', instant),
  /** Used up or thrown away. */
  emptiedAt: v.exactOptional(titled('date emptied', instant)),
  note: titled('note', text(500)),
});
export type Jar = Frozen<v.InferOutput<typeof jar>>;

/** What is left in it, g. */
export function leftIn({ grams: put, uses = [] }: Pick<Jar, 'grams' | 'uses'>): number {
  const left = uses.reduce((sum, one) => sum - one.grams, put);
  // Grams are typed with two or three places; sums of them must not leave a speck.
  return Math.max(0, Number(left.toFixed(4)));
}

/** What is wrong with taking so much, in the person's words; undefined: nothing. */
export function takeFault(from: Pick<Jar, 'grams' | 'uses'>, taken: number): string | undefined {
  if (!(taken > 0)) return 'must be more than 0 g';
  const left = leftIn(from);
  return taken > left ? `is more than the ${String(left)} g that are left` : undefined;
}

/** The jar with some taken out. @throws RangeError for what `takeFault` names */
export function withUse(from: Jar, taken: NonNullable<Jar['uses']>[number]): Jar {
  const fault = takeFault(from, taken.grams);
  if (fault !== undefined) throw new RangeError(fault);
  return { ...from, uses: [...(from.uses ?? []), taken] };
}

/** The jar as if that had not been taken. */
export function withoutUse(from: Jar, { at }: { readonly at: string }): Jar {
  const { uses = [], ...rest } = from;
  const kept = uses.filter((one) => one.at !== at);
  return kept.length > 0 ? { ...rest, uses: kept } : rest;
}

/** Days left; negative once it is over. */
export function daysLeft({ goodUntil }: Pick<Jar, 'goodUntil'>, now: Date): number {
  return Math.floor((Date.parse(goodUntil) - now.getTime()) / 86_400_000);
}
