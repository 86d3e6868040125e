/** How much paint an area takes, with its range, and whether what is left will do. */
import { paintOnPiece } from './coverage.ts';
import {
  grams,
  micrometres,
  millilitres,
  type FieldFault,
  type Grams,
  type Millilitres,
  type SquareCentimetres,
} from './quantities.ts';

export interface BatchInputs {
  readonly coats: number;
  /** Of one coat, µm. */
  readonly dryFilmMicrometres: number;
  readonly volumeSolidsPercent: number;
  /** Of the bound paint before thinning, g/ml. */
  readonly densityGramsPerMl: number;
  /** Share of what leaves the brush that stays on the piece, %. */
  readonly transferPercent: number;
  /** What stays in cup and line and cannot be sprayed, ml of thinned paint. */
  readonly deadMl: number;
  /** Thinner to one part of bound paint, by volume. */
  readonly thinnerParts: number;
  /** Clear medium as a share of the mass of the paint it goes into, %. */
  readonly mediumPercent: number;
}
export type BatchField = keyof BatchInputs;

/** What a bench begins with: common practice, no source. The data sheet of the paint knows better. */
export const USUAL_BATCH: BatchInputs = {
  coats: 3,
  dryFilmMicrometres: 10,
  volumeSolidsPercent: 35,
  densityGramsPerMl: 1.2,
  transferPercent: 40,
  deadMl: 0.5,
  thinnerParts: 1,
  mediumPercent: 5,
};

/** Above this the film clogs the nozzle and thickens: common practice, no source. */
export const MOST_MEDIUM_PERCENT = 10;

/** Ranges that a bench can meet; outside them is a slip of the pen or of the unit. */
export const BATCH_RANGES: Readonly<
  Record<BatchField, readonly [low: number, high: number, unit: string]>
> = {
  coats: [1, 30, ''],
  dryFilmMicrometres: [1, 200, 'µm'],
  volumeSolidsPercent: [2, 100, '%'],
  densityGramsPerMl: [0.7, 4, 'g/ml'],
  transferPercent: [5, 100, '%'],
  deadMl: [0, 20, 'ml'],
  thinnerParts: [0, 10, 'parts'],
  mediumPercent: [0, MOST_MEDIUM_PERCENT, '%'],
};

/** What is wrong, field by field, before anything is reckoned. */
export function batchFaults(inputs: BatchInputs): readonly FieldFault<BatchField>[] {
  return (Object.keys(BATCH_RANGES) as BatchField[]).flatMap((field) => {
    const value = inputs[field];
    const [low, high, unit] = BATCH_RANGES[field];
    const say = (message: string) => [{ field, message }];
    if (!Number.isFinite(value)) return say('give a number');
    if (field === 'coats' && !Number.isInteger(value)) return say('give a whole number of coats');
    if (field === 'mediumPercent' && value > 100) {
      return say('is more medium than paint: the paint would no longer hide');
    }
    if (field === 'mediumPercent' && value > high) {
      return say('is above one tenth: more clogs the nozzle and thickens the film');
    }
    if (value >= low && value <= high) return [];
    return say(`must be from ${low} to ${high}${unit && ` ${unit}`}`);
  });
}

/**
 * Standard uncertainties as shares: film by eye and hand, solids and density from a data sheet or
 * guessed, transfer by habit. Common practice, no source; the area brings its own.
 */
const RELATIVE = { dryFilm: 0.2, volumeSolids: 0.1, transfer: 0.15 } as const;
const DEAD_RELATIVE = 0.2;

export interface Batch {
  /** Bound paint, before thinning: what has to be mixed, with its 95 % range. */
  readonly paint: Grams;
  readonly range: readonly [low: Grams, high: Grams];
  readonly paintMl: Millilitres;
  /** Of `paint`: the coloured paint and the clear medium in it. */
  readonly colour: Grams;
  readonly medium: Grams;
  readonly thinnerMl: Millilitres;
  /** Where the paint, ml of bound paint, goes: these and `spareMl` make `paintMl`. */
  readonly onPieceMl: Millilitres;
  readonly lostToAirMl: Millilitres;
  readonly leftInBrushMl: Millilitres;
  /** Mixed beyond what the area takes, ml of bound paint: the fourth of `paintMl`, usually 0. */
  readonly spareMl: Millilitres;
}

/**
 * Paint needed. The range propagates the stated uncertainties to first order (JCGM 100, 5.1.2) and is
 * taken on the logarithm, so that it never reaches zero. `inputs` without faults.
 */
export function batchOf(area: SquareCentimetres, areaRelative: number, inputs: BatchInputs): Batch {
  const { coats, volumeSolidsPercent, densityGramsPerMl, transferPercent, thinnerParts } = inputs;
  const film = micrometres(inputs.dryFilmMicrometres);
  const onPiece = paintOnPiece(area, coats, volumeSolidsPercent, film);
  const sprayed = onPiece / (transferPercent / 100);
  const left = inputs.deadMl / (1 + thinnerParts);
  const needed = sprayed + left;
  const { dryFilm, volumeSolids, transfer } = RELATIVE;
  const u = Math.hypot(
    sprayed * Math.hypot(areaRelative, dryFilm, volumeSolids, transfer),
    left * DEAD_RELATIVE,
  );
  const factor = Math.exp((1.96 * u) / needed);
  const paint = needed * densityGramsPerMl;
  const share = inputs.mediumPercent / 100;
  return {
    paint: grams(paint),
    range: [grams(paint / factor), grams(paint * factor)],
    paintMl: millilitres(needed),
    colour: grams(paint / (1 + share)),
    medium: grams((paint * share) / (1 + share)),
    thinnerMl: millilitres(needed * thinnerParts),
    onPieceMl: onPiece,
    lostToAirMl: millilitres(sprayed - onPiece),
    leftInBrushMl: millilitres(left),
    spareMl: millilitres(0),
  };
}

/** Of what is weighed, the share by which a scale's step may be off, at most a tenth: five steps. */
const LEAST_STEPS = 5;

export type MediumWeighed = 'well' | 'coarsely' | 'not at all';

/**
 * Whether the medium of a batch can be weighed on a scale of this step, g: under a step it cannot
 * be, under five steps its share is off by more than a tenth.
 */
export function mediumWeighed({ medium }: Pick<Batch, 'medium'>, step: number): MediumWeighed {
  if (medium === 0 || medium >= LEAST_STEPS * step) return 'well';
  return medium < step ? 'not at all' : 'coarsely';
}

/** More than this many times the paint nobody mixes for its medium's sake. */
const LARGEST_BATCH = 20;

/**
 * The same batch made as large as lets its medium be weighed; itself where it can be already, or where that
 * would take more than twenty times the paint.
 */
export function weighableBatch(batch: Batch, step: number): Batch {
  if (mediumWeighed(batch, step) === 'well') return batch;
  const factor = (LEAST_STEPS * step) / batch.medium;
  if (factor > LARGEST_BATCH) return batch;
  const paintMl = batch.paintMl * factor;
  return {
    ...batch,
    paint: grams(batch.paint * factor),
    paintMl: millilitres(paintMl),
    colour: grams(batch.colour * factor),
    medium: grams(LEAST_STEPS * step),
    thinnerMl: millilitres(batch.thinnerMl * factor),
    spareMl: millilitres(paintMl - batch.paintMl),
  };
}

/** Whether what is at hand finishes the area: below the range it will not, within it nobody knows. */
export function willItDo(
  have: number,
  [low, high]: readonly [number, number],
): 'enough' | 'perhaps not enough' | 'not enough' {
  if (have >= high) return 'enough';
  return have < low ? 'not enough' : 'perhaps not enough';
}
