/** What the steps of a spray plan are called, what is to be done in each, and what speaks against it. */
import type { MapRecord } from '../../job/map-record.ts';
import type { Pigment } from '../../job/mixing.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import {
  mapSinceLastStep,
  nextStepOf,
  paintAtHand,
  type PlanStep,
  type SprayPlan,
} from '../../job/spray-plan.ts';
import { hazardOf } from '../../paint/hazards.ts';
import { PLAIN_TEST } from '../../paint/spray/thinning.ts';
import type { PotGrams } from '../../paint/types.ts';
import { formatExact, formatGrams, formatNumber } from '../elements/numbers.ts';
import { pigmentName } from '../elements/pigment-names.ts';

export function stepName({ kind, coat }: Pick<PlanStep, 'kind' | 'coat'>): string {
  switch (kind) {
    case 'bind':
      return 'Bind';
    case 'thin':
      return 'Thin and strain';
    case 'card':
      return 'Test on card';
    case 'stop-hollow':
      return 'Stop the hollow';
    case 'mask':
      return 'Mask';
    case 'mist':
      return 'Mist coat';
    case 'coat':
      return `Coat ${coat}`;
    case 'check':
      return `Look after coat ${coat}`;
    case 'clean':
      return 'Clean';
  }
}

/** What to do, in the amounts of this plan. */
export function stepText({ kind }: Pick<PlanStep, 'kind'>, plan: SprayPlan): string {
  const { brush } = plan;
  switch (kind) {
    case 'bind':
      return `Stir ${formatGrams(plan.mediumGrams)} of clear medium (${formatExact(plan.mediumPercent)} %) into the paint. Dab it, let it dry and read it again: medium changes how it hides and shines.`;
    case 'thin':
      return `Add ${formatNumber(plan.thinnerMl, 2)} ml of ${brush.thinner} (${formatExact(brush.thinnerParts)} to 1 part of paint), a little at a time, and strain. ${PLAIN_TEST}`;
    case 'card':
      return `Spray a card at ${formatExact(brush.pressureBar)} bar from ${formatExact(brush.distanceMm)} mm until it lies even. Hold it beside the glaze.`;
    case 'stop-hollow':
      return 'Push crumpled paper tissue into the mouth or neck, to just below the area: else the air rebounds and carries the mist back out in ridges.';
    case 'mask':
      return 'Mask the sound glaze. Spray only the fill.';
    case 'mist':
      return 'One light pass from further off. It need not hide.';
    case 'coat':
      return 'Light even passes, begun and ended beside the area.';
    case 'check':
      return 'Look under the lamp, then take the blend map.';
    case 'clean':
      return 'Take tissue and mask off. Run clean thinner through until it comes clear. Put what is left on the shelf.';
  }
}

/** "band, 120 mm in diameter, 8 mm high, 25 % of the way round". */
export function shapeInWords({ shape }: Pick<SprayPlan, 'shape'>): string {
  const mm = (value: number) => `${formatExact(value)} mm`;
  switch (shape.kind) {
    case 'rectangle':
      return `${mm(shape.lengthMm)} × ${mm(shape.widthMm)}`;
    case 'band':
      return `band ${mm(shape.diameterMm)} across, ${mm(shape.heightMm)} high, ${formatNumber(100 * shape.turn, 0)} % of the way round`;
    case 'ring':
      return `ring from ${mm(shape.innerMm)} to ${mm(shape.outerMm)} across`;
    case 'disc':
      return `disc ${mm(shape.diameterMm)} across`;
    case 'picture':
      return `measured on the picture, ${formatNumber(shape.tiles, 3)} × the tile of ${mm(shape.tileWidthMm)} × ${mm(shape.tileHeightMm)}`;
  }
}

/** What runs short, and what is wanted before the next step and was not done. */
export function lacking(
  plan: SprayPlan,
  maps: readonly MapRecord[],
  readings: readonly ReadingRecord[],
): readonly string[] {
  const lines: string[] = [];
  const have = paintAtHand(plan);
  if (have < plan.range[0]) {
    lines.push(`Only ${formatGrams(have)} is at hand: not enough left to finish.`);
  }
  const next = plan.steps[nextStepOf(plan)]?.kind;
  if (next === 'check' && !mapSinceLastStep(plan, maps)) {
    lines.push('No blend map has been saved since the last step.');
  }
  const bound = plan.steps.find(({ kind }) => kind === 'bind')?.at;
  const isRead = readings.some(({ createdAt }) => bound !== undefined && createdAt > bound);
  if (next === 'thin' && !isRead) {
    lines.push('The bound paint has not been read: dab it, let it dry, read it before you thin.');
  }
  return lines;
}

/** A line for each pigment in the pot that should not be sprayed. */
export function hazardsIn(pot: PotGrams, pigments: readonly Pigment[]): readonly string[] {
  return pigments.flatMap(({ id, colourIndex }) => {
    const hazard = (pot[id] ?? 0) > 0 ? hazardOf(colourIndex) : undefined;
    if (!hazard) return [];
    return `${pigmentName(id, pigments)} contains ${hazard.contains}: spraying it is advised against. Brush it on, or match without it.`;
  });
}
