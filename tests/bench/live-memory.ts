/**
 * Memory over minutes of live frames at full speed, with a new reading asked for every two seconds: what
 * the browser's page process holds, scripts, workers, WebAssembly and all. Read from /proc (Linux).
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { withFilmedBench } from './live-camera.ts';

const EVERY_S = 5;
/** Buffers and compiled code are still being laid out. */
const WARM_UP_S = 30;

export interface MemoryOverTime {
  readonly frames: number;
  readonly readings: number;
  /** Seconds and MB of each sample after warming up. */
  readonly samples: readonly (readonly [seconds: number, megabytes: number])[];
  /** Straight line through the samples, MB an hour, and its standard error. */
  readonly growthPerHour: number;
  readonly standardError: number;
}

export async function memoryOfLiveFrames(minutes: number): Promise<MemoryOverTime> {
  return await withFilmedBench(80, async ({ page, regions, profile }) => {
    const running = page.evaluate(
      async ({ places, forMs }) => {
        const { BenchClient, frameSource, openCamera } = window.tools;
        const camera = await openCamera();
        if (!camera.ok) throw new Error(camera.message);
        const settings = {
          tileColour: { lab: [95, 0, 1], standardUncertainty: [1, 0.5, 0.7] },
          thresholds: { acceptable: 1.8, imperceptible: 0.8 },
        } as never;
        const bench = new BenchClient();
        let [frames, readings, asked] = [0, 0, 0];
        const point = () => {
          asked += 1;
          const { glaze, dab } = places;
          const regions_ = { glaze: { ...glaze, radius: glaze.radius + (asked % 2) }, dab };
          return bench.point({ ...regions_, dabOn: 'piece' }, settings);
        };
        await point();
        const followed = bench.follow(frameSource(camera.stream), ({ fresh }) => {
          frames += 1;
          if (fresh) readings += 1;
        });
        const again = setInterval(() => void point(), 2000);
        await new Promise((resolve) => setTimeout(resolve, forMs));
        clearInterval(again);
        await bench.stop();
        await followed;
        bench.dispose();
        camera.stop();
        return { frames, readings };
      },
      { places: regions, forMs: minutes * 60_000 },
    );
    const samples: [number, number][] = [];
    const begin = performance.now();
    const sampling = setInterval(() => {
      const seconds = (performance.now() - begin) / 1000;
      if (seconds > WARM_UP_S) samples.push([seconds, pageMegabytes(profile)]);
    }, EVERY_S * 1000);
    try {
      const counts = await running;
      return { ...counts, samples, ...growth(samples) };
    } finally {
      clearInterval(sampling);
    }
  });
}

/** Resident memory of the page's process: the largest renderer among the browser's descendants. */
function pageMegabytes(profile: string): number {
  const processes = readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .flatMap((pid) => {
      try {
        const command = readFileSync(`/proc/${pid}/cmdline`, 'utf8');
        const status = readFileSync(`/proc/${pid}/status`, 'utf8');
        const number = (key: string) => Number(new RegExp(`${key}:\\s+(\\d+)`).exec(status)?.[1]);
        return [{ pid, parent: String(number('PPid')), command, kilobytes: number('VmRSS') }];
      } catch {
        // It has ended meanwhile.
        return [];
      }
    });
  const family = new Set(
    processes.filter((p) => p.command.includes(`--user-data-dir=${profile}`)).map((p) => p.pid),
  );
  for (let size = -1; size !== family.size;) {
    size = family.size;
    for (const p of processes) if (family.has(p.parent)) family.add(p.pid);
  }
  const renderers = processes.filter(
    (p) => family.has(p.pid) && p.command.includes('--type=renderer'),
  );
  return Math.max(0, ...renderers.map((p) => p.kilobytes)) / 1024;
}

/** Least squares. */
function growth(
  samples: readonly (readonly [number, number])[],
): Pick<MemoryOverTime, 'growthPerHour' | 'standardError'> {
  const n = samples.length;
  const mean = (k: 0 | 1) => samples.reduce((sum, s) => sum + s[k], 0) / n;
  const [t, m] = [mean(0), mean(1)];
  const spread = samples.reduce((sum, s) => sum + (s[0] - t) ** 2, 0);
  const slope = samples.reduce((sum, s) => sum + (s[0] - t) * (s[1] - m), 0) / spread;
  const left = samples.reduce((sum, s) => sum + (s[1] - m - slope * (s[0] - t)) ** 2, 0);
  return {
    growthPerHour: 3600 * slope,
    standardError: 3600 * Math.sqrt(left / Math.max(1, n - 2) / spread),
  };
}

export async function benchLiveMemory(minutes: number): Promise<void> {
  if (!existsSync('/proc/self/status')) {
    console.log('Memory of live frames: read from /proc, which this system does not have');
    return;
  }
  const { frames, readings, samples, growthPerHour, standardError } =
    await memoryOfLiveFrames(minutes);
  const megabytes = samples.map(([, mb]) => mb);
  const at = (from: number, to: number) => {
    const part = megabytes.slice(from * megabytes.length, to * megabytes.length);
    return `${(part.reduce((sum, v) => sum + v, 0) / part.length).toFixed(0)} MB`;
  };
  console.log(`Memory over ${minutes} minutes of live frames, 1920 × 1080`);
  console.log(`  frames, readings        ${frames}, ${readings}`);
  console.log(`  first, last third       ${at(0, 1 / 3)}, ${at(2 / 3, 1)}`);
  console.log(
    `  least, most             ${Math.min(...megabytes).toFixed(0)}, ${Math.max(...megabytes).toFixed(0)} MB`,
  );
  console.log(
    `  straight line           ${growthPerHour.toFixed(0)} ± ${standardError.toFixed(0)} MB an hour`,
  );
}
