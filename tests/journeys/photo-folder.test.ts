/** Photographs of other kinds on the bench, one and several at once: read, stepped through, named, cancelled. */
import { linkSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { bytesOf, photograph } from '../photographs/bytes.ts';
import { rawOf } from '../photographs/raw-of.ts';
import { BenchPage, keptForOffline, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { renderedFilm } from './rendered.ts';

const film = renderedFilm();
const { width, height } = film;
const { dab, glaze } = film.truth.regions;
const truth = film.truth.difference.deltaE00;
const temporary = mkdtempSync(join(tmpdir(), 'photo-folder-'));

let served: Served;
let journey: Journey;
let bench: BenchPage;
let tiff: Uint8Array;
let raw: Uint8Array;

/** Four frames averaged: steps finer than 8 bits. */
function deepPicture() {
  const rgba = new Uint16Array(4 * width * height);
  for (let i = 0; i < 4; i += 1) {
    film.frame().forEach((code, at) => (rgba[at]! += Math.round((code * 257) / 4)));
  }
  return { width, height, rgba, maxCode: 65535, frames: 1 } as const;
}

beforeAll(async () => {
  const picture = deepPicture();
  tiff = await bytesOf(
    sharp(picture.rgba, { raw: { width, height, channels: 4 } })
      .removeAlpha()
      .toColourspace('rgb16')
      .tiff({ compression: 'deflate', predictor: 'horizontal' }),
  );
  raw = rawOf(picture);
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});
afterAll(async () => {
  await journey.close();
  await served.close();
  rmSync(temporary, { recursive: true });
});

const chip = (text: string | RegExp) => journey.page.locator('lt-bench .chip', { hasText: text });
const roll = () => journey.page.locator('lt-photo-roll');

async function readAndCompare(kind: string): Promise<void> {
  await bench.read();
  const { value, interval } = await bench.difference();
  console.log(`${kind}: ${value} (${interval.join(' to ')}), truth ${truth.toFixed(2)}`);
  expect(Math.abs(value - truth)).toBeLessThan(0.6);
}

test.each([
  ['bench.tif', () => tiff, 'bench.tif (16 bits)'],
  ['bench.heic', () => photograph('bench.heic'), 'bench.heic'],
  ['bench.dng', () => raw, 'bench.dng (camera raw, linear)'],
] as const)('%s is read to within 0.6 ΔE₀₀ of the truth', async (name, bytes, label) => {
  await bench.openPhoto({ name, mimeType: '', buffer: Buffer.from(bytes()) });
  await chip(label).waitFor();
  await journey.page.getByText('Tap the dab in the picture.').waitFor();
  await bench.tap(film, dab);
  await bench.tap(film, glaze);
  await readAndCompare(name);
  expect(journey.complaints).toEqual([]);
});

test('a folder of three, one broken: two are stepped through, pointed at once, the broken one named', async () => {
  const folder = join(temporary, 'bench');
  mkdirSync(join(folder, 'older'), { recursive: true });
  writeFileSync(join(folder, '1 by day.tif'), tiff);
  writeFileSync(join(folder, '2 by lamp.tif'), tiff.subarray(0, tiff.length / 2));
  writeFileSync(join(folder, '10 raw.dng'), raw);
  writeFileSync(join(folder, 'notes.txt'), 'umber, a touch');
  writeFileSync(join(folder, 'older', 'before.tif'), tiff);
  await bench.choosePicture();
  await journey.page.locator('input[webkitdirectory]').setInputFiles(folder);
  await chip('1 by day.tif').waitFor();
  await roll().getByText('1 not read').waitFor();
  await roll()
    .getByText(/Opening/)
    .waitFor({ state: 'detached' });
  await roll().getByText('Photograph 1 of 3').waitFor();
  await bench.tap(film, dab);
  await bench.tap(film, glaze);
  await readAndCompare('1 by day.tif');
  await bench.nextAddition();
  const [tools, reading, attempts, actions] = await bench.boxesOf(
    ...['.tools', '.reading', '.attempts', '.actions'],
  );
  expect(tools!.y + tools!.height).toBeLessThanOrEqual(reading!.y);
  expect(attempts!.y + attempts!.height).toBeLessThanOrEqual(actions!.y + 1);

  await journey.page.keyboard.press('n');
  await chip('10 raw.dng').waitFor();
  await roll().getByText('Photograph 3 of 3').waitFor();
  expect(await bench.button('Next photograph').isDisabled()).toBe(true);
  // What was pointed at stands; it need only be read.
  await readAndCompare('10 raw.dng');
  await bench.button('Previous photograph').click();
  await chip('1 by day.tif').waitFor();

  await bench.button('1 not read').click();
  const sheet = journey.page.getByRole('dialog', { name: 'Could not be read' });
  await sheet.waitFor();
  await journey.page.getByText('2 by lamp.tif is damaged, or not all of it is there.').waitFor();
  await journey.page.keyboard.press('Escape');
  await sheet.waitFor({ state: 'detached' });
  expect(journey.complaints).toEqual([]);
});

test('a folder without photographs is said to be so, and the bench stays as it was', async () => {
  const folder = join(temporary, 'papers');
  mkdirSync(folder);
  writeFileSync(join(folder, 'notes.txt'), 'umber, a touch');
  await bench.choosePicture();
  await journey.page.locator('input[webkitdirectory]').setInputFiles(folder);
  const alert = journey.page.getByRole('alert');
  await alert.filter({ hasText: 'There is no photograph in this folder.' }).waitFor();
  expect(await chip('1 by day.tif').isVisible()).toBe(true);
  await bench.button('Close the message').click();
});

test('many are opened with their count, and cancelled; what is open stays', async () => {
  // So many that their opening outlasts any pause between two looks at the page.
  const many = 60;
  const first = join(temporary, '1.tif');
  writeFileSync(first, tiff);
  const files = [first];
  for (let i = 2; i <= many; i += 1) {
    const file = join(temporary, `${i}.tif`);
    linkSync(first, file);
    files.push(file);
  }
  await bench.choosePicture();
  await journey.page.locator('input[type=file]').first().setInputFiles(files);
  await roll()
    .getByText(new RegExp(`Opening \\d+ of ${many}`))
    .waitFor();
  await chip('1.tif').waitFor();
  await bench.button('Cancel').click();
  await roll()
    .getByText(/Opening/)
    .waitFor({ state: 'detached' });
  expect(await chip('1.tif').isVisible()).toBe(true);
  const items = await roll()
    .getByText(/Photograph 1 of/)
    .innerText();
  expect(Number(/of (\d+)/.exec(items)![1])).toBeLessThan(many);
  // The decoder that was stopped starts again by itself.
  await bench.openPhoto({ name: 'again.dng', mimeType: '', buffer: Buffer.from(raw) });
  await chip('again.dng').waitFor();
  expect(journey.complaints).toEqual([]);
});

test('without a network the decoders are there, too', async () => {
  await keptForOffline(journey.page);
  await journey.context.setOffline(true);
  try {
    await journey.page.reload();
    for (const [name, bytes] of [
      ['offline.heic', photograph('bench.heic')],
      ['offline.dng', raw],
    ] as const) {
      await bench.openPhoto({ name, mimeType: '', buffer: Buffer.from(bytes) });
      await chip(name).waitFor();
    }
  } finally {
    await journey.context.setOffline(false);
  }
});
