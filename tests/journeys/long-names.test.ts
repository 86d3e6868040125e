/** On a phone, every screen with numbers as in German and names as long as they may be. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { TOUR } from './tour.ts';

const JOB = 'Gaststättenporzellanrestaurierung für das Heimatmuseum, dritte Lieferung, '.padEnd(
  120,
  'Scherbenverklebung',
);
const PIECE = 'Suppenterrinendeckelknauf mit aufgelegten Blättern und Ranken, zweite Fassung';
const AREA = 'Unterglasurblaustreifenuntergrund neben dem Henkelansatz links';
const PIGMENT = 'Manganumbra, zyprisch, gebrannt und dreimal fein geschlämmt.';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  const { page } = journey;
  bench = new BenchPage(page, served.address);
  await bench.open();
  const kept = async () => {
    await bench.button(/^Keep/).click();
    await page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
  };
  await bench.go('settings', 'lt-settings form');
  await page.getByLabel('Language of numbers and dates').selectOption('de');
  await bench.button(/^Keep/).click();
  await page.getByText('Kept. They hold').waitFor();
  await bench.go('jobs', 'lt-jobs .area');
  await bench.button(/^Edit the job/).click();
  await page.getByLabel('Title').fill(JOB);
  await kept();
  await bench.button(/^Edit the area/).click();
  await page.getByLabel('Name').fill(AREA);
  await kept();
  await page.getByRole('link', { name: 'Record' }).click();
  await bench.button('Write').click();
  await page.getByLabel('Piece', { exact: true }).fill(PIECE);
  await kept();
  await bench.go('palette', 'lt-palette lt-pigment:last-of-type');
  await bench.button('Edit raw umber').click();
  await page.getByLabel('What you call it').fill(PIGMENT);
  await kept();
  await bench.go('bench', 'lt-bench');
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

test.each(TOUR)('$name', async (stop) => {
  await stop.go(journey.page, bench);
  const { texts, outside } = await seen(journey);
  expect(outside).toEqual([]);
  const withPoint = texts.filter((text) => /\d\.\d/.test(text.replace(NO_NUMBER, '')));
  expect(withPoint.filter((text) => !BY_THE_CORE.test(text))).toEqual([]);
});

/** Dates, and on Settings the languages with their examples. */
const NO_NUMBER = /\d{1,2}\.\d{1,2}\.\d{2,4}|(English|中文|日本語): 1\.8/g;
/** Sentences that the paint core writes, which knows no language. */
const BY_THE_CORE = /overshoot risk|as far as dosing allows/;

/** All that is written, names for screen readers included; and what sticks out at the side. */
async function seen({ page }: Journey) {
  return await page.evaluate((width) => {
    const texts: string[] = [];
    const outside: string[] = [];
    const left: { node: Node; mayScroll: boolean }[] = [{ node: document.body, mayScroll: false }];
    for (let at = left.pop(); at; at = left.pop()) {
      const { node } = at;
      let { mayScroll } = at;
      if (node instanceof HTMLStyleElement || node instanceof HTMLScriptElement) continue;
      if (node instanceof Text) texts.push(node.data.replace(/\s+/g, ' ').trim());
      if (node instanceof Element) {
        for (const name of ['aria-label', 'title', 'placeholder', 'alt']) {
          texts.push(node.getAttribute(name) ?? '');
        }
        if (node instanceof HTMLInputElement) texts.push(node.value);
        const style = getComputedStyle(node);
        // What scrolls or cuts by intention, and the picture with what is drawn over it.
        const cuts = ['auto', 'scroll', 'hidden', 'clip'].includes(style.overflowX);
        mayScroll ||= cuts && node.tagName !== 'MAIN' && !node.matches('dialog, dialog *');
        const box = node.getBoundingClientRect();
        // Text may stick out of its own box.
        const right = Math.max(box.right, box.left + node.scrollWidth);
        if (!mayScroll && box.width > 0 && (right > width + 0.5 || box.left < -0.5)) {
          outside.push(
            `${node.tagName.toLowerCase()}.${node.className} ${node.textContent.trim()}`,
          );
        }
        for (const child of node.shadowRoot?.childNodes ?? [])
          left.push({ node: child, mayScroll });
      }
      for (const child of node.childNodes) left.push({ node: child, mayScroll });
    }
    return { texts, outside };
  }, SIZES.phone.width);
}
