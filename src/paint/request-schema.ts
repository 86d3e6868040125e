/** The form of a request, what stands for what it leaves out, and a fault of its form in words. */
import * as v from 'valibot';
import { COLDEST_LAMP, HOTTEST_LAMP, LAMP_KINDS } from '../colour/lamp-light.ts';
import { labD65 } from '../colour/spaces.ts';

/** A hand's smallest dose and a pot's largest growth when the request does not say. */
export const DEFAULT_SMALLEST_GRAMS = 0.01;
export const DEFAULT_LARGEST_GROWTH = 0.8;
/** Grams of a first mix when the request does not say. */
export const DEFAULT_AMOUNT_GRAMS = 5;

const finite = v.pipe(v.number('is not a number'), v.finite('is not a finite number'));
const within = (low: number, high: number) =>
  v.pipe(
    finite,
    v.minValue(low, `lies outside ${low} to ${high}`),
    v.maxValue(high, `lies outside ${low} to ${high}`),
  );
const lab = v.pipe(
  v.tuple(
    [within(-1, 105), within(-160, 160), within(-160, 160)],
    'is not a colour [L, a, b] of three numbers',
  ),
  v.transform(([L, a, b]) => labD65(Math.max(0, L), a, b)),
);
const mass = v.pipe(
  finite,
  v.minValue(0, 'is a negative mass'),
  v.maxValue(1e6, 'is more than a tonne'),
);
const part = v.pipe(
  finite,
  v.gtValue(0, 'must be a mass greater than zero'),
  v.maxValue(1e6, 'is more than a tonne'),
);
/** A number that has no unit, greater than zero. */
const above = (fault: string) =>
  v.pipe(finite, v.gtValue(0, fault), v.maxValue(1e6, 'is too large'));
const pot = v.record(v.string(), mass, 'is not a list of grams by pigment');
const tint = v.object({ lab, pigment: part, white: part }, 'is not {lab, pigment, white}');
const pigment = v.object(
  {
    id: v.pipe(
      v.string('is missing or not a word'),
      v.nonEmpty('is empty'),
      // Every object answers to such words: “constructor”.
      v.check((word) => !(word in {}), 'cannot be the name of a pigment'),
    ),
    colourIndex: v.nullish(v.string('is not a word')),
    isWhite: v.nullish(v.boolean('is neither true nor false')),
    putAway: v.nullish(v.boolean('is neither true nor false')),
    masstone: lab,
    tint: v.nullish(tint),
    moreTints: v.nullish(v.array(tint, 'is not a list of tints')),
    strength: v.nullish(above('must be greater than zero; 1 is as characterised')),
  },
  'is not a pigment {id, masstone, …}',
);
const strength = v.object(
  {
    logMean: within(-3, 3),
    logSd: v.pipe(within(0, 3), v.gtValue(0, 'must be greater than zero')),
  },
  'is not a strength {logMean, logSd}',
);
const attempt = v.object({ pot, dabLab: lab, glazeLab: v.nullish(lab) }, 'is not {pot, dabLab}');
/** What a nudge and a first mix have in common. */
const common = {
  palette: v.pipe(
    v.array(pigment, 'is not a list of pigments'),
    v.minLength(1, 'holds no pigment'),
  ),
  pot,
  glazeLab: lab,
  history: v.nullish(v.array(attempt, 'is not a list of attempts'), []),
  smallest: v.nullish(part, DEFAULT_SMALLEST_GRAMS),
  doses: v.nullish(v.record(v.string(), part, 'is not a list of grams by pigment')),
  scaleStep: v.nullish(part),
  mayPreDilute: v.nullish(v.boolean('is neither true nor false')),
  lightSigma: v.nullish(within(0, 2)),
  writing: v.nullish(
    v.object(
      {
        locale: v.nullish(v.string('is not a word')),
        massUnit: v.nullish(v.picklist(['g', 'mg'], 'is neither g nor mg')),
      },
      'is not {locale, massUnit}',
    ),
  ),
  strengths: v.nullish(v.record(v.string(), strength, 'is not a list of strengths by pigment')),
};
/** The pair under another lamp. */
const otherLamp = v.object(
  {
    name: v.pipe(v.string('is missing or not a word'), v.nonEmpty('is empty')),
    kind: v.picklist(LAMP_KINDS, `is none of ${LAMP_KINDS.join(', ')}`),
    kelvin: v.nullish(within(COLDEST_LAMP, HOTTEST_LAMP)),
    glazeLab: lab,
    dabLab: lab,
  },
  'is not a lamp {name, kind, glazeLab, dabLab}',
);
export const nudgeSchema = v.object(
  {
    ...common,
    dabLab: lab,
    largestGrowth: v.nullish(
      above('must be greater than zero; 0.8 lets 5 g become 9 g'),
      DEFAULT_LARGEST_GROWTH,
    ),
    lamps: v.nullish(
      v.pipe(
        v.array(otherLamp, 'is not a list of lamps'),
        v.maxLength(4, 'holds more than four lamps'),
      ),
    ),
  },
  'is not a request {palette, pot, glazeLab, dabLab, …}',
);
export const firstMixSchema = v.object(
  { ...common, amount: v.nullish(part, DEFAULT_AMOUNT_GRAMS) },
  'is not a request {palette, pot, glazeLab, amount, …}',
);

/** "palette “blue”, tint.lab[1]: is not a number". */
export function describe(issue: v.BaseIssue<unknown>, given: unknown): string {
  const keys = (issue.path ?? []).map(({ key }) => key as string | number);
  let where = keys
    .map((key, index) => (typeof key === 'number' ? `[${key}]` : `${index ? '.' : ''}${key}`))
    .join('');
  const id = keys[0] === 'palette' && typeof keys[1] === 'number' && idAt(given, keys[1]);
  if (id) where += ` of “${id}”`;
  const missing = issue.received === 'undefined' ? 'is missing' : issue.message;
  const received =
    issue.kind === 'validation' || typeof issue.input !== 'object' ? `: ${issue.received}` : '';
  return where === ''
    ? `the request ${issue.message}`
    : `${where} ${missing}${missing === 'is missing' ? '' : received}`;
}

function idAt(given: unknown, index: number): string | undefined {
  const palette = (given as { palette?: unknown }).palette;
  const entry: unknown = Array.isArray(palette) ? palette[index] : undefined;
  const id = typeof entry === 'object' && entry !== null && 'id' in entry ? entry.id : undefined;
  return typeof id === 'string' ? id : undefined;
}
