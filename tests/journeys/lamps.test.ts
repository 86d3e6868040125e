/** Lamps are named, and the same dab read under two of them is held against itself. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.tablet });
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

test('two lamps, one dab', async () => {
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await page.getByText('Press Read to take the reading.').waitFor();

  await bench.go('lamps', 'lt-lamps');
  for (const [name, kind, kelvin] of [
    ['bench lamp', 'led', '5100'],
    ['window', 'daylight', ''],
  ] as const) {
    await bench.button('Add a lamp').click();
    await page.getByLabel('Name').fill(name);
    await page.getByLabel('Kind').selectOption(kind);
    await page.getByLabel('Colour temperature, K').fill(kelvin);
    await bench.button('Keep the lamp').click();
    await page.getByText(`Kept: ${name}.`).waitFor();
  }
  // A lamp of 50 K is refused in words, and the form stays as it is.
  await bench.button('Change window').click();
  await page.getByLabel('Colour temperature, K').fill('50');
  await bench.button('Keep the lamp').click();
  await page.getByText('A lamp has 1500 to 20000 K').waitFor();
  await bench.button('Cancel').click();

  await bench.go('bench', 'lt-bench');
  await bench.read();
  await bench.save();
  await bench.go('lamps', 'lt-lamps');
  await page.getByText('No dab has been read under two lamps yet.').waitFor();
  await page.getByRole('button', { name: 'Use', exact: true }).click();
  await page.getByText('window is in use.').waitFor();
  await bench.go('bench', 'lt-bench');
  await bench.read();
  expect(await bench.nextAddition()).toMatch(/Under bench lamp: ΔE₀₀ \d/);
  await bench.save();

  await bench.go('lamps', 'lt-lamps');
  // The demo bench has one light whatever it is called: nothing changes between two names of it.
  await page.locator('lt-lamp-pairs h4').filter({ hasText: 'Holds' }).waitFor();
  await page.getByText('Shows under window and under bench lamp').waitFor();

  await bench.button('Look at the lamp').click();
  await page
    .locator('lt-lamp-look li')
    .filter({ hasText: /^Colour: \d+ K/ })
    .waitFor();
  await page.locator('lt-lamp-look li').filter({ hasText: 'No flicker to speak of' }).waitFor();
  expect(journey.complaints).toEqual([]);
});
