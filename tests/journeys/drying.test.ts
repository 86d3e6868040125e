/** A dab read wet and dry teaches the palette; a card tells how many coats hide. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

test('wet, dry and hiding', async () => {
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await page.getByText('Press Read to take the reading.').waitFor();
  await bench.read();
  await bench.save();
  await bench.go('film', 'lt-film');
  await page.getByText('The dab was wet: paint usually dries darker').waitFor();
  await page.getByRole('button', { name: 'dry', exact: true }).click();
  await page.getByLabel(/Finish of this palette/).selectOption('gloss');
  await page.getByText('Kept with the palette.').waitFor();
  await bench.go('bench', 'lt-bench');
  await bench.read();
  await bench.save();
  await bench.go('film', 'lt-film');
  // Read in two states: both steps between them are learned by one dab.
  await page.getByRole('row').filter({ hasText: '1 dab' }).first().waitFor();
  expect(await page.getByRole('row').filter({ hasText: '1 dab' }).count()).toBe(2);

  await bench.button('Reckon the coats').click();
  await page.getByText('Give L*, a* and b* of the coat').waitFor();
  for (const [field, lab] of [
    ['Coat over black', ['66', '0', '0']],
    ['Coat over white', ['78', '0', '0']],
  ] as const) {
    for (const [k, axis] of ['L*', 'a*', 'b*'].entries()) {
      await page.getByLabel(`${field}, ${axis}`).fill(lab[k]!);
    }
  }
  await bench.button('Reckon the coats').click();
  // Y of L* 66 over Y of L* 78 by CIELAB: (82/94)³ = 0.664.
  await page
    .getByText(/One coat hides to 66\s%\. For complete hiding, at least \d+ coats/)
    .waitFor();
  expect(journey.complaints).toEqual([]);
});
