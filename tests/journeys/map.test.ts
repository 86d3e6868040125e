/** The blend map: sprayed on the demo bench, and drawn round on a photograph whose truth is known. */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BenchFilm } from '../../calibration-samples/render/bench.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import { readBundleFile } from '../../src/store/bundle-file.ts';
import { BenchPage, SIZES, type Picture, type Point } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { photographOf } from './rendered.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
});
afterAll(() => served.close());

const begin = async (size: { width: number; height: number }) => {
  journey = await openBrowser({ camera: 'none', size });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
};

/** The numbers of the map as the screen shows them: percentages from 0 to 100. */
async function numbers() {
  const result = journey.page.locator('lt-blend-result');
  await result.waitFor();
  const text = await result.evaluate((one) => one.shadowRoot!.textContent.replace(/\s+/g, ' '));
  const shares = [...text.split('As a whole')[0]!.matchAll(/(under )?(\d+) %/g)].map(
    ([, , share]) => Number(share),
  );
  const [, median, worst, words] = /Median ([\d.]+) Worst place ([\d.]+), ([^T]*)/.exec(text) ?? [];
  return {
    accepted: shares[0]!,
    seen: shares[1]!,
    interval: /95 %: ([\d.]+) to ([\d.]+)/.exec(text)!.slice(1).map(Number),
    median: Number(median),
    worst: Number(worst),
    words: words?.trim() ?? '',
  };
}

const hatchings = () =>
  journey.page
    .locator('lt-viewfinder')
    .evaluate((one) => one.shadowRoot!.querySelectorAll('path[fill^="url"]').length);

const focused = () =>
  journey.page.evaluate(() => {
    let at = document.activeElement;
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
    return at?.getAttribute('aria-label') ?? '';
  });

describe('on the demo bench, by keys alone', () => {
  beforeAll(() => begin(SIZES.laptop));
  afterAll(() => journey.close());

  test('the first mix, sprayed, shows all over, and how', async () => {
    await journey.page.getByText('Press Read to take the reading.').waitFor();
    await journey.page.keyboard.press('m');
    await journey.page.getByText('Draw round the sprayed area in').waitFor();
    await journey.page.keyboard.press('p');
    const { accepted, seen, worst, words } = await numbers();
    // The demo bench's first pot is white with a trace of blue: it is lighter than the glaze.
    expect(accepted).toBeGreaterThan(60);
    expect(seen).toBeGreaterThanOrEqual(accepted);
    expect(worst).toBeGreaterThan(5);
    expect(words).toContain('lighter');
    await expect.poll(hatchings).toBe(2);
  });

  test('the bare picture has nothing over it, and the map comes back', async () => {
    await journey.page.keyboard.press('b');
    await expect.poll(hatchings).toBe(0);
    await journey.page.keyboard.press('b');
    await expect.poll(hatchings).toBe(2);
  });

  test('the outline is moved by Tab and arrows, and the map is made anew', async () => {
    await journey.page.keyboard.press('o');
    await expect.poll(focused).toMatch(/^whole outline, at/);
    await journey.page.keyboard.press('Tab');
    await expect.poll(focused).toMatch(/^outline corner 1 of 8/);
    const [x, y] = /(\d+), (\d+)/
      .exec(await focused())!
      .slice(1)
      .map(Number);
    await journey.page.keyboard.press('ArrowRight');
    await expect.poll(focused).toBe(`outline corner 1 of 8, at ${x! + 8}, ${y}`);
    await journey.page.keyboard.press('o');
    expect((await numbers()).worst).toBeGreaterThan(5);
  });

  test('it is saved with its picture, and stands in the record and in the job’s file', async () => {
    const { page } = journey;
    await page.keyboard.press('s');
    await page.getByRole('link', { name: 'Open the saved map' }).click();
    const image = page.locator('lt-map-record svg image');
    await image.waitFor({ state: 'attached' });
    const saved = await numbers();
    expect(saved.worst).toBeGreaterThan(5);
    await page.reload();
    expect(await numbers()).toEqual(saved);

    await page.getByRole('link', { name: 'Jobs' }).click();
    await page.getByRole('link', { name: 'Record' }).first().click();
    await page.getByRole('columnheader', { name: 'Blend map' }).waitFor();
    const downloading = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Whole job as a file' }).click();
    const file = await (await downloading).path();
    const bundle = readBundleFile(new Uint8Array(readFileSync(file)));
    if (!bundle.ok) throw new Error(bundle.faults.join());
    const maps = bundle.record.items.filter(({ record }) => record.kind === 'map');
    expect(maps).toHaveLength(1);
    expect(Object.keys(maps[0]!.attachments).sort()).toEqual(['crop', 'thumbnail']);
  });

  test('back on the bench the dab is there again, and is read', async () => {
    await journey.page.getByRole('link', { name: 'Bench' }).click();
    await bench.read();
    expect((await bench.difference()).value).toBeGreaterThan(5);
    expect(journey.complaints).toEqual([]);
  });
});

describe('on a photograph, by finger', () => {
  /** An even patch of paint on a flat piece: what was sprayed is `deltaE00` from the glaze all over. */
  const patch = (deltaE00: number, fault?: 'tile-missing') =>
    new BenchFilm(
      sampleScene(13, 'judge', {
        ...(fault && { fault }),
        size: [1280, 720],
        shape: 'flat',
        highlight: 'none',
        texture: 'plain',
        band: false,
        reflection: 'none',
        dabPixels: 170,
        deltaE00,
        level: 0.82,
        pigments: 'same',
        lightness: [60, 80],
      }),
      new Random(5),
    );

  beforeAll(async () => {
    await begin(SIZES.phone);
    // The demo bench is there first: a photograph then takes its place.
    await journey.page.getByText('Press Read to take the reading.').waitFor();
  });
  afterAll(() => journey.close());

  /** Draws round a circle of the picture, given in its own pixels. */
  async function drawRound(picture: Picture, { x, y, radius }: Point & { radius: number }) {
    const { page } = journey;
    const box = (await page.locator('lt-viewfinder').boundingBox())!;
    const scale = Math.max(picture.width / box.width, picture.height / box.height);
    const at = (turn: number) =>
      [
        box.x + box.width / 2 + (x + radius * Math.cos(turn) - picture.width / 2) / scale,
        box.y + box.height / 2 + (y + radius * Math.sin(turn) - picture.height / 2) / scale,
      ] as const;
    await page.mouse.move(...at(0));
    await page.mouse.down();
    for (let step = 1; step <= 32; step += 1) await page.mouse.move(...at((step * Math.PI) / 16));
    await page.mouse.up();
  }

  const open = async (film: BenchFilm, name: string) => {
    const { page } = journey;
    if ((await page.locator('lt-bench').count()) === 0) {
      await page.getByRole('link', { name: 'Bench' }).click();
    }
    await bench.openPhoto(await photographOf(film, name));
    // The one before asks for its dab as well.
    await page.locator('lt-bench .chip', { hasText: name }).waitFor();
    await page.getByText('Tap the dab in the picture.').waitFor();
    await bench.button('Map').click();
    await page.getByText('Draw round the sprayed area in').waitFor();
  };

  test('paint 3 ΔE₀₀ from its glaze: the median is that, nearly all of it is more than accepted', async () => {
    const film = patch(3);
    const truth = film.truth.difference.deltaE00;
    const { dab } = film.truth.regions;
    await open(film, 'off.png');
    await drawRound(film, { ...dab, radius: 0.85 * dab.radius });
    const { median, accepted, worst, words, interval } = await numbers();
    console.log(`photograph: median ${median}, truth ${truth.toFixed(2)}, ${accepted} % above 1.8`);
    expect(Math.abs(median - truth)).toBeLessThan(0.4);
    expect(interval[0]).toBeLessThan(truth);
    expect(interval[1]).toBeGreaterThan(truth);
    expect(accepted).toBeGreaterThan(90);
    expect(worst).toBeLessThan(truth + 1);
    // The scene's dab is darker by more than it differs otherwise.
    expect(film.truth.difference.lab[0]).toBeLessThan(-2);
    expect(words).toContain('darker');
  });

  test('paint of the glaze’s own colour: nothing is more than accepted', async () => {
    const film = patch(0);
    const { dab } = film.truth.regions;
    await open(film, 'equal.png');
    await drawRound(film, { ...dab, radius: 0.85 * dab.radius });
    const { median, accepted, seen } = await numbers();
    expect(median).toBeLessThan(0.6);
    expect(accepted).toBe(0);
    expect(seen).toBeLessThan(15);
  });

  test('a photograph without a tile gives no map, but says what is missing; the outline can be taken back', async () => {
    const film = patch(3, 'tile-missing');
    const { dab } = film.truth.regions;
    await open(film, 'no-tile.png');
    await drawRound(film, { ...dab, radius: 0.85 * dab.radius });
    const refused = journey.page.locator('lt-refusal');
    await refused.waitFor();
    expect(await refused.evaluate((one) => one.shadowRoot!.textContent)).toMatch(/tile/);
    expect(await journey.page.getByRole('button', { name: /^Save/ }).isDisabled()).toBe(true);
    await bench.button(/^Outline/).click();
    await bench.button('Start again').click();
    await journey.page.getByText('Draw round the sprayed area in').waitFor();
    expect(journey.complaints).toEqual([]);
  });
});
