/** The spray plan of an area: what was reckoned, how it was thinned and sprayed, step by step. */
import * as v from 'valibot';
import { BATCH_RANGES, type BatchField } from '../paint/spray/batch.ts';
import { BRUSH_RANGES, DRY_MINUTES } from '../paint/spray/guide.ts';
import { STEP_KINDS } from '../paint/spray/steps.ts';
import { THINNERS } from '../paint/spray/thinning.ts';
import { idOf, kindAndDates } from './commission.ts';
import {
  count,
  deltaE00,
  grams,
  instant,
  line,
  listOf,
  number,
  potGrams,
  text,
  titled,
  type Frozen,
} from './fields.ts';
import type { MapRecord } from './map-record.ts';

/** What the sums take, the record takes. */
function asReckoned(field: BatchField) {
  const [low, high] = BATCH_RANGES[field];
  return number(low, high);
}
const aCount = count(BATCH_RANGES.coats[0], BATCH_RANGES.coats[1]);
const length = (title: string) => titled(title, number(0.01, 3000));

export const areaShape = v.variant('kind', [
  v.strictObject({
    kind: v.literal('rectangle'),
    lengthMm: length('length, mm'),
    widthMm: length('width, mm'),
  }),
  v.strictObject({
    kind: v.literal('band'),
    diameterMm: length('diameter, mm'),
    heightMm: length('height of the band, mm'),
    turn: titled('part of the way round', number(0, 1)),
  }),
  v.strictObject({
    kind: v.literal('ring'),
    outerMm: length('outer diameter, mm'),
    innerMm: titled('inner diameter, mm', number(0, 3000)),
  }),
  v.strictObject({ kind: v.literal('disc'), diameterMm: length('diameter, mm') }),
  v.strictObject({
    kind: v.literal('picture'),
    tileWidthMm: length('width of the tile, mm'),
    tileHeightMm: length('height of the tile, mm'),
    tiles: titled('area in tiles', number(0.000001, 10_000)),
  }),
]);

/** What worked: nozzle, pressure and distance of a brush, and how thin the paint was. */
export const brush = v.strictObject({
  name: titled('name of the brush', line(80)),
  nozzleMm: titled('nozzle, mm', number(...BRUSH_RANGES.nozzleMm)),
  pressureBar: titled('pressure, bar', number(...BRUSH_RANGES.pressureBar)),
  distanceMm: titled('distance, mm', number(...BRUSH_RANGES.distanceMm)),
  thinner: titled('thinner', v.picklist(THINNERS)),
  /** To one part of bound paint, by volume. */
  thinnerParts: titled('parts of thinner', asReckoned('thinnerParts')),
  cup: v.exactOptional(titled('flow cup', line(40))),
  cupSeconds: v.exactOptional(titled('time of flow, s', number(0.1, 1000))),
  note: titled('note on the brush', text(500)),
});
export type Brush = Frozen<v.InferOutput<typeof brush>>;

/** One step of the work; without a time it is still to be done. */
const step = v.strictObject({
  kind: titled('kind of step', v.picklist(STEP_KINDS)),
  coat: v.exactOptional(titled('coat', aCount)),
  at: v.exactOptional(titled('time of the step', instant)),
  /** What was looked at between the coats. */
  map: v.exactOptional(titled('blend map of the step', idOf('map'))),
  reading: v.exactOptional(titled('reading of the step', idOf('reading'))),
  note: titled('note on the step', text(500)),
});
export type PlanStep = Frozen<v.InferOutput<typeof step>>;

const fromShelf = v.strictObject({
  at: titled('time it was taken', instant),
  label: titled('label of the jar', line(80)),
  grams: titled('paint taken, g', grams),
});

export const plan = v.strictObject({
  ...kindAndDates('plan'),
  /** The matched mix that is sprayed. */
  attempt: v.exactOptional(titled('mix that is sprayed', idOf('attempt'))),
  /** The plan of the first of a pair that this one began with. */
  from: v.exactOptional(titled('plan it began with', idOf('plan'))),
  shape: titled('surface', areaShape),
  unit: titled('unit of length', v.picklist(['mm', 'cm', 'in'])),
  areaCm2: titled('area, cm²', number(0.0001, 1_000_000)),
  coats: titled('coats', aCount),
  dryFilmMicrometres: titled('dry film of a coat, µm', asReckoned('dryFilmMicrometres')),
  volumeSolidsPercent: titled('volume solids, %', asReckoned('volumeSolidsPercent')),
  densityGramsPerMl: titled('density, g/ml', asReckoned('densityGramsPerMl')),
  transferPercent: titled('transfer efficiency, %', asReckoned('transferPercent')),
  deadMl: titled('dead volume of cup and line, ml', asReckoned('deadMl')),
  mediumPercent: titled('clear medium, %', asReckoned('mediumPercent')),
  dryMinutes: titled('drying time between coats, min', number(...DRY_MINUTES)),
  hollow: titled('whether it lies in a mouth or neck', v.boolean()),
  brush: titled('brush', brush),
  /** Bound paint needed, g, with its 95 % range. */
  paintGrams: titled('paint needed, g', grams),
  range: titled('range of the paint needed, g', v.strictTuple([grams, grams])),
  /** What was in the pot for it, g by pigment id, as scaled and rounded. */
  pot: titled('coloured paint', potGrams),
  mediumGrams: titled('medium, g', grams),
  /** What was taken from jars on the shelf for it, oldest first; absent: nothing. */
  fromShelf: v.exactOptional(titled('paint from the shelf', listOf(fromShelf, 0, 100))),
  thinnerMl: titled('thinner, ml', number(0, 100_000)),
  roundingDeltaE00: titled('ΔE₀₀ of the rounding', deltaE00),
  steps: titled('steps', listOf(step, 0, 100)),
  note: titled('note', text(2000)),
});
export type SprayPlan = Frozen<v.InferOutput<typeof plan>>;

/** The first step still to be done; -1 when all are. */
export function nextStepOf({ steps }: Pick<SprayPlan, 'steps'>): number {
  return steps.findIndex(({ at }) => at === undefined);
}

/** The plan with a step done. */
export function withStepDone(
  before: SprayPlan,
  index: number,
  done: Pick<PlanStep, 'map' | 'reading'> & { readonly at: string; readonly note: string },
): SprayPlan {
  const steps = before.steps.map((one, i) => (i === index ? { ...one, ...done } : one));
  return { ...before, steps };
}

/** The plan with a step open again, as if it had not been done. */
export function withStepOpen(before: SprayPlan, index: number): SprayPlan {
  const steps = before.steps.map((one, i): PlanStep => {
    if (i !== index) return one;
    const { at, map, reading, ...rest } = one;
    return at === undefined && !map && !reading ? one : rest;
  });
  return { ...before, steps };
}

/** Paint at hand for it, g: the pot, its medium, and what came from the shelf. */
export function paintAtHand({
  pot,
  mediumGrams,
  fromShelf: taken = [],
}: Pick<SprayPlan, 'pot' | 'mediumGrams' | 'fromShelf'>): number {
  const mixed = Object.values(pot).reduce((sum, value) => sum + value, mediumGrams);
  return taken.reduce((sum, one) => sum + one.grams, mixed);
}

/** What is still missing of it, g to a hundredth; where nothing is, all the paint it takes. */
export function paintWanted(
  plan: Pick<SprayPlan, 'paintGrams' | 'pot' | 'mediumGrams' | 'fromShelf'>,
): number {
  const missing = Math.ceil(100 * (plan.paintGrams - paintAtHand(plan)) - 0.01) / 100;
  return missing > 0 ? missing : Number(plan.paintGrams.toFixed(2));
}

/** The newest map saved since the last step was done, and given to none: what a look is recorded with. */
export function mapSinceLastStep<Saved extends Pick<MapRecord, 'id' | 'createdAt'>>(
  { steps }: Pick<SprayPlan, 'steps'>,
  maps: readonly Saved[],
): Saved | undefined {
  const since = steps.map(({ at }) => at ?? '').reduce((a, b) => (a > b ? a : b), '');
  return maps.findLast(
    ({ id, createdAt }) => createdAt > since && !steps.some(({ map }) => map === id),
  );
}

/** Coats that lie on the piece. */
export function coatsDone({ steps }: Pick<SprayPlan, 'steps'>): number {
  return steps.filter(({ kind, at }) => at !== undefined && (kind === 'mist' || kind === 'coat'))
    .length;
}
