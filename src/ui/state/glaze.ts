/** The two colours of the bench as they were read last: the glaze, and the dab of a mix. */
import type { LabD65 } from '../../colour/spaces.ts';
import type { Attempt } from '../../job/records.ts';
import type { PotGrams } from '../../paint/types.ts';
import type { BenchState } from './bench-state.ts';

/** The glaze the area on the bench is to meet: as read last, or as it was carried over. */
export function glazeOf({
  held,
  readings,
  place,
}: Pick<BenchState, 'held' | 'readings' | 'place'>): LabD65 | undefined {
  return held?.result.glazeLab ?? readings.at(-1)?.record.glazeLab ?? place?.area.targetLab;
}

/** Recipes that differ by less than this share of a pigment are one. */
const SAME_SHARE = 0.01;

/** The dab of a mix as read last, or of another of the same recipe: what is poured off is that mix still. */
export function dabOf(
  { readings }: Pick<BenchState, 'readings'>,
  mix: Pick<Attempt, 'id' | 'pot'>,
): LabD65 | undefined {
  const own = readings.findLast(({ attempt }) => attempt?.id === mix.id);
  const like = readings.findLast(({ attempt }) => attempt && isSameRecipe(attempt.pot, mix.pot));
  return (own ?? like)?.record.dabLab;
}

function isSameRecipe(first: PotGrams, second: PotGrams): boolean {
  const sum = (pot: PotGrams) => Object.values(pot).reduce((total, grams) => total + grams, 0);
  const ratio = sum(second) / sum(first);
  return [...new Set([...Object.keys(first), ...Object.keys(second)])].every((id) => {
    const expected = (first[id] ?? 0) * ratio;
    return Math.abs((second[id] ?? 0) - expected) <= SAME_SHARE * expected + 1e-9;
  });
}
