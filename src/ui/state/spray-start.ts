/**
 * Between the form of the spray bench and a plan: what the form begins with, the plan of the first of a
 * pair or what is usual, and the plan that comes of it.
 */
import type { Attempt } from '../../job/records.ts';
import type { Brush, SprayPlan } from '../../job/spray-plan.ts';
import { takenOut } from '../../paint/pot.ts';
import { USUAL_BATCH } from '../../paint/spray/batch.ts';
import { LENGTH_UNITS } from '../../paint/spray/measure.ts';
import { stepsOf } from '../../paint/spray/steps.ts';
import { formatExact } from '../elements/numbers.ts';
import type { Reckoned, TypedPart, TypedPlan } from './spray-reckoning.ts';

/** @param dabs read from this pot so far */
export function usualPlan(dabs: number): TypedPlan {
  return {
    shape: 'rectangle',
    unit: 'mm',
    thinner: 'water',
    hollow: false,
    brush: 'my brush',
    cup: '',
    note: '',
    numbers: {
      lengthMm: '',
      widthMm: '',
      diameterMm: '',
      heightMm: '',
      turn: '100',
      outerMm: '',
      innerMm: '',
      tileWidthMm: '100',
      tileHeightMm: '100',
      coats: formatExact(USUAL_BATCH.coats),
      dryFilmMicrometres: formatExact(USUAL_BATCH.dryFilmMicrometres),
      dryMinutes: '20',
      volumeSolidsPercent: formatExact(USUAL_BATCH.volumeSolidsPercent),
      densityGramsPerMl: formatExact(USUAL_BATCH.densityGramsPerMl),
      transferPercent: formatExact(USUAL_BATCH.transferPercent),
      deadMl: formatExact(USUAL_BATCH.deadMl),
      mediumPercent: formatExact(USUAL_BATCH.mediumPercent),
      thinnerParts: formatExact(USUAL_BATCH.thinnerParts),
      nozzleMm: formatExact(0.2),
      pressureBar: '1',
      distanceMm: '40',
      cupSeconds: '',
      dabs: String(dabs),
      gramsPerDab: formatExact(0.02),
    },
  };
}

/** The fields with what is typed since. */
export function withTyped<T extends TypedPart>(before: T, typed: TypedPart = {}): T {
  return { ...before, ...typed, numbers: { ...before.numbers, ...typed.numbers } };
}

/** What a brush sprayed well with, as if it were typed. */
export function ofBrush({ name, thinner, cup = '', note, ...brush }: Brush): TypedPart {
  return {
    brush: name,
    thinner,
    cup,
    note,
    numbers: {
      nozzleMm: formatExact(brush.nozzleMm),
      pressureBar: formatExact(brush.pressureBar),
      distanceMm: formatExact(brush.distanceMm),
      thinnerParts: formatExact(brush.thinnerParts),
      cupSeconds: brush.cupSeconds === undefined ? '' : formatExact(brush.cupSeconds),
    },
  };
}

/** The fields as they were for another plan; the dabs are those of this pot. */
export function startingFrom(plan: SprayPlan, dabs: number): TypedPlan {
  const { brush, shape, unit } = plan;
  const perUnit = LENGTH_UNITS[unit];
  const lengths = Object.fromEntries(
    Object.entries(shape).flatMap(([field, value]) =>
      typeof value === 'number' && field.endsWith('Mm')
        ? [[field, formatExact(value / perUnit)]]
        : field === 'turn'
          ? [[field, formatExact(100 * Number(value))]]
          : [],
    ),
  );
  const usual = usualPlan(dabs);
  return {
    ...withTyped(usual, ofBrush(brush)),
    shape: shape.kind,
    unit,
    hollow: plan.hollow,
    numbers: {
      ...usual.numbers,
      ...lengths,
      ...ofBrush(brush).numbers,
      coats: String(plan.coats),
      dryFilmMicrometres: formatExact(plan.dryFilmMicrometres),
      dryMinutes: formatExact(plan.dryMinutes),
      volumeSolidsPercent: formatExact(plan.volumeSolidsPercent),
      densityGramsPerMl: formatExact(plan.densityGramsPerMl),
      transferPercent: formatExact(plan.transferPercent),
      deadMl: formatExact(plan.deadMl),
      mediumPercent: formatExact(plan.mediumPercent),
    },
  };
}

/** The plan as it is begun: every step is still to be done. */
export function planOf(reckoned: Reckoned, typed: TypedPlan, mix: Pick<Attempt, 'id'>) {
  const { batch, inputs, recipe, left, shape, areaCm2, brush, dryMinutes } = reckoned;
  const { coats, dryFilmMicrometres, volumeSolidsPercent, densityGramsPerMl } = inputs;
  return {
    attempt: mix.id,
    shape,
    unit: typed.unit,
    areaCm2,
    coats,
    dryFilmMicrometres,
    volumeSolidsPercent,
    densityGramsPerMl,
    transferPercent: inputs.transferPercent,
    deadMl: inputs.deadMl,
    mediumPercent: inputs.mediumPercent,
    dryMinutes,
    hollow: typed.hollow,
    brush,
    paintGrams: batch.paint,
    range: batch.range,
    pot: takenOut(recipe?.pot ?? left, batch.colour),
    mediumGrams: batch.medium,
    thinnerMl: batch.thinnerMl,
    roundingDeltaE00: recipe?.roundingDeltaE00 ?? 0,
    steps: stepsOf(coats, typed.hollow).map((step) => ({ ...step, note: '' })),
    note: '',
  } satisfies Partial<SprayPlan>;
}
