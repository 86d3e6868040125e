/** The record: written, printed from, handed over as a file, and taken in by another browser. */
import { readFileSync } from 'node:fs';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;
let bundle: Buffer;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.laptop });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await bench.read();
  await bench.save();
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

const toJobs = async (page = journey.page) => {
  await page.getByRole('link', { name: 'Jobs' }).click();
  await page.locator('lt-jobs .area').first().waitFor();
};

test('what is written into the treatment record stands in it, with the readings', async () => {
  const { page } = journey;
  await toJobs();
  await page.getByRole('link', { name: 'Record' }).click();
  await page.getByText('Still missing').waitFor();
  await bench.button('Write').click();
  await page.getByLabel('Condition as found').fill('A chip in the cover, 9 mm.');
  await page.getByLabel('Who did it').fill('the bench by the window');
  await bench.button('Keep').click();
  await page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
  const paper = page.locator('.sheet-of-paper');
  await expect.poll(() => paper.innerText()).toContain('A chip in the cover, 9 mm.');
  const text = await paper.innerText();
  for (const part of [
    'the bench by the window',
    'PW 6, titanium white',
    'shows',
    'Reversibility',
  ]) {
    expect(text).toContain(part);
  }
});

test('on paper it is black on white, without the buttons', async () => {
  const { page } = journey;
  await page.emulateMedia({ media: 'print' });
  expect(await bench.button('Write').isVisible()).toBe(false);
  const [ink, paper] = await page.locator('.sheet-of-paper').evaluate((sheet) => {
    const { color, backgroundColor } = getComputedStyle(sheet);
    return [color, backgroundColor];
  });
  expect([ink, paper]).toEqual(['rgb(0, 0, 0)', 'rgb(255, 255, 255)']);
  await page.emulateMedia({ media: null });
});

test('any other screen comes so, too, and its swatches keep their colour', async () => {
  const { page } = journey;
  await page.emulateMedia({ media: 'print' });
  for (const [name, element] of [
    ['Palette', 'lt-palette lt-pigment'],
    ['Jobs', 'lt-jobs .area'],
  ] as const) {
    await page.getByRole('link', { name, includeHidden: true }).evaluate((link: HTMLElement) => {
      link.click();
    });
    const part = page.locator(element).first();
    await part.waitFor();
    const looks = await part.evaluate((one) => {
      const { color, backgroundColor } = getComputedStyle(one);
      return [color, backgroundColor];
    });
    expect(looks[0]).toBe('rgb(0, 0, 0)');
    expect(['rgb(255, 255, 255)', 'rgba(0, 0, 0, 0)']).toContain(looks[1]);
    if (name === 'Palette') {
      const swatch = part.locator('[style*="color(xyz"]').first();
      expect(await swatch.evaluate((one) => getComputedStyle(one).printColorAdjust)).toBe('exact');
      expect(await part.getByRole('button').first().isVisible()).toBe(false);
    }
  }
  await page.emulateMedia({ media: null });
  await page.getByRole('link', { name: 'Record' }).click();
  await page.locator('.sheet-of-paper').waitFor();
});

const downloaded = async (button: string) => {
  const [file] = await Promise.all([
    journey.page.waitForEvent('download'),
    bench.button(button).click(),
  ]);
  return { name: file.suggestedFilename(), bytes: readFileSync(await file.path()) };
};

test('the readings come as a table, the job as a file', async () => {
  const table = await downloaded('Table of readings');
  expect(table.name).toMatch(/\.csv$/);
  const rows = table.bytes.toString('utf8').trim().split('\r\n');
  expect(rows).toHaveLength(2);
  expect(rows[0]).toContain('dE00');
  const job = await downloaded('Whole job as a file');
  expect(job.name).toMatch(/\.zip$/);
  bundle = job.bytes;
});

test('another device says what the file would change, takes it in, and shows the reading', async () => {
  const other = await openBrowser({ camera: 'none', size: SIZES.tablet });
  try {
    const page = other.page;
    await new BenchPage(page, served.address).open();
    await toJobs(page);
    const choose = (buffer: Buffer) =>
      page
        .locator('lt-jobs input[type=file]')
        .setInputFiles({ name: 'job.zip', mimeType: 'application/zip', buffer });

    await choose(bundle.subarray(0, bundle.length / 2));
    await page.getByText('This file cannot be taken in').waitFor();
    expect(await page.getByText('Nothing was changed.').isVisible()).toBe(true);
    await page.keyboard.press('Escape');
    await page.locator('lt-sheet[open]').waitFor({ state: 'detached' });

    await choose(bundle);
    await page.getByText(/Would add .*1 reading/).waitFor();
    await page.getByRole('button', { name: 'Take it in' }).click();
    await page.getByText('1 reading · last').waitFor();
    const areas = () => page.locator('lt-jobs .area').count();
    await expect.poll(areas).toBe(2);

    // Once more: what is here already is said, and a copy beside it changes nothing of it.
    await choose(bundle);
    await page.getByText(/Already here and identical: .*1 reading/).waitFor();
    expect(await page.getByRole('button', { name: 'Take it in', exact: true }).count()).toBe(0);
    await page.getByRole('button', { name: 'Take it in as a copy beside it' }).click();
    await page.getByRole('heading', { name: /\(copy\)$/ }).waitFor();
    await expect.poll(areas).toBe(3);

    // A file in which one number is spoilt names it, and changes nothing.
    const parts = unzipSync(Uint8Array.from(bundle));
    const json = strFromU8(parts['job.json']!).replace(/("deltaE00": )[\d.]+/, '$1"many"');
    await choose(Buffer.from(zipSync({ ...parts, 'job.json': strToU8(json) })));
    await page.getByText(/ΔE₀₀: must be a number, but is “many”/).waitFor();
    await page.keyboard.press('Escape');
    expect(await areas()).toBe(3);
    expect(other.complaints).toEqual([]);
  } finally {
    await other.close();
  }
});

test('a threshold that makes no sense is refused by name, a sensible one holds', async () => {
  const { page } = journey;
  await page.getByRole('link', { name: 'Settings' }).click();
  const acceptable = page.getByLabel('Acceptable up to');
  await acceptable.fill('0,5');
  await bench.button('Keep the settings').click();
  await page.getByText(/imperceptible threshold must not be above/).waitFor();
  await acceptable.fill('2,5');
  await bench.button('Keep the settings').click();
  await page.getByText('Kept.').waitFor();
  await page.reload();
  await expect.poll(() => acceptable.inputValue()).toBe('2.5');
});
