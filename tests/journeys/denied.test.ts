/** What the browser forbids, lacks or asks about: a clear line, and a way on. */
import { afterEach, beforeAll, afterAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;

beforeAll(async () => {
  served = await serveApp();
});
afterAll(() => served.close());
afterEach(() => journey.close());

test.each([
  ['denied', { answer: 'deny' }, /may not be used/],
  ['absent', { camera: 'none' }, /No camera was found/],
] as const)(
  'the camera is %s: it is said, and the demo bench is one step away',
  async (_, wishes, line) => {
    journey = await openBrowser({ ...wishes, size: SIZES.phone });
    const bench = new BenchPage(journey.page, served.address);
    await bench.open();
    await bench.choosePicture();
    await bench.button('Use the camera').click();
    await journey.page.getByText(line).waitFor();
    await bench.button('Choose another picture').click();
    await journey.page.getByText(/^Open photographs/).waitFor();
    await bench.button(/Demo bench/).click();
    await bench.read();
    expect((await bench.difference()).value).toBeGreaterThan(0);
    expect(journey.complaints).toEqual([]);
  },
);

test('where the browser keeps no pictures it is said, in place of opening for ever', async () => {
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  // As in a private window of WebKit: putting a Blob fails, though not at once.
  await journey.page.addInitScript(() => {
    const { prototype } = IDBObjectStore;
    const put = Object.getOwnPropertyDescriptor(prototype, 'put')!;
    const really = put.value as IDBObjectStore['put'];
    Object.defineProperty(prototype, 'put', {
      ...put,
      value(this: IDBObjectStore, value: unknown, key?: IDBValidKey) {
        if (!(value instanceof Blob)) return really.call(this, value, key);
        really.call(this, 'taken', key);
        return this.add('the key is taken', key);
      },
    });
  });
  await journey.page.goto(served.address);
  await journey.page.getByText('This browser does not let the page keep jobs').waitFor();
  await journey.page.getByText('Opening your jobs').waitFor({ state: 'hidden' });
  expect(journey.complaints).toEqual([]);
});

test('whether records may be kept for good is asked and not answered: nothing waits for it', async () => {
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  // As in Firefox, which asks the person.
  await journey.page.addInitScript(() => {
    Object.defineProperty(StorageManager.prototype, 'persist', {
      value: () => new Promise(() => undefined),
    });
  });
  const bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await bench.read();
  await bench.nextAddition();
  // It saves the reading first, and that asks.
  await bench.add();
  await bench.go('map', 'lt-map');
  await journey.page.keyboard.press('p');
  await journey.page.locator('lt-blend-result').waitFor();
  await journey.page.keyboard.press('s');
  await journey.page.getByRole('link', { name: 'Open the saved map' }).waitFor();
  expect(journey.complaints).toEqual([]);
});
