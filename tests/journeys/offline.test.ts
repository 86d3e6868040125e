/** Kept after the first visit: opens and reads without a network; an update is offered, never forced. */
import { cpSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
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
}, 90_000);
afterAll(async () => {
  await journey.close();
  await served.close();
});

const isKept = () =>
  journey.page.evaluate(async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    return registration?.active?.state === 'activated';
  });

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
}, 60_000);

test('without a network it opens from what is kept, and reads', async () => {
  await expect.poll(isKept, { timeout: 60_000 }).toBe(true);
  await served.close();
  await journey.page.reload();
  await journey.page.locator('lt-bench').waitFor();
  await bench.read();
  await bench.save();
  expect((await bench.difference()).value).toBeGreaterThan(0);
  expect(journey.complaints).toEqual([]);
}, 120_000);

test('an update waits until it is taken, and not over a reading that is not saved', async () => {
  const { port } = new URL(served.address);
  served = await serveFolder(COPY, Number(port));
  const second = await journey.context.newPage();
  await second.goto(served.address);
  await second.locator('lt-bench').waitFor();
  await journey.page.bringToFront();

  // The next version: another title, which the service worker's list knows by its revision.
  const index = join(COPY, 'index.html');
  const html = readFileSync(index, 'utf8').replace(/<title>.*<\/title>/, '<title>Next</title>');
  writeFileSync(index, html);
  const worker = join(COPY, 'sw.js');
  const list = readFileSync(worker, 'utf8');
  const next = list.replace(/(url:"index\.html",revision:")[^"]+/, '$10123456789abcdef');
  expect(next).not.toBe(list);
  writeFileSync(worker, next);

  await bench.read();
  for (const page of [journey.page, second]) {
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
  }
  const offer = journey.page.getByText('A new version is ready.');
  await offer.waitFor({ timeout: 60_000 });
  await second.getByText('A new version is ready.').waitFor();
  expect(await bench.button('Use it now').isDisabled()).toBe(true);
  expect(await journey.page.title()).toBe('Lamp & Tile');

  await bench.save();
  await bench.button('Use it now').click();
  await expect.poll(() => journey.page.title(), { timeout: 30_000 }).toBe('Next');
  await offer.waitFor({ state: 'detached' });
  expect(await bench.attempts()).toHaveLength(2);

  // The other window is told, and goes on with what it has.
  await second.getByText('Another window has taken a new version').waitFor();
  expect(await second.title()).toBe('Lamp & Tile');
  await second.getByRole('button', { name: 'Reload' }).click();
  await expect.poll(() => second.title(), { timeout: 30_000 }).toBe('Next');
}, 180_000);
