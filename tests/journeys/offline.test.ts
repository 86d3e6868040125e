/** Kept after the first visit: opens and reads without a network; an update is offered, never forced. */
import { cpSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, keptForOffline, SIZES } from './bench-page.ts';
import { APP, openBrowser, serveApp, serveFolder, type Journey, type Served } from './browser.ts';

const ROOT = resolve(import.meta.dirname, '../..');
const COPY = join(ROOT, '.cache/journeys/offline');

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  // Builds when nothing is built yet.
  await (await serveApp()).close();
  rmSync(COPY, { recursive: true, force: true });
  cpSync(APP, COPY, { recursive: true });
  served = await serveFolder(COPY);
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

/** The next version: another title, and no file of the old one but under another name. */
function buildNext(): void {
  const assets = join(COPY, 'assets');
  const files = readdirSync(assets);
  const names = new RegExp(files.map((name) => name.replaceAll('.', '\\.')).join('|'), 'g');
  const renamed = (text: string) => text.replace(names, 'next-$&');
  const index = join(COPY, 'index.html');
  const title = renamed(readFileSync(index, 'utf8')).replace(
    /<title>.*<\/title>/,
    '<title>Next</title>',
  );
  writeFileSync(index, title);
  const worker = join(COPY, 'sw.js');
  const list = readFileSync(worker, 'utf8');
  const next = list.replace(/(url:"index\.html",revision:")[^"]+/, '$10123456789abcdef');
  expect(next).not.toBe(list);
  writeFileSync(worker, renamed(next));
  for (const name of files) {
    const path = join(assets, name);
    if (/\.(js|css)$/.test(name)) writeFileSync(path, renamed(readFileSync(path, 'utf8')));
    renameSync(path, join(assets, `next-${name}`));
  }
}

test('it can be installed: name, start, and icons of the sizes that are asked for', async () => {
  const href = await journey.page.locator('link[rel=manifest]').getAttribute('href');
  const answer = await journey.page.request.get(new URL(href!, served.address).href);
  const manifest = (await answer.json()) as {
    name: string;
    start_url: string;
    display: string;
    icons: { src: string; sizes: string; purpose?: string }[];
  };
  expect(manifest).toMatchObject({ name: 'Lamp & Tile', start_url: '/', display: 'standalone' });
  for (const { src, sizes } of manifest.icons) {
    const icon = await journey.page.request.get(new URL(src, served.address).href);
    expect(icon.headers()['content-type'], src).toMatch(/^image\/(png|svg)/);
    if (sizes === 'any') continue;
    // PNG, third edition (W3C), § 11.2.1: width and height stand at bytes 16 and 20.
    const bytes = await icon.body();
    expect(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`, src).toBe(sizes);
  }
  // Chromium's own criteria for an app that can be installed, through its inspector.
  const inspector = await journey.context.newCDPSession(journey.page);
  const { installabilityErrors } = await inspector.send('Page.getInstallabilityErrors');
  // A context without a profile of its own counts as a private window.
  const errors = installabilityErrors.filter(({ errorId }) => errorId !== 'in-incognito');
  expect(errors).toEqual([]);
});

test('a screen whose file cannot be had says so, and comes when it can', async () => {
  const fresh = await openBrowser({ camera: 'none', size: SIZES.phone });
  const { page } = fresh;
  try {
    await page.route(/assets\/jobs-/, (route) => route.abort());
    const other = new BenchPage(page, served.address);
    await other.open();
    await other.read();
    await page.getByRole('link', { name: 'Jobs' }).click();
    await page.getByText('This screen could not be loaded').waitFor();
    await page.getByText('is not saved yet').waitFor();
    // The other screens are there.
    await page.getByRole('link', { name: 'Palette' }).click();
    await page.locator('lt-palette').waitFor();
    await page.getByRole('link', { name: 'Jobs' }).click();
    await page.getByText('This screen could not be loaded').waitFor();
    await page.unroute(/assets\/jobs-/);
    await other.button('Try again').click();
    await page.locator('lt-jobs .area').waitFor();
    // The reading was kept at hand all the while.
    await page.getByRole('link', { name: 'Bench' }).click();
    await other.save();
  } finally {
    await fresh.close();
  }
});

test('without a network it opens from what is kept, and reads', async () => {
  await keptForOffline(journey.page);
  await served.close();
  await journey.page.reload();
  await journey.page.locator('lt-bench').waitFor();
  await bench.read();
  await bench.save();
  expect((await bench.difference()).value).toBeGreaterThan(0);
  expect(journey.complaints).toEqual([]);
});

test('an update waits until it is taken, and not over a reading that is not saved', async () => {
  const { port } = new URL(served.address);
  served = await serveFolder(COPY, Number(port));
  const second = await journey.context.newPage();
  await second.goto(served.address);
  await second.locator('lt-bench').waitFor();
  await journey.page.bringToFront();

  buildNext();

  await bench.read();
  for (const page of [journey.page, second]) {
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
  }
  const offer = journey.page.getByText('A new version is ready.');
  await offer.waitFor();
  await second.getByText('A new version is ready.').waitFor();
  expect(await bench.button('Use it now').isDisabled()).toBe(true);
  expect(await journey.page.title()).toBe('Lamp & Tile');

  await bench.save();
  await bench.button('Use it now').click();
  await expect.poll(() => journey.page.title()).toBe('Next');
  await offer.waitFor({ state: 'detached' });
  await expect.poll(() => bench.attempts()).toHaveLength(2);

  // The other window is told, and goes on with what it has.
  await second.getByText('Another window has taken a new version').waitFor();
  expect(await second.title()).toBe('Lamp & Tile');
  // Its files are no longer to be had from the server, nor in the new version's list; it goes on.
  const own = await second.evaluate(async () => {
    const script = document.querySelector<HTMLScriptElement>('script[type=module]')!.src;
    return (await fetch(script)).headers.get('content-type');
  });
  expect(own).toMatch(/javascript/);
  await second.getByRole('link', { name: 'Palette' }).click();
  await second.locator('lt-palette lt-pigment').first().waitFor();
  await second.getByRole('link', { name: 'Bench' }).click();
  const other = new BenchPage(second, served.address);
  await other.choosePicture();
  // The demo bench begins anew, with a worker of the old version.
  await other.button(/^Demo bench/).click();
  await other.read();
  await second.keyboard.press('l');

  await second.getByRole('button', { name: 'Reload' }).click();
  await expect.poll(() => second.title()).toBe('Next');
});

test('when the windows of the old version are gone, so are its files', async () => {
  const aside = () => journey.page.evaluate(() => caches.has('files-of-a-version-before'));
  expect(await aside()).toBe(true);
  for (const page of journey.context.pages()) if (page !== journey.page) await page.close();
  await journey.page.reload();
  await expect.poll(aside).toBe(false);
});
