/** How the areas of a job were sprayed, as a table for a spreadsheet: a row for each step of each plan. */
import { csvText, potInWords, to, type Columns } from './csv.ts';
import { parentOf } from './ids.ts';
import type { Area, Piece } from './records.ts';
import type { PlanStep, SprayPlan } from './spray-plan.ts';

export interface SprayToList {
  readonly pieces: readonly Piece[];
  readonly areas: readonly Area[];
  readonly plans: readonly SprayPlan[];
}

interface Row {
  readonly plan: SprayPlan;
  readonly step: PlanStep;
  readonly number: number;
  readonly pieceName: string;
  readonly areaName: string;
}

const COLUMNS: Columns<Row> = [
  ['planned (UTC)', ({ plan }) => plan.createdAt],
  ['piece', (r) => r.pieceName],
  ['area', (r) => r.areaName],
  ['step', (r) => r.number],
  ['kind of step', ({ step }) => step.kind],
  ['coat', ({ step }) => step.coat ?? ''],
  ['done (UTC)', ({ step }) => step.at ?? ''],
  ['note on the step', ({ step }) => step.note],
  ['reading of the step', ({ step }) => step.reading ?? ''],
  ['blend map of the step', ({ step }) => step.map ?? ''],
  ['surface', ({ plan }) => plan.shape.kind],
  ['area (cm²)', ({ plan }) => to(3, plan.areaCm2)],
  ['coats planned', ({ plan }) => plan.coats],
  ['dry film of a coat (µm)', ({ plan }) => plan.dryFilmMicrometres],
  ['volume solids (%)', ({ plan }) => plan.volumeSolidsPercent],
  ['density (g/ml)', ({ plan }) => plan.densityGramsPerMl],
  ['transfer (%)', ({ plan }) => plan.transferPercent],
  ['paint (g)', ({ plan }) => to(3, plan.paintGrams)],
  ['paint lower 95 % (g)', ({ plan }) => to(3, plan.range[0])],
  ['paint upper 95 % (g)', ({ plan }) => to(3, plan.range[1])],
  ['pot (g)', ({ plan }) => potInWords(plan.pot)],
  ['clear medium (g)', ({ plan }) => to(4, plan.mediumGrams)],
  ['clear medium (%)', ({ plan }) => plan.mediumPercent],
  ['thinner', ({ plan }) => plan.brush.thinner],
  ['thinner (ml)', ({ plan }) => to(3, plan.thinnerMl)],
  [
    'from the shelf (g)',
    ({ plan }) =>
      (plan.fromShelf ?? []).map((one) => `${one.label} ${to(4, one.grams)}`).join('; '),
  ],
  ['rounding dE00', ({ plan }) => to(3, plan.roundingDeltaE00)],
  ['brush', ({ plan }) => plan.brush.name],
  ['nozzle (mm)', ({ plan }) => plan.brush.nozzleMm],
  ['pressure (bar)', ({ plan }) => plan.brush.pressureBar],
  ['distance (mm)', ({ plan }) => plan.brush.distanceMm],
  ['flow cup', ({ plan }) => plan.brush.cup ?? ''],
  ['flow cup (s)', ({ plan }) => plan.brush.cupSeconds ?? ''],
  ['drying between coats (min)', ({ plan }) => plan.dryMinutes],
  ['note', ({ plan }) => plan.note],
  ['plan id', ({ plan }) => plan.id],
];

/** Oldest plan first, its steps in their order. */
export function sprayCsv({ pieces, areas, plans }: SprayToList): string {
  const rows = [...plans]
    .sort((a, b) => a.createdAt.localeCompare(b.createdAt))
    .flatMap((plan) => {
      const area = areas.find(({ id }) => id === parentOf(plan.id));
      const piece = area && pieces.find(({ id }) => id === parentOf(area.id));
      return plan.steps.map((step, i): Row => ({
        plan,
        step,
        number: i + 1,
        areaName: area?.name ?? '',
        pieceName: piece?.name ?? '',
      }));
    });
  return csvText(COLUMNS, rows);
}
