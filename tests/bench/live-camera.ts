/** One rendered bench, filmed at 1920 × 1080 and played to a browser as its camera. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { BenchFilm } from '../../calibration-samples/render/bench.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import type { PixelCircle } from '../../src/reading/types.ts';
import { openBrowser, serveWorkerPage } from '../journeys/browser.ts';
import { writeFakeCamera } from '../journeys/fake-camera.ts';

const WIDTH = 1920;
const HEIGHT = 1080;

export interface FilmedBench {
  readonly page: Page;
  readonly regions: { readonly glaze: PixelCircle; readonly dab: PixelCircle };
  /** The browser's profile folder, which names its processes. */
  readonly profile: string;
}

export async function withFilmedBench<T>(
  dabPixels: number,
  use: (filmed: FilmedBench) => Promise<T>,
): Promise<T> {
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
  const profile = join(folder, 'profile');
  const journey = await openBrowser({ camera: { file }, profile });
  try {
    await journey.page.goto(served.address);
    // The loader of this script marks functions by name; the page knows nothing of that.
    await journey.page.evaluate('globalThis.__name = (value) => value');
    return await use({ page: journey.page, regions: { glaze, dab }, profile });
  } finally {
    await journey.close();
    await served.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}
