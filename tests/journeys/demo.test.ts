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
}, 60_000);

afterAll(async () => {
  await journey.close();
  await served.close();
});

test('a dab blends within six additions, one key press for each step', async () => {
  let additions = 0;
  const path: number[] = [];
  for (;;) {
    await bench.read();
    await bench.save();
    path.push((await bench.difference()).value);
    if ((await bench.verdict()) === 'blends' || additions === 6) break;
    expect(await bench.nextAddition()).toMatch(/→ \d/);
    await journey.page.keyboard.press('a');
    await journey.page.getByText('Added to the pot.').first().waitFor();
    additions += 1;
  }
  console.log(`demo bench: ΔE₀₀ ${path.join(', ')} over ${additions} additions`);
  expect(await bench.verdict()).toBe('blends');
  expect(await bench.attempts()).toHaveLength(additions + 1);
  expect(journey.complaints).toEqual([]);
}, 240_000);

test('an addition is taken back by one key, and brought again', async () => {
  const pot = () => bench.pot.innerText();
  const before = await pot();
  await journey.page.keyboard.press('u');
  await expect.poll(pot).not.toBe(before);
  await bench.button('Undo').click();
  await expect.poll(pot).toBe(before);
}, 30_000);

test('tomorrow the attempts and the pot are still there', async () => {
  const attempts = await bench.attempts();
  const pot = await bench.pot.innerText();
  await journey.page.reload();
  await expect.poll(() => bench.attempts()).toEqual(attempts);
  expect(await bench.pot.innerText()).toBe(pot);
}, 30_000);
