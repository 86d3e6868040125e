/** A camera profile is made from a photograph of a chart, used, and carried by the reading. */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { CHART, chartPicture, type Shot } from '../unit/profile/chart-picture.ts';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let folder: string;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.tablet });
  folder = await mkdtemp(join(tmpdir(), 'chart-'));
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

const BOARD: Shot['board'] = [
  { x: 240, y: 120 },
  { x: 800, y: 210 },
  { x: 720, y: 600 },
  { x: 150, y: 470 },
];

async function photograph(name: string, shot: Shot): Promise<string> {
  const { width, height, rgba } = chartPicture(shot);
  const file = join(folder, name);
  await sharp(rgba, { raw: { width, height, channels: 4 } })
    .png()
    .toFile(file);
  return file;
}

async function reference(name: string, fields: string): Promise<string> {
  const rows = CHART.map((patch) => `${patch.name} ${patch.lab.join(' ')}`).join('\n');
  const text = `CGATS.17\nBEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows}\nEND_DATA\n`;
  const file = join(folder, name);
  await writeFile(file, text);
  return file;
}

test('a profile from a chart', async () => {
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await page.goto(`${served.address}#/light`);
  await page.getByRole('link', { name: 'Camera profiles' }).click();
  await page.getByText('None yet: readings assume').waitFor();
  const chooseReference = page.locator('input[type=file]').first();
  const choosePhoto = page.locator('input[type=file]').nth(1);

  await chooseReference.setInputFiles(await reference('short.txt', 'SAMPLE_ID LAB_L LAB_A'));
  await page.getByText('short.txt: The field LAB_B is missing').waitFor();
  expect(await choosePhoto.isDisabled()).toBe(true);
  await chooseReference.setInputFiles(await reference('chart.txt', 'SAMPLE_ID LAB_L LAB_A LAB_B'));
  await page.getByText('The reference is read.').waitFor();

  // Half hidden, and mirrored: said in a line, nothing to keep.
  await choosePhoto.setInputFiles(
    await photograph('half.png', { board: BOARD, hidden: (x) => x > 470 }),
  );
  await page.getByText('No whole chart of 24 patches is found').first().waitFor();
  expect(await page.locator('lt-handle').count()).toBe(4);
  await choosePhoto.setInputFiles(
    await photograph('mirrored.png', { board: BOARD, mirrored: true }),
  );
  await page.getByText('The chart is mirrored').first().waitFor();
  expect(await bench.button('Keep the profile').count()).toBe(0);

  await choosePhoto.setInputFiles(await photograph('chart.png', { board: BOARD }));
  await page.getByText('The chart is read.').waitFor();
  const means = await page.locator('lt-profile td:nth-child(2)').allTextContents();
  expect(means).toHaveLength(2);
  // The chart is drawn in sRGB: some transform fits it nearly.
  expect(Math.min(...means.map(Number))).toBeLessThan(1.5);
  await page.getByLabel('Name').fill('bench lamp');
  await page.getByLabel('Camera', { exact: true }).fill('studio camera');
  await bench.button('Keep the profile').click();
  await page.getByText('Kept and in use: bench lamp.').waitFor();

  // It stands after a new start, and the reading carries it.
  await page.reload();
  await page.getByRole('button', { name: 'In use: bench lamp' }).waitFor();
  await page.goto(`${served.address}#/bench`);
  await page.getByText('Press Read to take the reading.').waitFor();
  await bench.read();
  await bench.save();
  await page.locator('lt-attempts ol button').last().click();
  await page.getByText('Camera profile', { exact: true }).waitFor();
  await page.getByText('bench lamp', { exact: true }).first().waitFor();

  await page.goto(`${served.address}#/profile`);
  await page.getByRole('button', { name: 'In use: bench lamp' }).click();
  await page.getByText('Readings use no profile.').waitFor();
  await page.getByRole('button', { name: 'Delete bench lamp' }).click();
  await page.getByText('None yet: readings assume').waitFor();
});

test('a chart’s values are pasted; a slip is named by its patch', async () => {
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.go('profile', 'lt-profile');
  await page.reload();
  await bench.button('Type the values').click();
  const table = page.locator('lt-chart-values');
  await table.getByRole('button', { name: 'Use these values' }).click();
  await page.getByText('Patch 1: L* is missing.').waitFor();
  const lines = CHART.map(({ name, lab }) => `${name}\t${lab.map((v) => v.toFixed(3)).join('\t')}`);
  await page.getByLabel('Patch 1, L*', { exact: true }).evaluate((field, text) => {
    const clipboardData = new DataTransfer();
    clipboardData.setData('text', text);
    field.dispatchEvent(
      new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }),
    );
  }, lines.join('\n'));
  await page.getByLabel('Patch 24, b*').fill('4o');
  await table.getByRole('button', { name: 'Use these values' }).click();
  await page.getByText('Patch 24: b* “4o” is no number.').waitFor();
  await page.getByLabel('Patch 24, b*').fill('-0.4');
  await table.getByRole('button', { name: 'Use these values' }).click();
  await page.getByText('Reference: as typed').waitFor();
  await page
    .locator('input[type=file]')
    .nth(1)
    .setInputFiles(await photograph('typed.png', { board: BOARD }));
  await page.getByText('The chart is read.').waitFor();
});
