/** `npm run pictures`: the pictures of the README, from the demo bench, into public/pictures/. */
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import sharp from 'sharp';
import { build } from 'vite';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp } from './browser.ts';

const ROOT = resolve(import.meta.dirname, '../..');
const FOLDER = join(ROOT, 'public/pictures');

mkdirSync(FOLDER, { recursive: true });
process.chdir(ROOT);
await build({ logLevel: 'warn' });
const served = await serveApp();
const laptop = await openBrowser({ camera: 'none', size: { width: 1280, height: 800 } });
const phone = await openBrowser({ camera: 'none', size: SIZES.phone });
try {
  const { page } = laptop;
  const keep = async (name: string, from = page) => {
    const png = await from.screenshot();
    // A palette of greys and few colours: small enough for a repository.
    const small = sharp(png).resize({ width: 960, withoutEnlargement: true });
    await small.png({ palette: true, colours: 200, effort: 10 }).toFile(join(FOLDER, name));
  };
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await page.goto(`${served.address}#/light`);
  await page.getByText('Set up: go to the bench.').waitFor();
  await keep('1-light.png');
  await page.getByRole('link', { name: 'To the bench' }).click();
  await bench.read();
  await bench.nextAddition();
  await keep('2-reading.png');
  await bench.save();
  if ((await bench.verdict()) !== 'blends') {
    await bench.add();
    await bench.untilItBlends();
    await bench.nextAddition();
  }
  await keep('3-after-the-addition.png');
  await page.getByRole('button', { name: /^Attempt 1/ }).click();
  await page.locator('lt-reading lt-crop').waitFor();
  await page.getByText('Where the uncertainty comes from').waitFor();
  await keep('4-why.png');

  const small = new BenchPage(phone.page, served.address);
  await small.open();
  await small.read();
  await small.nextAddition();
  await keep('5-phone.png', phone.page);
} finally {
  await laptop.close();
  await phone.close();
  await served.close();
}
