/** One bench of known colours, photographed in every kind of file: the same reading. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { nodeOpenCv } from '../../../src/headless/opencv.ts';
import { loadPhoto } from '../../../src/headless/photo.ts';
import { read } from '../../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../../src/reading/settings.ts';
import type { Reading } from '../../../src/reading/types.ts';
import { labD65 } from '../../../src/colour/spaces.ts';
import { bytesOf } from '../../photographs/bytes.ts';
import { rawOf } from '../../photographs/raw-of.ts';
import {
  benchThings,
  between,
  deltaE2000,
  GLAZE_LAB,
  REGIONS,
  shoot,
  TILE_LAB,
  type Triple,
} from '../reading-scene.ts';

const folder = mkdtempSync(join(tmpdir(), 'kinds-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** Towards a lighter, yellower colour. */
const DAB_LAB: Triple = between(GLAZE_LAB, [76, -4, 24], 0.3);
const TRUE_DIFFERENCE = deltaE2000(GLAZE_LAB, DAB_LAB);
const readings: Record<string, Reading> = {};

beforeAll(async () => {
  const picture = shoot({ things: benchThings({ dabLab: DAB_LAB }), maxCode: 65535 });
  const { width, height, rgba } = picture;
  const deep = sharp(Uint16Array.from(rgba), { raw: { width, height, channels: 4 } })
    .removeAlpha()
    .toColourspace('rgb16');
  const eight = sharp(
    Uint8Array.from(rgba, (code) => Math.round(code / 257)),
    { raw: { width, height, channels: 4 } },
  ).removeAlpha();
  const files = {
    'bench.jpg': await bytesOf(eight.jpeg({ quality: 95, chromaSubsampling: '4:4:4' })),
    'bench.tif': await bytesOf(deep.clone().tiff({ compression: 'lzw' })),
    'bench.png': await bytesOf(deep.clone().png()),
    'bench.dng': rawOf(picture),
  };
  const tileColour = { lab: labD65(...TILE_LAB), standardUncertainty: [0.3, 0.15, 0.2] as const };
  for (const [name, bytes] of Object.entries(files)) {
    const file = join(folder, name);
    writeFileSync(file, bytes);
    const photo = await loadPhoto(file);
    const result = read(nodeOpenCv(), photo.picture, REGIONS, { ...DEFAULT_SETTINGS, tileColour });
    if (!result.ok) throw new Error(`${name}: ${result.refused.map((r) => r.reason).join(', ')}`);
    readings[name] = result;
  }
});

test.each([
  ['bench.jpg', 0.3],
  ['bench.tif', 0.15],
  ['bench.png', 0.15],
  ['bench.dng', 0.15],
])('%s is read to within %f of the truth', (name, within) => {
  const { difference } = readings[name]!;
  const [low, high] = difference.interval95;
  console.log(
    `${name}: ${difference.deltaE00.toFixed(3)} (${low.toFixed(2)} to ${high.toFixed(2)}), truth ${TRUE_DIFFERENCE.toFixed(3)}`,
  );
  expect(Math.abs(difference.deltaE00 - TRUE_DIFFERENCE)).toBeLessThan(within);
  expect(deltaE2000(readings[name]!.glazeLab, GLAZE_LAB)).toBeLessThan(0.6);
});

test('16 bits in a PNG and in a TIFF are the same picture', () => {
  expect(readings['bench.png']!.difference).toEqual(readings['bench.tif']!.difference);
});

test('no camera bent the tones of a raw: that part of the uncertainty goes', () => {
  const shareOf = (name: string) => {
    const { difference, uncertainty } = readings[name]!;
    const [l, a, b] = difference.covariance;
    const share = uncertainty.shares.find(({ source }) => source === 'tone')!.share;
    return share * (l[0] + a[1] + b[2]);
  };
  expect(shareOf('bench.dng')).toBeLessThan(0.75 * shareOf('bench.tif'));
});
