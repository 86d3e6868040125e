/** One pedal does the round; it is learned by pressing it; the result is spoken; the screen stays on. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.laptop });
  // What is spoken and whether the screen is held on is written down in place of being done.
  await journey.page.addInitScript(() => {
    const heard: string[] = [];
    const locks: string[] = [];
    Object.assign(window, { heard, locks });
    Object.defineProperty(window, 'speechSynthesis', {
      value: {
        cancel: () => undefined,
        speak: ({ text }: SpeechSynthesisUtterance) => heard.push(text),
      },
    });
    Object.defineProperty(navigator, 'wakeLock', {
      value: {
        request: (kind: string) => {
          locks.push(kind);
          return Promise.resolve({ release: () => Promise.resolve() });
        },
      },
    });
  });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});
afterAll(async () => {
  expect(journey.complaints).toEqual([]);
  await journey.close();
  await served.close();
});

const written = (name: 'heard' | 'locks') =>
  journey.page.evaluate((list) => (window as unknown as Record<string, string[]>)[list]!, name);

test('a pedal is learned by pressing it, and does the round: read, save, added it', async () => {
  const { page } = journey;
  await page.getByText('Press Read to take the reading.').waitFor();
  await page.keyboard.press('?');
  await bench.button(/Learn a key for: The next step/).click();
  await page.keyboard.press('Enter');
  await page.getByText('That key works the page itself').waitFor();
  await page.keyboard.press('F9');
  await page.getByText('Learned: f9.').waitFor();
  await page.keyboard.press('Escape');
  await page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
  // Tomorrow too.
  await page.reload();
  await page.getByText('Press Read to take the reading.').waitFor();

  await page.keyboard.press('F9');
  await page.getByText('reading held').waitFor();
  await bench.nextAddition();
  await page.keyboard.press('F9');
  await bench.button(/^Saved/).waitFor();
  await page.keyboard.press('F9');
  await page.getByText('Added to the pot.').first().waitFor();
});

test('while the bench is live the screen is kept on', async () => {
  expect(await written('locks')).toEqual(['screen']);
});

test('nothing is spoken until it is wished; then verdict, largest difference, next addition, once', async () => {
  const { page } = journey;
  expect(await written('heard')).toEqual([]);
  await page.getByRole('link', { name: 'Settings' }).click();
  await page.getByLabel('Results are spoken').check();
  await bench.button('Keep the settings').click();
  await page.getByText('Kept.').waitFor();
  await page.getByRole('link', { name: 'Bench' }).click();
  await page.locator('lt-bench').waitFor();
  await page.keyboard.press('u');
  await page.getByText('The last addition is taken back.').first().waitFor();
  await bench.read();
  await bench.nextAddition();
  await expect.poll(() => written('heard')).toHaveLength(1);
  const [said] = await written('heard');
  expect(said).toMatch(/^shows, \d+\.\d\. The dab is .+\. Add [\d.]+ g of P/);
  await bench.save();
  expect(await written('heard')).toHaveLength(1);
});

test('the language of numbers is one for all of them', async () => {
  const { page } = journey;
  await page.getByRole('link', { name: 'Settings' }).click();
  await page.getByLabel('Language of numbers and dates').selectOption('de');
  await page.getByLabel('Masses in').selectOption('mg');
  await bench.button('Keep the settings').click();
  await page.getByText('Kept.').waitFor();
  expect(await page.getByLabel('Acceptable up to').inputValue()).toBe('1,8');
  await page.getByRole('link', { name: 'Bench' }).click();
  await expect.poll(() => bench.pot.innerText()).toMatch(/\d+ mg/);
  await page.reload();
  await expect.poll(() => bench.pot.innerText()).toMatch(/\d+ mg/);
  expect(await page.locator('lt-attempts').innerText()).not.toMatch(/\d\.\d/);
});
