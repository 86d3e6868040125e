/** The exposure sweep on a camera whose frames come late. */
import { expect, test } from 'vitest';
import type { EncodedPicture } from '../../src/reading/types.ts';
import { exposureSweep } from '../../src/ui/state/exposure-sweep.ts';

test('each exposure is seen by its own frame, though three of the one before are still on their way', async () => {
  const settings = { exposureTime: 250 };
  const track = {
    getCapabilities: () => ({
      exposureMode: ['manual'],
      exposureTime: { min: 1, max: 2000, step: 1 },
    }),
    getSettings: () => settings,
    applyConstraints: ({ advanced: [wish] }: { advanced: [{ exposureTime: number }] }) => {
      settings.exposureTime = wish.exposureTime;
      return Promise.resolve();
    },
  } as unknown as MediaStreamTrack;
  /** Exposure times of the frames under way; the first stands on the screen. */
  const frames = [250, 250, 250];
  const seen = new Map<EncodedPicture, number>();
  const picture = () => {
    const rgba = new Uint8ClampedArray(4);
    const one = { width: 1, height: 1, rgba, maxCode: 255, frames: 1 } as EncodedPicture;
    seen.set(one, frames[0]!);
    return one;
  };
  // One frame in any time that is waited: a machine that can do no more.
  const wait = () => {
    frames.shift();
    frames.push(settings.exposureTime);
    return Promise.resolve();
  };

  const sweep = await exposureSweep(track, {
    picture,
    code: (one) => Math.min(1, (0.8 * seen.get(one)!) / 250) ** (1 / 2.2),
    wait,
    progress: () => undefined,
    stopped: () => false,
  });
  if (!sweep.ok) throw new Error(sweep.message);
  expect(sweep.shots.length).toBeGreaterThan(8);
  expect(sweep.shots.map((shot) => seen.get(shot.picture))).toEqual(
    sweep.shots.map(({ time }) => time),
  );
});
