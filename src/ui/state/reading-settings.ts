/** What holds here: the job's and the area's own before the bench's. */
import { profileInUse } from '../../job/camera-profiles.ts';
import { DEFAULT_SETTINGS } from '../../reading/settings.ts';
import type { ReadingSettings } from '../../reading/types.ts';
import type { BenchState } from './bench-state.ts';

type Here = Pick<BenchState, 'settings' | 'place'> & Partial<Pick<BenchState, 'feed'>>;

/** The lamp that readings are said to be taken under; empty where none is named. */
export const lampInUse = ({ settings, place }: Here): string =>
  place?.job.lamp ?? settings?.lamps[0] ?? '';

export const tileInUse = ({ settings, place }: Here) => place?.job.tile ?? settings?.tiles[0];

export function readingSettings({ settings, place, feed }: Here): ReadingSettings {
  const profile = profileInUse(settings);
  const tile = tileInUse({ settings, place });
  return {
    tileColour: tile ?? DEFAULT_SETTINGS.tileColour,
    thresholds: place?.area.thresholds ?? settings?.thresholds ?? DEFAULT_SETTINGS.thresholds,
    ...(profile && { profile }),
    // A photograph does not say which camera took it.
    ...(profile && feed?.kind === 'camera' && { camera: feed.label }),
  };
}
