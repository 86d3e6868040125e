/**
 * What a steady live frame at 1920 × 1080 costs, fetched and read, beside fetching the whole frame as
 * RGBA: in one browser, on one camera, in one run. Also how many frames a second are kept, the longest
 * gap between two of them, and how soon the worker is ready.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BenchFilm } from '../../calibration-samples/render/bench.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import type { LiveState } from '../../src/link/bench-client.ts';
import { openBrowser, serveWorkerPage } from '../journeys/browser.ts';
import { writeFakeCamera } from '../journeys/fake-camera.ts';

const WIDTH = 1920;
const HEIGHT = 1080;

export interface LiveFrameTimes {
  /** From asking for OpenCV to having it, first and second time, ms. */
  readonly startMs: readonly number[];
  /** Median and mean of fetching the whole frame, ms. */
  readonly whole: Spread;
  /** The same of a frame's work in the bench worker, once the average has settled. */
  readonly steady: Spread;
  /** What readings took in their own worker, ms: mean of each, and shared among all frames. */
  readonly readingMs: number;
  readonly readingShareMs: number;
  readonly framesPerSecond: number;
  readonly longestGapMs: number;
}
interface Spread {
  readonly median: number;
  readonly mean: number;
}

export async function timeLiveFrames(dabPixels: number): Promise<LiveFrameTimes> {
  const film = new BenchFilm(
    sampleScene(31, 'tune', { size: [WIDTH, HEIGHT], highlight: 'none', dabPixels, level: 0.82 }),
    new Random(3),
  );
  const folder = mkdtempSync(join(tmpdir(), 'lamp-and-tile-bench-'));
  const file = join(folder, 'bench.y4m');
  const frame = () => ({ width: WIDTH, height: HEIGHT, rgba: film.frame() });
  writeFakeCamera(file, Array.from({ length: 15 }, frame));
  const { glaze, dab } = film.truth.regions;
  const served = await serveWorkerPage();
  const journey = await openBrowser({ camera: { file } });
  try {
    await journey.page.goto(served.address);
    // The loader of this script marks functions by name; the page knows nothing of that.
    await journey.page.evaluate('globalThis.__name = (value) => value');
    return await journey.page.evaluate(
      async (regions) => {
        const { BenchClient, frameSource, openCamera } = window.tools;
        const camera = await openCamera();
        if (!camera.ok) throw new Error(camera.message);
        const settings = {
          tileColour: { lab: [95, 0, 1], standardUncertainty: [1, 0.5, 0.7] },
          thresholds: { acceptable: 1.8, imperceptible: 0.8 },
        } as never;
        const spread = (times: readonly number[]) => ({
          median: [...times].sort((a, b) => a - b)[Math.floor(times.length / 2)]!,
          mean: times.reduce((sum, t) => sum + t, 0) / times.length,
        });
        const fetchWhole = async (count: number) => {
          const source = frameSource(camera.stream);
          if (source.kind !== 'stream') throw new Error('this browser gives no frames');
          const reader = source.frames.getReader();
          const times: number[] = [];
          let buffer = new Uint8Array(0);
          while (times.length < count) {
            const { value } = await reader.read();
            if (!value) break;
            const bytes = value.allocationSize({ format: 'RGBA' });
            if (buffer.length !== bytes) buffer = new Uint8Array(bytes);
            const begin = performance.now();
            await value.copyTo(buffer, { format: 'RGBA' });
            times.push(performance.now() - begin);
            value.close();
          }
          await reader.cancel();
          return times;
        };
        const startMs: number[] = [];
        for (let i = 0; i < 2; i++) {
          const bench = new BenchClient();
          startMs.push((await bench.start()).startMs);
          bench.dispose();
        }
        const before = await fetchWhole(90);
        const bench = new BenchClient();
        await bench.point({ ...regions, dabOn: 'piece' }, settings);
        const seen: { live: LiveState; at: number }[] = [];
        const followed = bench.follow(frameSource(camera.stream), (live) => {
          if (live.settled === 1) seen.push({ live, at: performance.now() });
        });
        await new Promise((resolve) => setTimeout(resolve, 20_000));
        await bench.stop();
        await followed;
        bench.dispose();
        const after = await fetchWhole(90);
        camera.stop();
        const work = seen.map(({ live }) => live.workMs);
        const readings = seen.filter(({ live }) => live.fresh).map(({ live }) => live.readingMs);
        const gaps = seen.slice(1).map(({ at }, i) => at - seen[i]!.at);
        const all = seen[seen.length - 1]!.live.frame - seen[0]!.live.frame;
        return {
          startMs,
          whole: spread([...before, ...after]),
          steady: spread(work),
          readingMs: readings.reduce((sum, t) => sum + t, 0) / readings.length,
          readingShareMs: readings.reduce((sum, t) => sum + t, 0) / seen.length,
          framesPerSecond: (1000 * all) / (seen[seen.length - 1]!.at - seen[0]!.at),
          longestGapMs: Math.max(...gaps),
        };
      },
      { glaze, dab },
    );
  } finally {
    await journey.close();
    await served.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

export async function benchLiveFrames(): Promise<void> {
  for (const dabPixels of [60, 120]) {
    const times = await timeLiveFrames(dabPixels);
    const { whole, steady } = times;
    const ms = (value: number) => `${value.toFixed(2)} ms`;
    console.log(`Live frame, 1920 × 1080, dab ${dabPixels} px across`);
    console.log(`  whole frame as RGBA     median ${ms(whole.median)}, mean ${ms(whole.mean)}`);
    console.log(`  fetched and averaged    median ${ms(steady.median)}, mean ${ms(steady.mean)}`);
    console.log(
      `  readings beside it      ${ms(times.readingMs)} each, ${ms(times.readingShareMs)} a frame`,
    );
    const ratio = (of: 'median' | 'mean') =>
      ((steady[of] + times.readingShareMs) / whole[of]).toFixed(2);
    console.log(
      `  ratio, both together    median ${ratio('median')}, mean ${ratio('mean')} (at most 2)`,
    );
    console.log(
      `  frames a second         ${times.framesPerSecond.toFixed(1)}, longest gap ${ms(times.longestGapMs)}`,
    );
    console.log(`  OpenCV ready after      ${times.startMs.map(ms).join(', then ')}`);
  }
}
