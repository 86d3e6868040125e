/** A jar on the shelf: what was left of a mix, and until when it can be expected to be good. */
import * as v from 'valibot';
import { MOST_MEDIUM_PERCENT } from '../paint/spray/batch.ts';
import { THINNERS } from '../paint/spray/thinning.ts';
import { idOf, kindAndDates } from './commission.ts';
import {
  grams,
  instant,
  line,
  measuredLab,
  potGrams,
  text,
  titled,
  type Frozen,
} from './fields.ts';

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
  /** What is in the jar, g, all counted. */
  grams: titled('paint in the jar, g', grams),
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

/** Days left; negative once it is over. */
export function daysLeft({ goodUntil }: Pick<Jar, 'goodUntil'>, now: Date): number {
  return Math.floor((Date.parse(goodUntil) - now.getTime()) / 86_400_000);
}
