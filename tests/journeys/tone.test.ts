/** The tone response is made from a grey card of unknown value, and from a camera's exposure times. */
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { toneCurve } from '../../calibration-samples/render/isp.ts';
import { lightOfEncoded, type ToneCurve } from '../../src/reading/profile/profile.ts';
import { bytesOf } from '../photographs/bytes.ts';
import { exifBlock, jpegWithExif, pngWithExif, type ExifWish } from '../photographs/exif.ts';
import { stepPicture } from '../unit/profile/step-picture.ts';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let folder: string;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'pattern', size: SIZES.tablet });
  folder = await mkdtemp(join(tmpdir(), 'steps-'));
});
afterAll(async () => {
  await journey.close();
  await served.close();
});

const STEPS = [0.9, 0.72, 0.56, 0.43, 0.32, 0.22, 0.14, 0.08, 0.045];
const camera = (light: number) => toneCurve({ style: 's-curve', strength: 1 }, light);

/** With room at either side: the card's ends then lie where the marks begin, at 20 and 80 %. */
async function photograph(name: string, light: number, steps = STEPS): Promise<string> {
  const { width, height, rgba } = stepPicture({ steps, camera, light });
  const file = join(folder, name);
  await sharp(rgba, { raw: { width, height, channels: 4 } })
    .extend({ left: 100, right: 100, background: '#303030' })
    .png()
    .toFile(file);
  return file;
}

test('a grey card of unknown value in three exposures', async () => {
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.go('profile', 'lt-profile');
  await page.getByRole('link', { name: 'Tone response' }).click();
  await bench.button('A grey step card').click();
  const choose = page.locator('lt-tone input[type=file]');

  const swapped = [...STEPS];
  [swapped[3], swapped[4]] = [swapped[4]!, swapped[3]!];
  await choose.setInputFiles(await photograph('wrong.png', 1, swapped));
  await page.getByText('Step 5 is not darker than step 4').first().waitFor();
  expect(await bench.button('Keep the profile').count()).toBe(0);
  await bench.button('Take away: wrong.png').click();

  await choose.setInputFiles(await photograph('full.png', 1));
  await page.getByText('Give the exposure time of full.png.').waitFor();
  await page.getByLabel('Exposure time, s: full.png').fill('0.02');
  await page.getByText('two shots or more that differ in light').waitFor();
  await choose.setInputFiles([
    await photograph('less.png', 0.75),
    await photograph('half.png', 0.5),
  ]);
  await page.getByLabel('Exposure time, s: less.png').fill('0,015');
  await page.getByLabel('Exposure time, s: half.png').fill('0.01');
  await page.getByText('The curve is found.').waitFor();
  expect(await page.locator('lt-marked-picture lt-handle').count()).toBe(2);
  await page.getByLabel('Name').fill('card, bench lamp');
  await page.getByLabel('Camera', { exact: true }).fill('studio camera');
  await bench.button('Keep the profile').click();
  await page.getByText('Kept and in use: card, bench lamp.').waitFor();
  await bench.go('profile', 'lt-profile');
  await page.getByText(/studio camera, .*; tone response only/).waitFor();
});

/** The tile in the middle of the picture, as a JPEG or, each third one, as a PNG, and what it says of itself. */
async function tileShot(i: number, light: number, wish: ExifWish) {
  const { width, height, rgba } = stepPicture({ steps: [0.95, 0.95, 0.95], camera, light });
  const image = sharp(rgba, { raw: { width, height, channels: 4 } }).removeAlpha();
  const block = exifBlock(wish, i % 2 === 0);
  const isPng = i % 3 === 2;
  const bytes = isPng
    ? pngWithExif(await bytesOf(image.png()), block)
    : jpegWithExif(await bytesOf(image.jpeg({ quality: 98 })), block);
  return {
    name: `shot ${String(i + 1)}.${isPng ? 'png' : 'jpg'}`,
    mimeType: isPng ? 'image/png' : 'image/jpeg',
    buffer: Buffer.from(bytes),
  };
}

test('photographs of the tile bring their exposure times along', async () => {
  const { page } = journey;
  const bench = new BenchPage(page, served.address);
  await bench.go('tone', 'lt-tone');
  await bench.button('The tile').click();
  await bench.button('Exposure time').click();
  const choose = page.locator('lt-tone input[type=file]');
  // A camera's marks, a third of a stop apart; each time behind them is exact (common practice, no source).
  const marks = [15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 160];
  const shots = await Promise.all(
    marks.map((mark, i) =>
      tileShot(i, 0.9 * 2 ** (-i / 3), { time: [10, 10 * mark], fNumber: [8, 1], iso: 200 }),
    ),
  );
  await choose.setInputFiles(shots);
  await page.getByText('The curve is found.').waitFor();
  expect(await page.getByLabel('Exposure time, s: shot 7.jpg').inputValue()).toBe('1/60');
  expect(await page.getByLabel('Exposure time, s: shot 9.png').inputValue()).toBe('1/100');
  await page.getByText(/times are rounded, as 1\/60 for 1\/64 s/).waitFor();
  expect(await page.getByLabel(/^ISO/).count()).toBe(0);
  // The curve on the screen against the camera's: light of each code, within 1 % of range.
  const tone = await page
    .locator('lt-tone-curve')
    .evaluate((element) => (element as unknown as { tone: ToneCurve[] }).tone);
  for (const curve of tone) {
    const scale = 0.85 / lightOfEncoded(curve, camera(0.85));
    for (const light of [0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8]) {
      const back = scale * lightOfEncoded(curve, camera(light));
      expect(Math.abs(back - light) / 0.85).toBeLessThan(0.01);
    }
  }

  // A photograph without data is asked for by name; it says so at its place.
  const silent = await tileShot(11, 0.9 * 2 ** -1.5, {});
  await choose.setInputFiles({ ...silent, name: 'scan.png' });
  await page.getByText('Give the exposure time of scan.png.').waitFor();
  await page.getByText('Carries no exposure time: type it.').waitFor();
  await bench.button('Take away: scan.png').click();
  await page.getByText('The curve is found.').waitFor();

  // The same exposure, another lamp.
  const lit = await tileShot(0, 0.5, { time: [1, 15], fNumber: [8, 1], iso: 200 });
  await choose.setInputFiles({ ...lit, name: 'later.jpg' });
  await page
    .getByText('later.jpg and shot 1.jpg have the same exposure, yet the tile is brighter')
    .waitFor();
  await bench.button('Take away: later.jpg').click();

  // Another speed: its field appears at every shot, and the light is reckoned with it.
  const faster = await tileShot(0, 0.9 * 2 ** (-2 / 3), {
    time: [1, 50],
    fNumber: [8, 1],
    iso: 400,
  });
  await choose.setInputFiles({ ...faster, name: 'faster.jpg' });
  await page.getByText('The ISO changed from shot to shot.').waitFor();
  expect(await page.getByLabel(/^ISO/).count()).toBe(marks.length + 1);
  expect(await page.getByLabel('ISO: faster.jpg').inputValue()).toBe('400');
  for (const [name, size] of Object.entries(SIZES)) {
    await page.setViewportSize(size);
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    expect([name, width]).toEqual([name, size.width]);
  }
  await page.setViewportSize(SIZES.tablet);
  await bench.button('Take away: faster.jpg').click();
  await page.getByLabel('Name').fill('sweep of photographs');
  await page.getByLabel('Camera', { exact: true }).fill('studio camera');
  await bench.button('Keep the profile').click();
  await page.getByText('Kept and in use: sweep of photographs.').waitFor();
});

/** A camera that follows `exposureTime`: a tile through an S-curve, drawn on a canvas. */
const EXPOSING = `(() => {
  const encoded = (x) => {
    const e = x <= 0.0031308 ? 12.92 * x : 1.055 * x ** (1 / 2.4) - 0.055;
    return e - (0.15 * Math.sin(2 * Math.PI * e)) / (2 * Math.PI);
  };
  navigator.mediaDevices.getUserMedia = async () => {
    const canvas = document.createElement('canvas');
    canvas.width = 640;
    canvas.height = 480;
    const context = canvas.getContext('2d');
    const now = { exposureTime: 250, exposureMode: 'manual' };
    setInterval(() => {
      const code = Math.round(255 * encoded(Math.min(1, (0.8 * now.exposureTime) / 250)));
      context.fillStyle = 'rgb(80 80 80)';
      context.fillRect(0, 0, 640, 480);
      context.fillStyle = \`rgb(\${code} \${code} \${code})\`;
      context.fillRect(220, 140, 200, 200);
    }, 30);
    const stream = canvas.captureStream(30);
    const [track] = stream.getVideoTracks();
    const settings = track.getSettings.bind(track);
    track.getCapabilities = () => ({
      exposureMode: ['manual', 'continuous'],
      exposureTime: { min: 3, max: 2000, step: 1 },
    });
    track.getSettings = () => ({ ...settings(), width: 640, height: 480, ...now });
    track.applyConstraints = async ({ advanced: [wish] }) => Object.assign(now, wish);
    return stream;
  };
})()`;

test('the exposure times of a camera are swept on the tile', async () => {
  const { page } = journey;
  await page.addInitScript(EXPOSING);
  await page.reload();
  const bench = new BenchPage(page, served.address);
  await bench.go('bench', 'lt-bench');
  await bench.choosePicture();
  await bench.button('Use the camera').click();
  await page.locator('lt-bench video').waitFor();
  await bench.go('tone', 'lt-tone');
  const video = page.locator('lt-tone video');
  await video.waitFor();
  await expect
    .poll(() => video.evaluate((one) => (one as HTMLVideoElement).readyState))
    .toBeGreaterThanOrEqual(2);
  await bench.button('Sweep the exposure times').click();
  // Any of them: one stands for half a second, no longer than a look at the page may be apart.
  await page.getByText(/Exposure \d+ of 12/).waitFor();
  await page.getByText('The curve is found.').waitFor();
  expect(await page.getByText('Usable.').count()).toBeGreaterThan(8);
  // Within the noise of whole codes.
  await page.getByText(/within 0\.[0-3]\d % of range/).waitFor();
});
