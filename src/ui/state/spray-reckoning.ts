/** From what is typed at the spray bench to what must be mixed; faults stand at their fields. */
import type { Attempt, Palette } from '../../job/records.ts';
import { solverPalette } from '../../job/solver-palette.ts';
import type { SprayPlan } from '../../job/spray-plan.ts';
import { potMass } from '../../paint/pot.ts';
import {
  areaOf,
  shapeFaults,
  type AreaShape,
  type ShapeField,
} from '../../paint/spray/area-shapes.ts';
import {
  batchFaults,
  batchOf,
  mediumWeighed,
  USUAL_BATCH,
  weighableBatch,
  willItDo,
  type Batch,
  type BatchField,
  type BatchInputs,
  type MediumWeighed,
} from '../../paint/spray/batch.ts';
import { dilutionOf, type Dilution } from '../../paint/spray/binder.ts';
import { BRUSH_RANGES, DRY_MINUTES } from '../../paint/spray/guide.ts';
import { LENGTH_UNITS, typedIn, type LengthUnit } from '../../paint/spray/measure.ts';
import { potAfterDabs, scaleRecipe, type ScaledRecipe } from '../../paint/spray/scale-recipe.ts';
import { FLOW_CUPS, kinematicViscosity, type Thinner } from '../../paint/spray/thinning.ts';
import type { PotGrams } from '../../paint/types.ts';
import { inWholeDoses } from './doses.ts';

export type ShapeKind = AreaShape['kind'];
/** Every field of the form, as typed. */
export interface TypedPlan {
  readonly shape: ShapeKind;
  readonly unit: LengthUnit;
  readonly thinner: Thinner;
  readonly hollow: boolean;
  readonly brush: string;
  readonly cup: string;
  readonly note: string;
  /** More is mixed than the area takes, so that the medium can be weighed. */
  readonly weighable?: boolean;
  /** Numbers by field. */
  readonly numbers: Readonly<Record<NumberField, string>>;
}
/** What is typed of it. */
export type TypedPart = Partial<Omit<TypedPlan, 'numbers'>> & {
  readonly numbers?: Partial<TypedPlan['numbers']>;
};
export type NumberField =
  | Exclude<ShapeField, 'tiles'>
  | BatchField
  | 'dryMinutes'
  | 'nozzleMm'
  | 'pressureBar'
  | 'distanceMm'
  | 'cupSeconds'
  | 'dabs'
  | 'gramsPerDab';
export type Field = NumberField | 'brush' | 'shape';

export interface Reckoned {
  readonly shape: AreaShape;
  readonly areaCm2: number;
  readonly inputs: BatchInputs;
  readonly batch: Batch;
  /** The same made large enough to weigh its medium, and how well that is weighed in this one. */
  readonly weighable: Batch;
  readonly mediumWeighed: MediumWeighed;
  /** Step of the scale, g. */
  readonly scaleStep: number;
  /** What the dabs left in the pot, g by pigment id. */
  readonly left: PotGrams;
  readonly will: ReturnType<typeof willItDo>;
  /** Absent where the palette cannot be reckoned with. */
  readonly recipe: ScaledRecipe | undefined;
  readonly dilution: Dilution | undefined;
  readonly brush: SprayPlan['brush'];
  readonly dryMinutes: number;
  readonly viscosity: number | undefined;
}
export type Reckoning =
  | { readonly ok: true; readonly reckoned: Reckoned }
  | { readonly ok: false; readonly faults: Readonly<Partial<Record<Field, string>>> };

export const SHAPE_FIELDS: Readonly<Record<ShapeKind, readonly Exclude<ShapeField, 'tiles'>[]>> = {
  rectangle: ['lengthMm', 'widthMm'],
  band: ['diameterMm', 'heightMm', 'turn'],
  ring: ['outerMm', 'innerMm'],
  disc: ['diameterMm'],
  picture: ['tileWidthMm', 'tileHeightMm'],
};

/** Units that are written after a number, by field; lengths are in the unit chosen. */
const UNITS: Readonly<Partial<Record<NumberField, string>>> = {
  turn: '%',
  dryFilmMicrometres: 'µm',
  volumeSolidsPercent: '%',
  transferPercent: '%',
  mediumPercent: '%',
  deadMl: 'ml',
  dryMinutes: 'min',
  nozzleMm: 'mm',
  pressureBar: 'bar',
  distanceMm: 'mm',
  gramsPerDab: 'g',
  densityGramsPerMl: 'g/ml',
  cupSeconds: 's',
};
const LENGTHS: ReadonlySet<string> = new Set([
  'lengthMm',
  'widthMm',
  'diameterMm',
  'heightMm',
  'outerMm',
  'innerMm',
  'tileWidthMm',
  'tileHeightMm',
]);

/** What a field is asked in. */
export function unitOf(field: NumberField, unit: LengthUnit): string {
  return LENGTHS.has(field) ? unit : (UNITS[field] ?? '');
}

const RANGES = {
  dryMinutes: DRY_MINUTES,
  ...BRUSH_RANGES,
  dabs: [0, 1000],
  gramsPerDab: [0, 5],
} as const satisfies Partial<Record<NumberField, readonly [number, number]>>;
const BATCH_FIELDS = Object.keys(USUAL_BATCH) as BatchField[];

/**
 * @param tiles how many tiles the outline in the picture is, where there is one
 * @param mix the matched mix
 */
export function reckon(
  typed: TypedPlan,
  tiles: number | undefined,
  mix: Pick<Attempt, 'pot'>,
  palette: Palette,
): Reckoning {
  const faults: Partial<Record<Field, string>> = {};
  const read = (field: NumberField): number => {
    const answer = typedIn(unitOf(field, typed.unit), typed.numbers[field]);
    if (!answer.ok) {
      faults[field] ??= answer.message;
      return Number.NaN;
    }
    return answer.value * (LENGTHS.has(field) ? LENGTH_UNITS[typed.unit] : 1);
  };
  const within = (field: keyof typeof RANGES): number => {
    const value = read(field);
    const [low, high] = RANGES[field];
    if (value < low || value > high) faults[field] ??= `must be from ${low} to ${high}`;
    return value;
  };
  const shape = shapeOf(typed.shape, read, tiles);
  if (shape.kind === 'picture' && tiles === undefined) {
    faults.shape =
      'needs an outline: draw round the area on the map screen, with the tile in view, and save the map';
  }
  for (const { field, message } of shapeFaults(shape)) {
    if (field !== 'tiles') faults[field] ??= message;
  }
  const inputs = Object.fromEntries(
    BATCH_FIELDS.map((field) => [field, read(field)]),
  ) as unknown as BatchInputs;
  for (const { field, message } of batchFaults(inputs)) faults[field] ??= message;
  const brushName = typed.brush.trim();
  if (brushName === '') faults.brush = 'give the brush a name, to remember it by';
  const [dryMinutes, nozzleMm, pressureBar, distanceMm, dabs, gramsPerDab] = (
    Object.keys(RANGES) as (keyof typeof RANGES)[]
  ).map(within) as [number, number, number, number, number, number];
  const cup = FLOW_CUPS.find(({ name }) => name === typed.cup);
  const cupSeconds = cup ? read('cupSeconds') : undefined;
  const flow = cup && cupSeconds !== undefined ? kinematicViscosity(cup, cupSeconds) : undefined;
  if (flow && !flow.ok) faults.cupSeconds ??= flow.error;
  if (Object.keys(faults).length > 0) return { ok: false, faults };

  const { area, relative } = areaOf(shape);
  const scaleStep = palette.scaleStep ?? 0.01;
  const needed = batchOf(area, relative, inputs);
  const weighable = weighableBatch(needed, scaleStep);
  const batch = typed.weighable ? weighable : needed;
  const left = potAfterDabs(mix.pot, dabs, gramsPerDab);
  const solver = solverPalette(palette, mix.pot);
  const canReckon = Object.entries(mix.pot).every(
    ([id, grams]) => grams === 0 || solver.some((pigment) => pigment.id === id),
  );
  const dosed = { ...palette, scaleStep: palette.scaleStep ?? (0.01 as const) };
  const recipe =
    canReckon && potMass(mix.pot) > 0
      ? scaleRecipe(
          solver,
          onlyThere(mix.pot),
          onlyThere(left),
          batch.colour,
          (id, grams) => inWholeDoses({ [id]: grams }, dosed)[id]!,
        )
      : undefined;
  return {
    ok: true,
    reckoned: {
      shape,
      areaCm2: area,
      inputs,
      batch,
      weighable,
      mediumWeighed: mediumWeighed(batch, scaleStep),
      scaleStep,
      left,
      // The colour at hand against the colour needed, each with medium still to come.
      will: willItDo(potMass(left), [
        needed.range[0] * (needed.colour / needed.paint),
        needed.range[1] * (needed.colour / needed.paint),
      ]),
      recipe,
      dilution: recipe && dilutionOf(solver, onlyThere(mix.pot), inputs.mediumPercent / 100),
      brush: {
        name: brushName,
        nozzleMm,
        pressureBar,
        distanceMm,
        thinner: typed.thinner,
        thinnerParts: inputs.thinnerParts,
        ...(cup && cupSeconds !== undefined && { cup: cup.name, cupSeconds }),
        note: typed.note.trim(),
      },
      dryMinutes,
      viscosity: flow?.ok ? flow.squareMillimetresPerSecond : undefined,
    },
  };
}

function onlyThere(pot: PotGrams): PotGrams {
  return Object.fromEntries(Object.entries(pot).filter(([, grams]) => grams > 0));
}

function shapeOf(
  kind: ShapeKind,
  read: (field: NumberField) => number,
  tiles = Number.NaN,
): AreaShape {
  switch (kind) {
    case 'rectangle':
      return { kind, lengthMm: read('lengthMm'), widthMm: read('widthMm') };
    case 'band':
      return {
        kind,
        diameterMm: read('diameterMm'),
        heightMm: read('heightMm'),
        turn: read('turn') / 100,
      };
    case 'ring':
      return { kind, outerMm: read('outerMm'), innerMm: read('innerMm') };
    case 'disc':
      return { kind, diameterMm: read('diameterMm') };
    case 'picture':
      return {
        kind,
        tileWidthMm: read('tileWidthMm'),
        tileHeightMm: read('tileHeightMm'),
        tiles,
      };
  }
}
