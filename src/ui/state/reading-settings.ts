/** What holds here: the job's and the area's own before the bench's. */
import { profileInUse } from '../../job/camera-profiles.ts';
import type { ShotContext } from '../../job/shot.ts';
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

/**
 * What a record says of the bench besides what was read.
 * @param settings what it was read by: of the same moment, or of a later one
 * @returns undefined before the records are open
 */
export function shotContext(
  state: BenchState,
  { profile, thresholds } = readingSettings(state),
): Omit<ShotContext, 'at' | 'cameraSettings' | 'picture'> | undefined {
  const { feed, film, mixes, drift } = state;
  const attempt = mixes.at(-1);
  const tile = tileInUse(state);
  return (
    tile && {
      ...(attempt && { attempt: attempt.id }),
      film,
      source: feed.kind === 'camera' ? 'live' : feed.kind,
      cameraLabel: feed.label,
      lamp: lampInUse(state),
      tile,
      thresholds,
      ...(profile && { profile }),
      ...(feed.kind !== 'photo' && { drift }),
    }
  );
}
