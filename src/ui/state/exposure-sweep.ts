/** The tile seen in twelve exposure times of a live camera, one after the other. */
import { exposureRange, exposureTime, setExposureTime, sweepTimes } from '../../camera/exposure.ts';
import { lightOfEncoded, SRGB_CURVE } from '../../reading/profile/profile.ts';
import { stepCodes, type ToneSubject } from '../../reading/profile/step-card.ts';
import type { EncodedPicture } from '../../reading/types.ts';

export interface SweepShot {
  readonly picture: EncodedPicture;
  /** Units of 100 µs, as the camera took it. */
  readonly time: number;
}
export type Sweep =
  | { readonly ok: true; readonly shots: readonly SweepShot[] }
  | { readonly ok: false; readonly message: string };

export interface SweepWays {
  /** The picture now, or none. */
  readonly picture: () => EncodedPicture | undefined;
  /** The tile's mean code in it, 0–1. */
  readonly code: (picture: EncodedPicture) => number;
  /** So long, and until another frame has come: a slow machine may show none in that time. */
  readonly wait: (ms: number) => Promise<void>;
  readonly progress: (done: number, of: number) => void;
  readonly stopped: () => boolean;
}

/** A camera has settled when two looks this far apart agree; it is waited for no longer than that. */
const LOOK_MS = 150;
const MOST_LOOKS = 14;
const SETTLED = 0.004;
/** Before the first look: so many frames on their way still have the former exposure. */
const FIRST_FRAMES = 3;
const FIRST_MS = 100;

export async function exposureSweep(track: MediaStreamTrack, ways: SweepWays): Promise<Sweep> {
  const range = exposureRange(track);
  const before = exposureTime(track);
  const first = ways.picture();
  if (!range || before === undefined) {
    return { ok: false, message: 'This camera does not let the page set its exposure time.' };
  }
  if (!first) return { ok: false, message: 'There is no picture now: open the camera.' };
  const times = sweepTimes(range, before, lightOfEncoded(SRGB_CURVE, ways.code(first)));
  if (times.length < 5) {
    return {
      ok: false,
      message: 'The camera offers too few exposure times for this light: change the lamp.',
    };
  }
  const shots: SweepShot[] = [];
  try {
    for (const [i, wanted] of times.entries()) {
      if (ways.stopped()) return { ok: false, message: 'Stopped. Nothing was kept.' };
      ways.progress(i, times.length);
      const time = await setExposureTime(track, wanted);
      if (time === undefined || shots.some((shot) => shot.time === time)) continue;
      const picture = await settledPicture(ways);
      if (picture) shots.push({ picture, time });
    }
  } finally {
    await setExposureTime(track, before);
  }
  const codes = shots.map(({ picture }) => ways.code(picture));
  if (shots.length < 5) {
    return { ok: false, message: 'The camera did not take the exposure times asked of it.' };
  }
  if (Math.max(...codes) - Math.min(...codes) < 0.1) {
    return {
      ok: false,
      message:
        'The picture does not follow the exposure time: the camera evens it out by itself. Use photographs or lamp distances.',
    };
  }
  return { ok: true, shots };
}

async function settledPicture(ways: SweepWays): Promise<EncodedPicture | undefined> {
  for (let frame = 0; frame < FIRST_FRAMES; frame++) await ways.wait(FIRST_MS);
  let last = ways.picture();
  for (let look = 0; last && look < MOST_LOOKS; look++) {
    await ways.wait(LOOK_MS);
    const now = ways.picture();
    if (now && Math.abs(ways.code(now) - ways.code(last)) < SETTLED) return now;
    last = now;
  }
  return last;
}

/** The tile's mean green code, 0–1; 1 where it is too bright to be read, 0 where it cannot be. */
export function tileCode(picture: EncodedPicture, tile: ToneSubject): number {
  const seen = stepCodes(picture, tile);
  if (!seen.ok) return 0;
  return seen.places[0]?.[1] ?? (seen.isBright ? 1 : 0);
}
