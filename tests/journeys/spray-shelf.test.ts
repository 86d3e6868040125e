/** An area measured on the picture, a batch too small to weigh its medium, and paint taken from a jar. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.tablet });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

const field = (name: string) => journey.page.getByLabel(name);
const form = () => journey.page.locator('lt-spray-form');

test('an area measured on the picture: outline and tile give it', async () => {
  const { page } = journey;
  await bench.read();
  await bench.save();
  await bench.go('spray', 'lt-spray-form');
  await field('Shape').selectOption({ label: 'measured on the picture' });
  await page.getByText('needs an outline').waitFor();
  await bench.go('map', 'lt-map');
  await page.getByText('Draw round the sprayed area in').waitFor();
  await page.keyboard.press('p');
  await page.locator('lt-blend-result').waitFor();
  await page.keyboard.press('s');
  await page.getByRole('link', { name: 'Open the saved map' }).waitFor();
  await bench.go('spray', 'lt-spray-form');
  await field('Shape').selectOption({ label: 'measured on the picture' });
  const said = await page.getByText(/The outline is [\d.]+ × the face of the tile\./).innerText();
  const tiles = Number(/is ([\d.]+) ×/.exec(said)![1]);
  expect(tiles).toBeGreaterThan(0);
  // By hand: a tile of 50 mm × 40 mm is 20 cm².
  await field('Width of the tile, mm').fill('50');
  await field('Height of the tile, mm').fill('40');
  /** Area and tiles are both rounded: to 0.1 cm², and to a thousandth of a tile of so many cm². */
  const isArea = async (tileCm2: number) => {
    const told = await form()
      .getByText(/For [\d.]+ cm²/)
      .innerText();
    const area = Number(/For ([\d.]+) cm²/.exec(told)![1]);
    return Math.abs(area - tileCm2 * tiles) <= 0.051 + 0.0005 * tileCm2;
  };
  await expect.poll(() => isArea(20)).toBe(true);
  // Twice the tile, four times the area.
  await field('Width of the tile, mm').fill('100');
  await field('Height of the tile, mm').fill('80');
  await expect.poll(() => isArea(80)).toBe(true);
});

test('medium that the scale hardly shows is said, with a batch in which it can be weighed', async () => {
  const { page } = journey;
  await field('Shape').selectOption({ label: 'length × width' });
  for (const [name, text] of [
    ['Length, mm', '20'],
    ['Width, mm', '10'],
    ['Coats, mist coat included', '1'],
    ['Volume solids', '50'],
    ['Density', '2'],
    ['Stays on the piece', '50'],
  ] as const) {
    await field(name).fill(text);
  }
  // By hand, as in the journey of the sums: 0.52 g with 5 % of medium, 0.025 g, on a scale of 0.01 g.
  await page.getByText(/only a few steps of your scale, 0\.01 g each/).waitFor();
  // 0.05 g of medium at 5 % of the paint: 1.05 g in all.
  await bench.button('Mix 1.05 g instead').click();
  await expect.poll(() => page.locator('lt-spray-form .big').innerText()).toMatch(/^1\.05 g \(/);
  await page.getByText(/are to spare/).waitFor();
  await bench.button('Only what the area takes').click();
  await expect.poll(() => page.locator('lt-spray-form .big').innerText()).toMatch(/^0\.52 g \(/);
});

test('paint is taken from a jar: what is left is shown, it can be undone, and a double tap is one', async () => {
  const { page } = journey;
  await bench.go('shelf', 'lt-shelf');
  await bench.button('Put the pot on the shelf').click();
  await field('Label').fill('Pale ground');
  await field('Paint in the jar').fill('3.2');
  await bench.button('Keep the jar').dblclick();
  await page.getByText('Pale ground is on the shelf.').waitFor();
  await bench.button('Take some from Pale ground').click();
  await field('Paint taken').fill('4');
  await bench.button('Take it').click();
  await page.getByText(/is more than the 3\.2 g that are left/).waitFor();
  await field('Paint taken').fill('1.2');
  await bench.button('Take it').dblclick();
  await page.getByText('1.20 g taken from Pale ground; 2.00 g are left.').waitFor();
  await page.getByText('2.00 g left').waitFor();
  await bench.button('Undo').click();
  await page.getByText('3.20 g left').waitFor();

  // On paper: the jars of the shelf, or a label alone when one is open.
  const heading = page.getByRole('heading', { name: 'Pale ground' });
  const label = page.locator('.label');
  await page.emulateMedia({ media: 'print' });
  expect(await heading.isVisible()).toBe(true);
  await page.emulateMedia({ media: null });
  await bench.button('Label of Pale ground').click();
  await page.emulateMedia({ media: 'print' });
  expect([await heading.isVisible(), await label.isVisible()]).toEqual([false, true]);
  await page.emulateMedia({ media: null });

  // Its label leads back to it: photographed, or by its code.
  const code = /Code (\S+)/.exec(await label.innerText())![1]!;
  const photo = { name: 'label.png', mimeType: 'image/png', buffer: await label.screenshot() };
  const choose = page.locator('lt-find-jar input[type=file]');
  await bench.button('Find a jar by its label').click();
  await choose.setInputFiles(photo);
  await page.locator('lt-find-jar dialog').waitFor({ state: 'detached' });
  await expect.poll(() => heading.evaluate((one) => one.matches(':focus'))).toBe(true);
  await bench.button('Find a jar by its label').click();
  await field('Code of the label').fill('000000');
  await bench.button('Find the jar').click();
  await page.getByText('No jar on this shelf has the code 000000.').waitFor();
  await field('Code of the label').fill(code.toLowerCase());
  await bench.button('Find the jar').click();
  await page.locator('lt-find-jar dialog').waitFor({ state: 'detached' });
  await page.locator('li.jar[aria-current]').waitFor();

  // For a plan: it counts to the paint at hand, and the plan says where it came from.
  await bench.go('spray', 'lt-spray-form');
  await field('Length, mm').fill('20');
  await field('Width, mm').fill('10');
  await bench.button('Start spraying').click();
  await page.locator('lt-spray-steps').waitFor();
  await bench.button(/^Take from Pale ground/).click();
  await bench.button('Take it').click();
  await page.getByText(/g taken from the jar Pale ground/).waitFor();
  await bench.go('shelf', 'lt-shelf');
  await page.getByText(/taken, ground\./).waitFor();
  await page.reload();
  await page.getByText(/taken, ground\./).waitFor();

  await page.getByRole('link', { name: 'Jobs' }).click();
  await page.getByRole('link', { name: 'Record' }).first().click();
  const file = page.waitForEvent('download');
  await bench.button('Table of spraying').click();
  expect((await file).suggestedFilename()).toMatch(/-spraying\.csv$/);
  expect(journey.complaints).toEqual([]);
});
