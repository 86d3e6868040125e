/** Slips of the hand that must lose nothing: a file dropped beside the picture, the window closed too soon. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { photographOf, renderedFilm } from './rendered.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

/**
 * A file dropped on a part of the app. A browser opens what nobody prevents, in place of the page.
 * @returns whether the browser would
 */
const wouldOpen = (part: string, name: string, type: string) =>
  journey.page
    .locator(part)
    .first()
    .evaluate(
      (target, file) => {
        const dataTransfer = new DataTransfer();
        dataTransfer.items.add(new File(['no picture'], file.name, { type: file.type }));
        const init = { dataTransfer, bubbles: true, composed: true, cancelable: true };
        return ['dragover', 'drop'].some((kind) => target.dispatchEvent(new DragEvent(kind, init)));
      },
      { name, type },
    );

test('a reading that is not saved: leaving the page asks first, and a file beside the picture opens nothing', async () => {
  const { page } = journey;
  await bench.read();
  expect(await wouldOpen('lt-bench .do', 'notes.pdf', 'application/pdf')).toBe(false);
  await page.getByText(/notes\.pdf is a PDF|notes\.pdf is not a photograph/).waitFor();
  expect(await wouldOpen('lt-app header', 'notes.pdf', 'application/pdf')).toBe(false);
  expect(await page.getByText('reading held').isVisible()).toBe(true);

  expect(await bench.askedOnLeaving()).toBe('beforeunload');
  expect(await page.getByText('reading held').isVisible()).toBe(true);
});

test('a job’s file dropped on Jobs is looked at; on any other screen a file opens nothing', async () => {
  const { page } = journey;
  await bench.go('settings', 'lt-settings form');
  expect(await wouldOpen('lt-settings', 'job.zip', 'application/zip')).toBe(false);
  await bench.go('jobs', 'lt-jobs .area');
  expect(await wouldOpen('lt-jobs', 'job.zip', 'application/zip')).toBe(false);
  await page.getByText('This file cannot be taken in').waitFor();
  await page.getByText('Nothing was changed.').waitFor();
  await page.keyboard.press('Escape');
});

test('keys and pedal are set without a keyboard at hand, under Settings', async () => {
  const { page } = journey;
  await bench.go('settings', 'lt-settings form');
  await bench.button('Keys and pedal').click();
  await bench.button(/Learn a key for: The next step/).click();
  await page.keyboard.press('F8');
  await page.getByText('Learned: f8.').waitFor();
});

const asked = () => journey.page.getByRole('dialog', { name: 'Not kept yet' });
const screenIs = (screen: string) =>
  expect.poll(() => new URL(journey.page.url()).hash).toBe(`#/${screen}`);

test('what is typed in Settings and not kept is not left behind unasked, by a link or by Back', async () => {
  const { page } = journey;
  await bench.go('jobs', 'lt-jobs .area');
  await page.getByRole('link', { name: 'Settings' }).click();
  const who = page.getByLabel('Who does the work');
  await who.fill('A. Restorer');
  await page.goBack();
  await asked().waitFor();
  await bench.button('Stay here').click();
  await screenIs('settings');
  expect(await who.inputValue()).toBe('A. Restorer');

  await page.getByRole('link', { name: 'Palette' }).click();
  await bench.button('Leave without keeping it').click();
  await screenIs('palette');
  await page.locator('lt-palette').waitFor();
  await page.goBack();
  await page.locator('lt-settings form').waitFor();
  expect(await who.inputValue()).toBe('');

  // A tick counts as well; kept, nothing is asked.
  await page.getByLabel('Results are spoken').check();
  await page.getByRole('link', { name: 'Jobs' }).click();
  await asked().waitFor();
  await page.keyboard.press('Escape');
  await bench.button('Keep the settings').click();
  await page.getByText('Kept. They hold').waitFor();
  // Other settings, another reading: the one that was held waits.
  await page.getByText('Not saved: ΔE₀₀').waitFor();
  await bench.button('Let it go').click();
  await page.getByRole('link', { name: 'Jobs' }).click();
  await page.locator('lt-jobs .area').waitFor();
  expect(await asked().count()).toBe(0);
});

test('the browser’s Back out of a sheet asks before what was typed there is lost', async () => {
  const { page } = journey;
  await bench.go('settings', 'lt-settings form');
  await bench.go('jobs', 'lt-jobs .area');
  await bench.button(/Edit the job/).click();
  await page.getByLabel('Notes', { exact: true }).fill('a chip under the rim');
  await page.goBack();
  await asked().waitFor();
  await bench.button('Stay here').click();
  await screenIs('jobs');
  expect(await page.getByLabel('Notes', { exact: true }).inputValue()).toBe('a chip under the rim');
  await page.goBack();
  await bench.button('Leave without keeping it').click();
  await page.locator('lt-settings form').waitFor();
  expect(await page.locator('lt-sheet[open]').count()).toBe(0);
});

test('a reading that another picture takes the place of waits, and is saved as what it was', async () => {
  const { page } = journey;
  await bench.go('bench', 'lt-bench');
  await bench.read();
  const { value } = await bench.difference();
  await bench.openPhoto(await photographOf(renderedFilm()));
  await page.getByText(`Not saved: ΔE₀₀ ${value} of`).waitFor();
  expect(await bench.askedOnLeaving()).toBe('beforeunload');
  await bench.button('Save it').click();
  await expect.poll(async () => (await bench.attempts()).length).toBe(1);
  await page.getByText('Not saved:').waitFor({ state: 'detached' });
  const [first] = await bench.attempts();
  expect(first).toContain(String(value));
  await bench.button(first!).click();
  await page.locator('lt-reading lt-crop').waitFor();
  // The picture it was made from, not the one that is on the bench now.
  await page.locator('lt-reading').getByText('demo bench').first().waitFor();
});

test('a tap beside the dab drops no reading unasked; let go, it is gone', async () => {
  const { page } = journey;
  await bench.go('bench', 'lt-bench');
  await bench.choosePicture();
  await bench.button(/^Demo bench/).click();
  await bench.read();
  const box = (await page.locator('lt-viewfinder').boundingBox())!;
  await page.mouse.click(box.x + 12, box.y + box.height - 12);
  await page.getByText('Not saved: ΔE₀₀').waitFor();
  await bench.button('Let it go').click();
  await page.getByText('Not saved:').waitFor({ state: 'detached' });
  expect(await bench.attempts()).toHaveLength(1);
});

test('what was added in another window is not offered again in this one; its reading waits', async () => {
  const { page } = journey;
  await bench.choosePicture();
  await bench.button(/^Demo bench/).click();
  await bench.read();
  await bench.nextAddition();
  expect(await bench.button('Added it').isEnabled()).toBe(true);

  const second = await journey.context.newPage();
  const other = new BenchPage(second, served.address);
  await other.open();
  await other.read();
  await other.nextAddition();
  await other.add();

  await page.bringToFront();
  await page.getByText('Not saved: ΔE₀₀').waitFor();
  expect(await bench.button('Added it').isEnabled()).toBe(false);
  await second.close();
  await bench.button('Let it go').click();
});

test('what is typed for spraying waits while one is elsewhere, and closing the window asks', async () => {
  const { page } = journey;
  await bench.go('spray', 'lt-spray-form');
  const coats = page.getByLabel('Coats, mist coat included');
  await coats.fill('7');
  await bench.go('bench', 'lt-bench');
  expect(await bench.askedOnLeaving()).toBe('beforeunload');
  await bench.go('spray', 'lt-spray-form');
  expect(await coats.inputValue()).toBe('7');
});
