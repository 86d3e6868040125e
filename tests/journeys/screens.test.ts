/** Every screen at three sizes: axe has nothing against it, and the bench is in sight at once. */
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { TOUR } from './tour.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

let served: Served;
beforeAll(async () => {
  served = await serveApp();
});
afterAll(() => served.close());

describe.each(Object.entries(SIZES))('%s', (_, size) => {
  let journey: Journey;
  let bench: BenchPage;

  beforeAll(async () => {
    journey = await openBrowser({ camera: 'none', size });
    // The page's own policy keeps foreign scripts out: axe comes before it.
    await journey.page.addInitScript({ path: AXE });
    bench = new BenchPage(journey.page, served.address);
    await bench.open();
  });
  afterAll(() => journey.close());

  test.each(TOUR)('$name', async (stop) => {
    await stop.go(journey.page, bench);
    const { violations } = await journey.page.evaluate(
      (tags) =>
        (window as unknown as { axe: { run(o: object): Promise<AxeResults> } }).axe.run({
          runOnly: tags,
        }),
      TAGS,
    );
    const found = violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map((n) => n.target.flat().join(' > ')).join(' | ')}`,
    );
    expect(found).toEqual([]);
    if (stop.name.startsWith('bench-')) await expectAllInSight(bench, size);
  });
});

/** No scrolling on the bench: each part lies within the window, and none over another. */
async function expectAllInSight(bench: BenchPage, size: { width: number; height: number }) {
  const parts = [
    '.guide',
    '.picture',
    '.tools',
    '.swatches',
    '.reading',
    '.nudge',
    '.attempts',
    '.actions',
  ];
  const found = await bench.boxesOf(...parts);
  const boxes = parts.map((part, i) => ({ part, box: found[i]! }));
  for (const { part, box } of boxes) {
    expect(box.x, part).toBeGreaterThanOrEqual(0);
    expect(box.y, part).toBeGreaterThanOrEqual(0);
    expect(box.x + box.width, part).toBeLessThanOrEqual(size.width + 0.5);
    expect(box.y + box.height, part).toBeLessThanOrEqual(size.height + 0.5);
  }
  for (const [i, one] of boxes.entries()) {
    for (const other of boxes.slice(i + 1)) {
      const apart =
        one.box.x + one.box.width <= other.box.x + 0.5 ||
        other.box.x + other.box.width <= one.box.x + 0.5 ||
        one.box.y + one.box.height <= other.box.y + 0.5 ||
        other.box.y + other.box.height <= one.box.y + 0.5;
      expect(apart, `${one.part} over ${other.part}`).toBe(true);
    }
  }
}
