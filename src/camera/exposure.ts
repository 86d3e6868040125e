/** Exposure times of a live camera, where the browser offers them (W3C Image Capture, `exposureTime`). */

export interface ExposureRange {
  /** In units of 100 µs. */
  readonly min: number;
  readonly max: number;
  readonly step: number;
}

interface WithExposure {
  readonly exposureTime?: { readonly min: number; readonly max: number; readonly step?: number };
  readonly exposureMode?: readonly string[];
}

/** undefined where the camera or the browser does not let a page set it. */
export function exposureRange(track: MediaStreamTrack | undefined): ExposureRange | undefined {
  // Not every browser has it.
  const asked = track as { getCapabilities?: () => unknown } | undefined;
  const { exposureTime, exposureMode } = (asked?.getCapabilities?.() ?? {}) as WithExposure;
  if (!exposureTime || !exposureMode?.includes('manual')) return undefined;
  const { min, max, step = 1 } = exposureTime;
  return max > min && min > 0 ? { min, max, step: step > 0 ? step : 1 } : undefined;
}

/** The exposure time now, in units of 100 µs. */
export function exposureTime(track: MediaStreamTrack): number | undefined {
  return (track.getSettings() as { exposureTime?: number }).exposureTime;
}

/** @returns the exposure time the camera took, which need not be the one asked for */
export async function setExposureTime(
  track: MediaStreamTrack,
  time: number,
): Promise<number | undefined> {
  try {
    await track.applyConstraints({
      advanced: [{ exposureMode: 'manual', exposureTime: time } as MediaTrackConstraintSet],
    });
  } catch (error) {
    // A camera may refuse what it offers (OverconstrainedError); the settings tell what it took.
    if (!(error instanceof Error || error instanceof DOMException)) throw error;
  }
  return exposureTime(track);
}

/** Of the brightest exposure: codes spread evenly from a fifth of them to all of them. */
const SHARES = Array.from({ length: 12 }, (_, i) => (0.2 + (0.8 * i) / 11) ** 2.2);

/**
 * Twelve times whose codes lie evenly, up to the one at which the tile stands just below clipping.
 * @param now the present time; @param light the tile's light at it, share of full range, 0–1
 */
export function sweepTimes(
  { min, max, step }: ExposureRange,
  now: number,
  light: number,
): readonly number[] {
  const top = Math.min(max, (0.9 * now) / Math.max(0.005, light));
  const inSteps = (time: number) =>
    Math.min(max, min + step * Math.round((Math.max(min, time) - min) / step));
  return [...new Set(SHARES.map((share) => inSteps(top * share)))];
}
