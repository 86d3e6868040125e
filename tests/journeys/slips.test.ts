/** Slips of the hand that must lose nothing: a file dropped beside the picture, the window closed too soon. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

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
