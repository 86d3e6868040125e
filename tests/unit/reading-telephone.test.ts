/**
 * What a telephone does to its pictures: smoothed where it is flat, edges sharpened, compressed with chroma
 * at half size (from memory, of no one maker). JPEG's blocks then draw outlines beside a faint dab.
 */
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import type { Mat, OpenCv } from '../../src/reading/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { runScene } from '../evaluate/one-scene.ts';

/** In OpenCV's package; the reading has no use for it. */
interface Smoothing {
  bilateralFilter(
    from: Mat,
    to: Mat,
    across: number,
    sigmaColour: number,
    sigmaPlace: number,
  ): void;
}

async function processed(
  rgba: Uint8ClampedArray,
  width: number,
  height: number,
): Promise<Uint8ClampedArray> {
  const cv = nodeOpenCv() as OpenCv & Smoothing;
  const rgb = rgba.filter((_, i) => i % 4 < 3);
  const from = cv.matFromArray(height, width, cv.CV_8UC3, rgb);
  const to = new cv.Mat();
  cv.bilateralFilter(from, to, 7, 14, 3);
  const smooth = Uint8Array.from(to.data);
  from.delete();
  to.delete();
  const jpeg = await sharp(smooth, { raw: { width, height, channels: 3 } })
    .sharpen({ sigma: 1.5, m1: 1.2, m2: 1.2 })
    .jpeg({ quality: 88, chromaSubsampling: '4:2:0' })
    .toBuffer();
  return new Uint8ClampedArray(await sharp(jpeg).ensureAlpha().raw().toBuffer());
}

test.each([86, 117, 170, 183])('scene %i, its dab faint, is read, and truthfully', async (seed) => {
  const { bench, given } = await runScene(seed, 'tune');
  const { width, height, truth } = bench;
  const rgba = await processed(bench.rgba, width, height);
  const picture = { width, height, rgba, maxCode: 255, frames: 1 } as const;
  const result = read(nodeOpenCv(), picture, given.regions, given.settings);
  expect(result).toMatchObject({ ok: true });
  if (!result.ok) return;
  const { interval95, deltaE00 } = result.difference;
  expect(truth.difference.deltaE00).toBeGreaterThanOrEqual(interval95[0]);
  expect(truth.difference.deltaE00).toBeLessThanOrEqual(interval95[1]);
  expect(Math.abs(deltaE00 - truth.difference.deltaE00)).toBeLessThan(0.9);
});
