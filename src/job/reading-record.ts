/** A reading as it is kept: the numbers, how they were made, and what they were made from. */
import * as v from 'valibot';
import type { Reading, Regions } from '../reading/types.ts';
import { kindAndDates, SCHEMA_VERSION } from './commission.ts';
import {
  count,
  deltaE00,
  line,
  listOf,
  measuredLab,
  number,
  pixelCircle,
  pixelPolygon,
  text,
  titled,
  type Frozen,
} from './fields.ts';
import { MASK_TYPE, writeGraymap, type Attachment } from './picture-forms.ts';
import type { Id } from './ids.ts';
import { crop, shotFields, shotOf, type ShotContext } from './shot.ts';

const verdict = v.picklist(['blends', 'shows', 'unsure']);
export const verdicts = titled(
  'verdict',
  v.strictObject({
    acceptable: titled('acceptable', verdict),
    imperceptible: titled('imperceptible', verdict),
  }),
);
export const interval95 = titled(
  '95 % interval of ΔE₀₀',
  v.pipe(
    v.strictTuple([titled('lower end', deltaE00), titled('upper end', deltaE00)]),
    v.check(([lower, upper]) => lower <= upper, 'the lower end must not be above the upper end'),
  ),
);

const variance = number(-10_000, 10_000);
const row = v.strictTuple([variance, variance, variance]);
/** Symmetric but for rounding, and no negative variance. */
function isCovariance(m: readonly (readonly number[])[]): boolean {
  return m.every(
    (r, i) => r[i]! >= 0 && r.every((x, j) => Math.abs(x - m[j]![i]!) <= 1e-9 * (1 + Math.abs(x))),
  );
}

const difference = v.strictObject({
  lab: titled(
    'dab minus glaze',
    v.strictTuple([
      titled('ΔL*', number(-200, 200)),
      titled('Δa*', number(-400, 400)),
      titled('Δb*', number(-400, 400)),
    ]),
  ),
  deltaE00: titled('ΔE₀₀', deltaE00),
  interval95,
  covariance: titled(
    'covariance of the difference',
    v.pipe(
      v.strictTuple([row, row, row]),
      v.check((m) => isCovariance(m), 'must be symmetric, with no negative variance'),
    ),
  ),
});

export const reading = v.strictObject({
  ...kindAndDates('reading'),
  ...shotFields,
  /** Where the person pointed. */
  pointed: titled(
    'where the person pointed',
    v.strictObject({
      glaze: titled('glaze', pixelCircle),
      dab: titled('dab', pixelCircle),
      dabOn: titled('what the dab lies on', v.picklist(['piece', 'tile'])),
    }),
  ),
  glazeLab: titled('colour of the glaze', measuredLab),
  dabLab: titled('colour of the dab', measuredLab),
  difference: titled('difference', difference),
  verdict: verdicts,
  words: titled('difference in words', listOf(line(), 0, 20)),
  warnings: titled('warnings', listOf(line(500), 0, 50)),
  uncertainty: titled(
    'uncertainty',
    v.strictObject({
      shares: titled(
        'shares of the uncertainty',
        listOf(
          v.strictObject({
            // Which sources there are depends on the algorithm's version.
            source: titled('source of uncertainty', line(40)),
            share: titled('share of the variance', number(0, 1)),
          }),
          0,
          30,
        ),
      ),
      sentence: titled('what would help', text(500)),
    }),
  ),
  evidence: titled(
    'evidence',
    v.strictObject({
      dabOutline: titled('outline of the dab', pixelPolygon),
      ring: v.exactOptional(
        titled('ring of glaze', v.strictObject({ inner: pixelCircle, outer: pixelCircle })),
      ),
      crop,
      /** Where the mask of used pixels lies: cells of step × step pixels from (x, y). */
      mask: v.exactOptional(
        titled(
          'mask of used pixels',
          v.strictObject({
            x: count(0, 100_000),
            y: count(0, 100_000),
            width: titled('width in cells', count(1, 100_000)),
            height: titled('height in cells', count(1, 100_000)),
            step: titled('pixels a cell', count(1, 1000)),
          }),
        ),
      ),
    }),
  ),
  algorithm: titled('version of the algorithm', line(80)),
  note: titled('note', text(2000)),
});
export type ReadingRecord = Frozen<v.InferOutput<typeof reading>>;

/** What is known about a reading besides the reading itself. */
export interface ReadingContext extends ShotContext {
  readonly id: Id<'reading'>;
  readonly regions: Pick<Regions, 'glaze' | 'dab' | 'dabOn'>;
}

/** The mask of a reading, when there is one: a dab beside the piece has none. */
function maskIn({ evidence: { mask } }: Reading): Reading['evidence']['mask'] | undefined {
  return mask.width > 0 && mask.height > 0 ? mask : undefined;
}

/**
 * The part of the picture to keep, in whole pixels: what the mask covers, else dab and glaze as
 * pointed at.
 */
export function keptCrop(
  result: Reading,
  { glaze, dab }: ReadingContext['regions'],
  picture: { readonly width: number; readonly height: number },
): { readonly x: number; readonly y: number; readonly width: number; readonly height: number } {
  const mask = maskIn(result);
  const [left, top, right, bottom] = mask
    ? [mask.x, mask.y, mask.x + mask.width * mask.step, mask.y + mask.height * mask.step]
    : [
        Math.min(glaze.x - glaze.radius, dab.x - dab.radius),
        Math.min(glaze.y - glaze.radius, dab.y - dab.radius),
        Math.max(glaze.x + glaze.radius, dab.x + dab.radius),
        Math.max(glaze.y + glaze.radius, dab.y + dab.radius),
      ];
  const clamp = (value: number, most: number) => Math.min(Math.max(value, 0), most);
  const x = clamp(Math.floor(left), picture.width - 1);
  const y = clamp(Math.floor(top), picture.height - 1);
  return {
    x,
    y,
    width: clamp(Math.ceil(right), picture.width) - x || 1,
    height: clamp(Math.ceil(bottom), picture.height) - y || 1,
  };
}

/** The record of a reading. Crop, mask and thumbnail go beside it: `keptCrop`, `readingMask`. */
export function readingRecord(result: Reading, context: ReadingContext): ReadingRecord {
  const { ring, dabOutline } = result.evidence;
  const mask = maskIn(result);
  return {
    kind: 'reading',
    schema: SCHEMA_VERSION,
    id: context.id,
    ...shotOf(context),
    tile: { ...context.tile, ...result.tile },
    pointed: {
      glaze: context.regions.glaze,
      dab: context.regions.dab,
      dabOn: context.regions.dabOn,
    },
    glazeLab: result.glazeLab,
    dabLab: result.dabLab,
    difference: result.difference,
    verdict: result.verdict,
    words: result.words,
    warnings: result.warnings,
    uncertainty: result.uncertainty,
    evidence: {
      dabOutline,
      ...(ring && { ring }),
      crop: keptCrop(result, context.regions, context.picture),
      ...(mask && {
        mask: { x: mask.x, y: mask.y, width: mask.width, height: mask.height, step: mask.step },
      }),
    },
    algorithm: result.algorithm,
  };
}

/** The mask of used pixels of a reading as its attachment, when there is one. */
export function readingMask(result: Reading): { readonly mask?: Attachment } {
  const mask = maskIn(result);
  if (!mask) return {};
  const { width, height, used } = mask;
  return {
    mask: { contentType: MASK_TYPE, bytes: writeGraymap({ width, height, values: used }) },
  };
}
