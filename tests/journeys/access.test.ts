/** Keys alone, 200 % zoom, and a first view that waits for no engine. */
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import type {} from '../../src/ui/elements/nudge.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;

beforeAll(async () => {
  served = await serveApp();
});
afterAll(() => served.close());
afterEach(() => journey.close());

const focused = () =>
  journey.page.evaluate(() => {
    let at = document.activeElement;
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
    return at?.getAttribute('aria-label') ?? '';
  });

test('the dab is pointed at by keys: D, then arrows', async () => {
  journey = await openBrowser({ camera: 'none', size: SIZES.laptop });
  const bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await journey.page.getByText('Press Read to take the reading.').waitFor();
  await journey.page.keyboard.press('d');
  await expect.poll(focused).toMatch(/^dab, at/);
  const [x, y] = /(\d+), (\d+)/
    .exec(await focused())!
    .slice(1)
    .map(Number);
  await journey.page.keyboard.press('ArrowRight');
  await journey.page.keyboard.press('Shift+ArrowDown');
  await expect.poll(focused).toBe(`dab, at ${x! + 8}, ${y! + 1}`);
  await journey.page.keyboard.press('t');
  await expect.poll(focused).toMatch(/^tile corner 1 of 4/);
  await journey.page.keyboard.press('Tab');
  await expect.poll(focused).toMatch(/^tile corner 2 of 4/);
});

test('single keys can be turned off', async () => {
  journey = await openBrowser({ camera: 'none', size: SIZES.laptop });
  const bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await journey.page.keyboard.press('?');
  await journey.page.getByLabel('Single keys work on the bench').uncheck();
  await journey.page.keyboard.press('Escape');
  await journey.page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
  await journey.page.keyboard.press('?');
  expect(await journey.page.locator('lt-sheet[open]').count()).toBe(0);
});

test('at 200 % zoom of a laptop nothing is cut: the page scrolls down, never sideways', async () => {
  // 1280 × 1000 at 200 % leaves 640 × 500 CSS pixels (WCAG 2.2, 1.4.4 and 1.4.10).
  journey = await openBrowser({ camera: 'none', size: { width: 640, height: 500 } });
  const bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await bench.read();
  await bench.nextAddition();
  const sideways = await journey.page.evaluate(() => {
    const main = document.querySelector('lt-app')!.shadowRoot!.querySelector('main')!;
    return main.scrollWidth - main.clientWidth;
  });
  expect(sideways).toBe(0);
  const added = bench.button(/^Added it/);
  await added.scrollIntoViewIfNeeded();
  const box = (await added.boundingBox())!;
  expect(box.y + box.height).toBeLessThanOrEqual(500);
});

test('a tablet held upright: the picture has the whole width, reading and addition stand side by side', async () => {
  const size = { width: 820, height: 1180 };
  journey = await openBrowser({ camera: 'none', size });
  const bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await bench.read();
  await bench.nextAddition();
  const [picture, swatches, reading, nudge, actions] = await bench.boxesOf(
    '.picture',
    '.swatches',
    '.reading',
    '.nudge',
    '.actions',
  );
  expect(picture!.width).toBe(size.width);
  expect(picture!.height).toBeGreaterThan(size.height / 4);
  expect(swatches!.y + swatches!.height).toBeLessThanOrEqual(reading!.y);
  expect(reading!.x + reading!.width).toBeLessThanOrEqual(nudge!.x);
  expect(nudge!.y).toBe(reading!.y);
  expect(nudge!.y + nudge!.height).toBeLessThanOrEqual(actions!.y);
  expect(actions!.y + actions!.height).toBeLessThanOrEqual(size.height);
});

test.each([1280, 1920])(
  'in a low window %i wide an addition of four paints shows what is expected of it',
  async (width) => {
    journey = await openBrowser({ camera: 'none', size: { width, height: 600 } });
    const { page } = journey;
    const bench = new BenchPage(page, served.address);
    await bench.open();
    await bench.read();
    await bench.nextAddition();
    // Of four paints, whatever the reading wants: what is said of it is not what is looked at.
    await page.locator('lt-nudge').evaluate(async (element) => {
      const nudge = element as HTMLElementTagNameMap['lt-nudge'];
      const four = {
        ...nudge.suggestions[0]!,
        preDiluted: [],
        additions: { white: 1.2, blue: 0.012, 'yellow-earth': 0.11, black: 0.008 },
      };
      nudge.suggestions = [four, { ...four }];
      await nudge.updateComplete;
    });
    const panel = (await page.locator('.panel.nudge').boundingBox())!;
    const expected = page.locator('lt-nudge .expected');
    expect(await expected.count()).toBe(2);
    for (const one of await expected.all()) {
      const box = (await one.boundingBox())!;
      expect(box.y).toBeGreaterThanOrEqual(panel.y);
      expect(box.y + box.height).toBeLessThanOrEqual(panel.y + panel.height);
    }
  },
);

test.each([
  ['phone', SIZES.phone],
  ['laptop', SIZES.laptop],
])('text at twice its size on a %s: no button cuts its words', async (_, size) => {
  // WCAG 2.2, 1.4.4: text alone is enlarged, the window stays as wide as it was.
  journey = await openBrowser({ camera: 'none', size });
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await bench.read();
  await bench.nextAddition();
  await page.evaluate(() => (document.documentElement.style.fontSize = '200%'));
  const cut = () =>
    page.evaluate(() => {
      const app = document.querySelector('lt-app')!.shadowRoot!;
      const bench = app.querySelector('lt-bench')!.shadowRoot!;
      const difference = bench
        .querySelector('lt-result')!
        .shadowRoot!.querySelector('lt-difference')!;
      const buttons = [
        ...app.querySelectorAll('nav a'),
        ...bench.querySelectorAll('.tools button, .actions button'),
        ...difference.shadowRoot!.querySelectorAll('.line'),
      ];
      const outside = buttons.filter((one) => {
        const range = document.createRange();
        range.selectNodeContents(one);
        const [box, words] = [one.getBoundingClientRect(), range.getBoundingClientRect()];
        return words.left < box.left - 1 || words.right > box.right + 1 || box.right > innerWidth;
      });
      const title = app.querySelector('h1')!;
      return {
        cut: outside.map((one) => one.textContent.replace(/\s+/g, ' ').trim()),
        title: title.clientWidth > 0 && title.getBoundingClientRect().left >= 0,
      };
    });
  await expect.poll(cut).toEqual({ cut: [], title: true });
});

test('in colours of the person’s own the swatches keep theirs, and the interval is drawn', async () => {
  journey = await openBrowser({ camera: 'none', size: SIZES.tablet });
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await bench.read();
  const painted = () =>
    page.evaluate(() => {
      const bench = document
        .querySelector('lt-app')!
        .shadowRoot!.querySelector('lt-bench')!.shadowRoot!;
      const difference = bench
        .querySelector('lt-result')!
        .shadowRoot!.querySelector('lt-difference')!.shadowRoot!;
      const swatches = bench.querySelector('lt-swatches')!.shadowRoot!;
      return [
        swatches.querySelector('.dab')!,
        swatches.querySelector('.glaze')!,
        difference.querySelector('.bar')!,
      ].map((one) => getComputedStyle(one).backgroundColor);
    });
  const before = await painted();
  expect(before[0]).not.toBe(before[1]);
  await page.emulateMedia({ forcedColors: 'active' });
  expect(await painted()).toEqual(before);
});

const SCREENS = {
  jobs: 'lt-jobs',
  palette: 'lt-palette',
  settings: 'lt-settings',
  light: 'lt-light',
  lamps: 'lt-lamps',
  profile: 'lt-profile',
  tone: 'lt-tone',
  film: 'lt-film',
  pot: 'lt-pot-screen',
  spray: 'lt-spray',
  shelf: 'lt-shelf',
  map: 'lt-map',
} as const;

test('at 200 % zoom every other screen scrolls down only, and Tab reaches all there is on it', async () => {
  journey = await openBrowser({ camera: 'none', size: { width: 640, height: 500 } });
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.open();
  await page.getByText('Press Read to take the reading.').waitFor();
  for (const [screen, element] of Object.entries(SCREENS)) {
    await bench.go(screen, element);
    // What is still coming in moves what was found: then the screen is gone through once more.
    for (let round = 1; ; round++) {
      const { sideways, names } = await allThere(page, element);
      const { missed, unseen } = await byTab(page, names);
      const isAsItWas = (await page.evaluate(tabStops, element)).names.join() === names.join();
      if (!isAsItWas && round < MOST_ROUNDS) continue;
      expect(sideways, `${screen} scrolls sideways`).toBeLessThanOrEqual(0);
      expect(names.length, `controls on ${screen}`).toBeGreaterThan(0);
      expect(unseen, `out of view on ${screen} when Tab comes to it`).toEqual([]);
      expect(missed, `not reached on ${screen}`).toEqual([]);
      break;
    }
  }
});

/** Goes through a screen by Tab: what is never reached, and what is not in view when it is. */
async function byTab(page: Page, names: readonly string[]) {
  const reached = new Set<number>();
  const unseen: string[] = [];
  for (let press = 0; press < names.length + 30 && reached.size < names.length; press++) {
    await page.keyboard.press('Tab');
    const { at, inView } = await page.evaluate(focusedStop);
    if (at < 0) continue;
    if (!inView) unseen.push(names[at]!);
    reached.add(at);
  }
  return { missed: names.filter((_, i) => !reached.has(i)), unseen };
}
const MOST_ROUNDS = 4;

/** What a screen shows comes piece by piece: looked at until nothing has come for a while. */
async function allThere(page: Page, element: string) {
  let seen = await page.evaluate(tabStops, element);
  for (let look = 0; look < MOST_LOOKS; look++) {
    await page.waitForTimeout(300);
    const before = JSON.stringify(seen);
    seen = await page.evaluate(tabStops, element);
    if (JSON.stringify(seen) === before && seen.names.length > 0) break;
  }
  return seen;
}
const MOST_LOOKS = 20;

/** In the page: what a person could use on the screen, kept for `focusedStop`; of radios one stands for all. */
function tabStops(element: string): { sideways: number; names: string[] } {
  const app = document.querySelector('lt-app')!.shadowRoot!;
  const main = app.querySelector('main')!;
  const stops: HTMLElement[] = [];
  const walk = (root: ParentNode) => {
    for (const one of root.querySelectorAll<HTMLElement>('*')) {
      const usable = one.matches(
        'a[href], button:not(:disabled), input:not(:disabled, [type=radio]), select, textarea',
      );
      if (usable && one.checkVisibility({ visibilityProperty: true })) stops.push(one);
      if (one.shadowRoot) walk(one.shadowRoot);
    }
  };
  walk(app.querySelector(element)!.shadowRoot!);
  Object.assign(window, { stops });
  return {
    sideways: main.scrollWidth - main.clientWidth,
    names: stops.map((one) => one.ariaLabel ?? (one.textContent.trim() || one.tagName)),
  };
}

function focusedStop(): { at: number; inView: boolean } {
  let focus = document.activeElement;
  while (focus?.shadowRoot?.activeElement) focus = focus.shadowRoot.activeElement;
  const { stops } = window as unknown as { stops: readonly Element[] };
  const at = focus ? stops.indexOf(focus) : -1;
  const box = focus?.getBoundingClientRect();
  return { at, inView: !!box && box.bottom > 0 && box.top < innerHeight && box.right > 0 };
}

test('the bench is there, and can be looked at, before the reading engine has come', async () => {
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  let asked = 0;
  // The engine never arrives.
  await journey.page.route(/opencv.*\.wasm/, () => {
    asked += 1;
  });
  const bench = new BenchPage(journey.page, served.address);
  await bench.open();
  // By either worker that needs it: the one that follows the tile, or the one that reads.
  await expect.poll(() => asked).toBeGreaterThan(0);
  await journey.page.getByText('the reading engine is loading').waitFor();
  const video = journey.page.locator('video');
  await expect
    .poll(() => video.evaluate((v) => (v as HTMLVideoElement).videoWidth))
    .toBeGreaterThan(0);
});
