/** The tile and the thresholds that hold here: the job's and the area's own before the bench's. */
import { profileInUse } from '../../job/camera-profiles.ts';
import { DEFAULT_SETTINGS } from '../../reading/settings.ts';
import type { ReadingSettings } from '../../reading/types.ts';
import type { BenchState } from './bench-state.ts';

export function readingSettings({
  settings,
  place,
}: Pick<BenchState, 'settings' | 'place'>): ReadingSettings {
  const profile = profileInUse(settings);
  const tile = place?.job.tile ?? settings?.tiles[0];
  return {
    tileColour: tile ?? DEFAULT_SETTINGS.tileColour,
    thresholds: place?.area.thresholds ?? settings?.thresholds ?? DEFAULT_SETTINGS.thresholds,
    ...(profile && { profile }),
  };
}
