/** Room runs out: warned before, nothing lost when it does, handed out as a file, kept once there is room. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { unzipSync } from 'fflate';
import { BenchPage, keptForOffline, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;
let quota: (bytes?: number) => Promise<void>;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.phone, trueQuota: true });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
  const inspector = await journey.context.newCDPSession(journey.page);
  const { origin } = new URL(served.address);
  quota = async (bytes) => {
    const quotaSize = bytes === undefined ? {} : { quotaSize: bytes };
    await inspector.send('Storage.overrideQuotaForOrigin', { origin, ...quotaSize });
  };
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

const used = () => journey.page.evaluate(async () => (await navigator.storage.estimate()).usage!);

/** Whether the browser's database takes anything more of this page. */
const writesMore = () =>
  journey.page.evaluate(
    () =>
      new Promise<boolean>((resolve) => {
        const opening = indexedDB.open('probe', 1);
        opening.onupgradeneeded = () => opening.result.createObjectStore('bytes');
        opening.onerror = () => resolve(false);
        opening.onsuccess = () => {
          const db = opening.result;
          const writing = db.transaction('bytes', 'readwrite');
          writing.objectStore('bytes').put(new Uint8Array(100_000), 1);
          writing.oncomplete = () => resolve(true);
          writing.onabort = () => resolve(false);
        };
      }),
  );

test('little room is said before it ends, and nothing stops', async () => {
  await bench.read();
  // Else the app's own files would still come in, and take the room up.
  await keptForOffline(journey.page);
  await quota((await used()) + 15 * 2 ** 20);
  await bench.save();
  await journey.page.getByText('Little room is left for jobs on this device').waitFor();
  await bench.button('Later').click();
});

test('a reading that finds no room is said to be not kept, held, and handed out as a file', async () => {
  const { page } = journey;
  await page.keyboard.press('l');
  await bench.read();
  await quota(1024);
  // The browser promises room ahead for half a minute; until that is over it would still write.
  await expect.poll(writesMore, { interval: 1000 }).toBe(false);
  await page.keyboard.press('s');
  await page.getByText(/Not kept: 1 reading\. Held in this window/).waitFor();
  await page.getByText('No room is left on this device').first().waitFor();
  // What was kept before is untouched.
  expect(await bench.attempts()).toHaveLength(1);
  // A second press makes no second of it.
  await page.keyboard.press('s');
  await page.getByText(/Not kept: 1 reading\./).waitFor();

  const [file] = await Promise.all([
    page.waitForEvent('download'),
    bench.button('Save as a file').click(),
  ]);
  const parts = unzipSync(Uint8Array.from(readFileSync(await file.path())));
  const { readings, areas, attempts, palettes } = JSON.parse(
    Buffer.from(parts['job.json']!).toString('utf8'),
  ) as Record<string, unknown[]>;
  expect([readings, areas, attempts, palettes].map((list) => list!.length)).toEqual([1, 1, 1, 1]);
  expect(Object.keys(parts).filter((name) => name.endsWith('crop.png'))).toHaveLength(1);
});

test('leaving the page asks first', async () => {
  const { page } = journey;
  expect(await bench.askedOnLeaving()).toBe('beforeunload');
  expect(await page.getByText(/Not kept: 1 reading/).isVisible()).toBe(true);
});

test('once there is room it is kept, and is there tomorrow', async () => {
  const { page } = journey;
  await quota();
  await bench.button('Try again').click();
  await page.getByText(/Not kept/).waitFor({ state: 'detached' });
  await expect.poll(async () => (await bench.attempts()).length).toBe(2);
  await page.reload();
  await expect.poll(async () => (await bench.attempts()).length).toBe(2);
});
