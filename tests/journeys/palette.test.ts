/** A palette of one's own: paints read on the tile, doses weighed, faults named, all of it kept. */
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { DemoBench } from '../../calibration-samples/render/demo.ts';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;
let page: Page;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.laptop });
  page = journey.page;
  bench = new BenchPage(page, served.address);
  await bench.open();
});

afterAll(async () => {
  expect(journey.complaints).toEqual([]);
  await journey.close();
  await served.close();
});

const goTo = async (name: string, element: string) => {
  await page.getByRole('link', { name, exact: true }).click();
  await page.locator(element).waitFor();
};
const addPaint = async (colourIndex: string) => {
  await bench.button('Add a paint').first().click();
  await page.getByLabel('Colour Index generic name').fill(colourIndex);
  await bench.button('Add it').click();
  await page.locator('lt-pigment', { hasText: colourIndex }).waitFor();
};
/** One press reads, keeps and goes on. */
const readAndKeep = async (what: string) => {
  await page.getByText(/now, steady/).waitFor();
  await page.keyboard.press('r');
  await page
    .getByRole('status')
    .filter({ hasText: `Kept: ${what}` })
    .waitFor({ state: 'attached' });
};
/** What the card of a paint says. */
const card = (name: string) =>
  page
    .locator('lt-pigment', { hasText: name })
    .evaluate((one) => one.shadowRoot!.textContent.replace(/\s+/g, ' '));

test('a new palette of three paints begins with guesses, and says so', async () => {
  // The glaze is read once with the demo's own palette: a recipe needs to know it.
  await bench.read();
  await bench.save();
  await goTo('Palette', 'lt-palette lt-pigment >> nth=0');
  await bench.button(/Palettes/).click();
  await bench.button('New palette').click();
  await page.getByLabel('Name').fill('Studio palette');
  await page.getByLabel('Begin with').selectOption('none');
  await bench.button('Make the palette').click();
  await page.getByRole('heading', { name: 'Studio palette' }).waitFor();
  for (const paint of ['PW 6', 'PB 29', 'PBk 11']) await addPaint(paint);
  await page.getByText('0 of 3 paints are characterised.').waitFor();
  expect(await card('PB 29')).toContain('Invented, only a guess');
});

test('the paints are read one after another, one press each; one may leave and come back', async () => {
  await page.getByRole('link', { name: 'Read the paints on the tile (3 left)' }).click();
  await readAndKeep('masstone of white');
  await readAndKeep('masstone of ultramarine');
  await goTo('Bench', 'lt-bench');
  await goTo('Palette', 'lt-palette');
  await page.reload();
  await page.getByRole('link', { name: 'Read the paints on the tile (2 left)' }).click();
  await readAndKeep('tint of ultramarine');
  await readAndKeep('masstone of black');
  await readAndKeep('tint of black');
  await page.getByText('Every paint is characterised.').waitFor();
  await page.getByRole('link', { name: 'Done' }).click();
  await page.getByText('3 of 3 paints are characterised.').waitFor();
  await expect.poll(() => card('PB 29')).toMatch(/(Well|Fairly) known/);
  // Between what the demo bench's own camera reads, and what a reading may err by.
  expect(await card('PB 29')).toMatch(/tint 1 : 9 6[012]\.\d\s+[3-6]\.\d\s+−4[0-4]\.\d/);
}, 240_000);

test('a first mix and a nudge are reckoned with that palette', async () => {
  await goTo('Bench', 'lt-bench');
  await bench.pot.click();
  await bench.button('What to start with').click();
  await bench.button('Reckon').click();
  await bench.button('I mixed this').click();
  await page.getByText('The pot is recorded.').first().waitFor();
  await page.getByRole('link', { name: 'Back to the bench' }).click();
  await page.locator('lt-bench').waitFor();
  await bench.read();
  const said = await bench.nextAddition();
  // The bench has turned back to the dab on the piece.
  expect(await page.getByText('The dab lies beside the piece').count()).toBe(0);
  const { value } = await bench.difference();
  console.log(`first mix of three paints: ΔE₀₀ ${value}; then: ${said}`);
  // Three paints reach the neighbourhood of a bluish grey; how near is for the evaluation to say.
  expect(value).toBeGreaterThan(0);
  expect(value).toBeLessThan(6);
  expect(said).toMatch(/→ \d|blends|no addition|nearest|once more|glaze lies outside/i);
});

test('a tint lighter than its white is named, and nothing is lost', async () => {
  await goTo('Palette', 'lt-palette lt-pigment >> nth=0');
  await expect.poll(() => card('PB 29')).toMatch(/(Well|Fairly) known/);
  const before = await card('PB 29');
  await bench.button('Read again ultramarine').click();
  await bench.button(/Tint in white/).click();
  await page.getByLabel('ultramarine, grams').fill('0.2');
  await bench.button('Type it').click();
  for (const [field, value] of [
    ['L*', '99'],
    ['a*', '0'],
    ['b*', '−2,5'],
  ] as const) {
    await page.getByLabel(field, { exact: true }).fill(value);
  }
  await bench.button('Keep these values').click();
  const fault = page.locator('lt-characterise .fault');
  await fault.waitFor();
  expect(await fault.innerText()).toMatch(/tint of “ultramarine” .* is lighter than the white/i);
  expect(await page.getByLabel('ultramarine, grams').inputValue()).toBe('0.2');
  await page.getByRole('link', { name: 'Done' }).click();
  await expect.poll(() => card('PB 29')).toBe(before);
});

test('ten drops on the scale are a drop, also tomorrow, and additions are counted in them', async () => {
  await bench.button('Doses').click();
  await page.getByLabel('They weigh, g').fill('0,21 0.19');
  await bench.button('Keep this dose').click();
  const drop = page.getByText(/A drop of every paint: 0\.020 g, give or take/);
  await drop.waitFor();
  const inDrops = () => bench.button('in drops').getAttribute('aria-pressed');
  await bench.button('in drops').click();
  await expect.poll(inDrops).toBe('true');
  await page.reload();
  await bench.button('Doses').click();
  await drop.waitFor();
  expect(await inDrops()).toBe('true');
  await page.keyboard.press('Escape');
  await goTo('Bench', 'lt-bench');
  await bench.pot.click();
  await bench.button('State what is in the pot').click();
  await page.getByLabel('PW 6 white').fill('5');
  await page.getByLabel('PB 29 ultramarine').fill('0.02');
  await page.getByLabel('PBk 11 black').fill('');
  await bench.button('This is in the pot').click();
  await page.getByText('The pot is recorded.').first().waitFor();
  await page.getByRole('link', { name: 'Back to the bench' }).click();
  await page.locator('lt-bench').waitFor();
  await bench.read();
  expect(await bench.nextAddition()).toMatch(/\d drops? P[A-Z]/);
});

test('a photograph of paint on the tile is read where it is tapped', async () => {
  const demo = new DemoBench();
  demo.layOnTile({ 'PBk 11': 1 });
  const { width, height, rgba } = demo.frame(60_000);
  const photo = await sharp(rgba, { raw: { width, height, channels: 4 } })
    .png()
    .toBuffer();
  await goTo('Palette', 'lt-palette lt-pigment >> nth=0');
  await bench.button('Read again black').click();
  await bench.openPhoto({ name: 'black.png', mimeType: 'image/png', buffer: photo });
  await page.getByText('Tap the paint on the tile in the picture.').waitFor();
  await bench.tap({ width, height }, demo.regions.onTile);
  await page.getByText(/now, photograph/).waitFor();
  await page.keyboard.press('r');
  await page.getByText('Kept: masstone of black').first().waitFor();
  await page.getByRole('link', { name: 'Done' }).click();
  // The renderer's own black; what its gloss mirrors of the room lightens it a little.
  await expect.poll(() => card('PBk 11')).toMatch(/masstone [4-9]\.\d/);
});

test('a paint is removed, and brought back by undo', async () => {
  await goTo('Palette', 'lt-palette lt-pigment >> nth=0');
  await bench.button('Remove black').click();
  await page.getByText('black is off the palette.').waitFor();
  expect(await page.locator('lt-pigment').count()).toBe(2);
  await bench.button('Undo').click();
  await expect.poll(() => page.locator('lt-pigment').count()).toBe(3);
});
