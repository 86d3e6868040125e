/** A whole blend map of a frame of 1280 × 720, against its kernel alone over the same pixels. */
import { DemoBench } from '../../calibration-samples/render/demo.ts';
import { deltaE00OfPixels } from '../../src/colour/delta-e-kernel.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { readBlendMap } from '../../src/reading/blend-map.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';

const ROUNDS = 12;

/** Milliseconds, the best of several: what the work costs when nothing else runs. */
function best<T>(work: () => T): { readonly ms: number; readonly result: T } {
  let ms = Infinity;
  let result: T | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    const start = performance.now();
    result = work();
    ms = Math.min(ms, performance.now() - start);
  }
  return { ms, result: result! };
}

export function benchBlendMap(): void {
  const bench = new DemoBench(undefined, 1280, 720);
  bench.spray({ white: 5, blue: 0.047, 'yellow-earth': 0.02, black: 0.011 });
  const { width, height, rgba } = bench.frame(5000);
  const { fill, tile } = bench.regions;
  const picture = { width, height, rgba, maxCode: 255, frames: 1 } as const;
  const cv = nodeOpenCv();
  console.log('Whole blend map of a frame of 1280 × 720, one thread, tile given');
  for (const radius of [fill.radius, 140]) {
    const area = { ...fill, radius };
    const { ms, result } = best(() => readBlendMap(cv, picture, { area, tile }, DEFAULT_SETTINGS));
    if (!result.ok) throw new Error(result.refused.map((one) => one.message).join(' '));
    const { crop, glazeLab } = result;
    const pixels = crop.width * crop.height;
    const cut = new Uint8Array(4 * pixels);
    for (let y = 0; y < crop.height; y++) {
      const from = 4 * ((crop.y + y) * width + crop.x);
      cut.set(rgba.subarray(from, from + 4 * crop.width), 4 * y * crop.width);
    }
    const kernel = best(() => deltaE00OfPixels({ rgba: cut, glazeLab })).ms;
    const what = `area ${Math.round(2 * radius)} px across, ${(pixels / 1000).toFixed(0)} k pixels`;
    console.log(
      `  ${what.padEnd(44)} ${ms.toFixed(0).padStart(6)} ms   ${(ms / kernel).toFixed(0)} × its kernel (${kernel.toFixed(1)} ms)`,
    );
  }
}
