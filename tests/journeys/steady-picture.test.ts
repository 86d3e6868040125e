/** The live picture runs on while readings come and go: it is never begun anew, which shows it empty. */
import { expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp } from './browser.ts';

test('reading, saving and adding leave the running picture alone', async () => {
  const served = await serveApp();
  const journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  const { page } = journey;
  try {
    const bench = new BenchPage(page, served.address);
    await bench.open();
    await page.getByText('Press Read to take the reading.').waitFor();
    const video = page.locator('lt-viewfinder video');
    await video.evaluate((one: HTMLVideoElement) => {
      one.dataset['begunAnew'] = '0';
      // HTML, media elements: `emptied` is fired when a loaded resource is given up for another.
      one.addEventListener('emptied', () => {
        one.dataset['begunAnew'] = String(Number(one.dataset['begunAnew']) + 1);
      });
    });
    await bench.read();
    await bench.nextAddition();
    await bench.save();
    await bench.add();
    await bench.read();
    expect(await video.getAttribute('data-begun-anew')).toBe('0');
  } finally {
    await journey.close();
    await served.close();
  }
});
