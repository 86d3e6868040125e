/** The glaze the area on the bench is to meet: as read last, or as it was carried over. */
import type { LabD65 } from '../../colour/spaces.ts';
import type { BenchState } from './bench-state.ts';

export function glazeOf({
  held,
  readings,
  place,
}: Pick<BenchState, 'held' | 'readings' | 'place'>): LabD65 | undefined {
  return held?.result.glazeLab ?? readings.at(-1)?.record.glazeLab ?? place?.area.targetLab;
}
