/** With a camera: point, read, save; reload, close, come back tomorrow. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeY4m } from '../../calibration-samples/y4m.ts';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { renderedFilm } from './rendered.ts';

const folder = mkdtempSync(join(tmpdir(), 'lamp-and-tile-live-'));
const camera = join(folder, 'bench.y4m');
const film = renderedFilm();
const { dab, glaze } = film.truth.regions;
const truth = film.truth.difference.deltaE00;

let served: Served;
let journey: Journey;
let bench: BenchPage;

const begin = async () => {
  journey = await openBrowser({
    camera: { file: camera },
    profile: join(folder, 'profile'),
    size: SIZES.tablet,
  });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
};

beforeAll(async () => {
  const frames = Array.from({ length: 12 }, () => film.frame());
  writeY4m(camera, film.width, film.height, 30, frames);
  served = await serveApp();
  await begin();
});

afterAll(async () => {
  await journey.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

test('the camera’s picture is read to within 0.6 ΔE₀₀ of the truth', async () => {
  await bench.choosePicture();
  await bench.button('Use the camera').click();
  await journey.page.getByText('Tap the dab in the picture.').waitFor();
  await bench.tap(film, dab);
  await journey.page.getByText('tap sound glaze').waitFor();
  await bench.tap(film, glaze);
  await bench.read();
  const { value, interval } = await bench.difference();
  console.log(`live: ${value} (${interval.join(' to ')}), truth ${truth.toFixed(2)}`);
  expect(Math.abs(value - truth)).toBeLessThan(0.6);
  expect(await bench.verdict()).toBe('shows');
});

test('the reading is saved, and is there after a reload with its crop', async () => {
  await bench.save();
  expect(journey.complaints).toEqual([]);
  const saved = await bench.attempts();
  expect(saved).toHaveLength(1);
  await journey.page.reload();
  await expect.poll(() => bench.attempts()).toEqual(saved);
  await bench.button(saved[0]!).click();
  const crop = journey.page.locator('lt-crop canvas');
  // A canvas is 300 pixels wide until something is drawn on it.
  await expect.poll(() => crop.evaluate((c) => (c as HTMLCanvasElement).width)).not.toBe(300);
  const colours = await crop.evaluate((element) => {
    const canvas = element as HTMLCanvasElement;
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    return new Set(new Uint32Array(data.buffer)).size;
  });
  expect(colours).toBeGreaterThan(100);
  await journey.page.getByText('Frames averaged').waitFor();
});

test('tomorrow, in a new browser, it is still there', async () => {
  await journey.close();
  await begin();
  await expect.poll(async () => (await bench.attempts()).length).toBe(1);
});
