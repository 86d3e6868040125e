/**
 * What a steady live frame at 1920 × 1080 costs, fetched and read, beside fetching the whole frame as
 * RGBA: in one browser, on one camera, in one run. Also how many frames a second are kept, what gaps
 * there are between them, and how soon the worker is ready.
 */
import type { LiveState } from '../../src/link/bench-client.ts';
import { withFilmedBench } from './live-camera.ts';

export interface LiveFrameTimes {
  /** From asking for OpenCV to having it, first and second time, ms. */
  readonly startMs: readonly number[];
  /** Median and mean of fetching the whole frame, ms. */
  readonly whole: Spread;
  /** The same of a frame's work in the bench worker, once the average has settled. */
  readonly steady: Spread;
  /** Readings made after the average had settled, and what they took, shared among all frames since. */
  readonly steadyReadings: number;
  readonly steadyReadingShareMs: number;
  /** What each reading took in its own worker, ms, and how long it all took to settle. */
  readonly readingMs: number;
  readonly settledAfterMs: number;
  readonly framesPerSecond: number;
  /** Frames a second of the camera alone, while whole frames are fetched and nothing is read. */
  readonly cameraFramesPerSecond: number;
  /** Times between two frames in a row, longest first, ms: of the camera alone, settling, steady. */
  readonly gaps: Readonly<Record<'camera' | 'settling' | 'steady', readonly number[]>>;
}
interface Spread {
  /** Lower quartile: what else the machine does disturbs it least. */
  readonly quarter: number;
  readonly median: number;
  readonly mean: number;
}

export async function timeLiveFrames(dabPixels: number): Promise<LiveFrameTimes> {
  return await withFilmedBench(dabPixels, ({ page, regions }) =>
    page.evaluate(async (places) => {
      const { BenchClient, frameSource, openCamera } = window.tools;
      const camera = await openCamera();
      if (!camera.ok) throw new Error(camera.message);
      const settings = {
        tileColour: { lab: [95, 0, 1], standardUncertainty: [1, 0.5, 0.7] },
        thresholds: { acceptable: 1.8, imperceptible: 0.8 },
      } as never;
      const sum = (times: readonly number[]) => times.reduce((all, t) => all + t, 0);
      const at = (times: readonly number[], share: number) =>
        [...times].sort((a, b) => a - b)[Math.floor(times.length * share)]!;
      const spread = (times: readonly number[]) => ({
        quarter: at(times, 0.25),
        median: at(times, 0.5),
        mean: sum(times) / times.length,
      });
      const longest = (when: readonly number[]) =>
        when
          .slice(1)
          .map((t, i) => t - when[i]!)
          .sort((a, b) => b - a)
          .slice(0, 4);
      const fetchWhole = async (count: number) => {
        const source = frameSource(camera.stream);
        if (source.kind !== 'stream') throw new Error('this browser gives no frames');
        const reader = source.frames.getReader();
        const times: number[] = [];
        const when: number[] = [];
        let buffer = new Uint8Array(0);
        while (times.length < count) {
          const { value } = await reader.read();
          if (!value) break;
          const bytes = value.allocationSize({ format: 'RGBA' });
          if (buffer.length !== bytes) buffer = new Uint8Array(bytes);
          const begin = performance.now();
          await value.copyTo(buffer, { format: 'RGBA' });
          times.push(performance.now() - begin);
          when.push(begin);
          value.close();
        }
        await reader.cancel();
        return { times, when };
      };
      const startMs: number[] = [];
      for (let i = 0; i < 2; i++) {
        const bench = new BenchClient();
        startMs.push((await bench.start()).startMs);
        bench.dispose();
      }
      const before = await fetchWhole(120);
      const bench = new BenchClient();
      await bench.point({ ...places, dabOn: 'piece' }, settings);
      const all: { live: LiveState; at: number }[] = [];
      const followed = bench.follow(frameSource(camera.stream), (live) => {
        all.push({ live, at: performance.now() });
      });
      await new Promise((resolve) => setTimeout(resolve, 20_000));
      await bench.stop();
      await followed;
      bench.dispose();
      const after = await fetchWhole(120);
      camera.stop();
      const held = all.findIndex(({ live }) => live.held);
      if (held < 0) throw new Error('the reading did not settle');
      const steady = all.slice(held);
      const readings = all.filter(({ live }) => live.fresh);
      const late = steady.slice(1).filter(({ live }) => live.fresh);
      const last = all[all.length - 1]!;
      return {
        startMs,
        whole: spread([...before.times, ...after.times]),
        steady: spread(steady.map(({ live }) => live.workMs)),
        steadyReadings: late.length,
        steadyReadingShareMs: sum(late.map(({ live }) => live.readingMs)) / steady.length,
        readingMs: sum(readings.map(({ live }) => live.readingMs)) / readings.length,
        settledAfterMs: all[held]!.at - all[0]!.at,
        framesPerSecond: (1000 * (steady.length - 1)) / (last.at - steady[0]!.at),
        cameraFramesPerSecond:
          (1000 * (after.when.length - 1)) / (after.when[after.when.length - 1]! - after.when[0]!),
        gaps: {
          camera: longest(after.when),
          settling: longest(all.slice(0, held).map(({ at }) => at)),
          steady: longest(steady.map(({ at }) => at)),
        },
      };
    }, regions),
  );
}

export async function benchLiveFrames(): Promise<void> {
  for (const dabPixels of [60, 120]) {
    const times = await timeLiveFrames(dabPixels);
    const { whole, steady, gaps } = times;
    const ms = (value: number) => `${value.toFixed(2)} ms`;
    const list = (values: readonly number[]) => values.map((v) => v.toFixed(0)).join(', ');
    console.log(`Live frame, 1920 × 1080, dab ${dabPixels} px across`);
    console.log(
      `  whole frame as RGBA     quartile ${ms(whole.quarter)}, median ${ms(whole.median)}, mean ${ms(whole.mean)}`,
    );
    console.log(
      `  fetched and averaged    quartile ${ms(steady.quarter)}, median ${ms(steady.median)}, mean ${ms(steady.mean)}`,
    );
    console.log(
      `  readings                ${ms(times.readingMs)} each; settled and held after ${ms(times.settledAfterMs)}; ${times.steadyReadings} since, ${ms(times.steadyReadingShareMs)} a frame`,
    );
    const ratio = (of: 'quarter' | 'median' | 'mean') =>
      ((steady[of] + times.steadyReadingShareMs) / whole[of]).toFixed(2);
    console.log(
      `  ratio, both together    quartile ${ratio('quarter')}, median ${ratio('median')}, mean ${ratio('mean')} (at most 2)`,
    );
    console.log(
      `  frames a second         ${times.framesPerSecond.toFixed(1)}; of the camera alone ${times.cameraFramesPerSecond.toFixed(1)}`,
    );
    console.log(
      `  longest gaps, ms        ${list(gaps.steady)} steady; ${list(gaps.settling)} settling; ${list(gaps.camera)} of the camera alone`,
    );
    console.log(`  OpenCV ready after      ${times.startMs.map(ms).join(', then ')}`);
  }
}
