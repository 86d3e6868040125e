/** The whole job on the demo bench, with the keys alone: read, save, added it, until it blends. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.laptop });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});

afterAll(async () => {
  await journey.close();
  await served.close();
});

test('a dab blends within six additions, one key press for each step', async () => {
  const { read, additions } = await bench.untilItBlends();
  console.log(`demo bench: ΔE₀₀ ${read.join(', ')} over ${additions} additions`);
  expect(additions).toBeLessThanOrEqual(6);
  expect(await bench.verdict()).toBe('blends');
  expect(await bench.attempts()).toHaveLength(read.length);
  expect(journey.complaints).toEqual([]);
}, 400_000);

test('an addition is taken back by one key, and brought again', async () => {
  const pot = () => bench.pot.innerText();
  const before = await pot();
  await journey.page.keyboard.press('u');
  await expect.poll(pot).not.toBe(before);
  await bench.button('Undo').click();
  await expect.poll(pot).toBe(before);
});

test('tomorrow the attempts and the pot are still there', async () => {
  const attempts = await bench.attempts();
  const pot = await bench.pot.innerText();
  await journey.page.reload();
  await expect.poll(() => bench.attempts()).toEqual(attempts);
  expect(await bench.pot.innerText()).toBe(pot);
});
