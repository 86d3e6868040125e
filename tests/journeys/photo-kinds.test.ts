/** 16-bit PNG, TIFF, HEIC and camera raw in the browser: decoded in its worker, under its policy. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bytesOf, photograph } from '../photographs/bytes.ts';
import { writeDng } from '../photographs/dng.ts';
import {
  exifBlock,
  jpegWithExif,
  pngWithExif,
  tiffWithExif,
  type ExifWish,
} from '../photographs/exif.ts';
import {
  HEIGHT,
  patchAt,
  patchImage,
  patchImage8,
  patchMeans,
  PATCHES,
  WIDTH,
  worst,
  type Codes,
} from '../photographs/patches.ts';
import { openPhotoPage, type PhotoPage } from './photo-page.ts';

let at: PhotoPage;
beforeAll(async () => {
  at = await openPhotoPage();
});
afterAll(() => at.close());

const linear = (code: number) =>
  code / 65535 <= 0.04045 ? code / 65535 / 12.92 : ((code / 65535 + 0.055) / 1.055) ** 2.4;
const NEUTRAL = [0.45, 1, 0.62] as const;
const raw = () =>
  writeDng({
    width: WIDTH,
    height: HEIGHT,
    neutral: NEUTRAL,
    light: (x, y) =>
      PATCHES[patchAt(x, y)]!.map((code, c) => linear(code) * NEUTRAL[c]!) as unknown as Codes,
  });

describe('known patches', () => {
  // As near as tests/unit/photo/decode.test.ts says, and why.
  const kinds = {
    'patches.png': { bytes: () => bytesOf(patchImage().png()), bits: 16, within: 1e-6 },
    'patches.tif': {
      bytes: () => bytesOf(patchImage().tiff({ compression: 'lzw' })),
      bits: 16,
      within: 1e-6,
    },
    'patches.heic': {
      bytes: () => Promise.resolve(photograph('patches.heic')),
      bits: 8,
      within: 643,
    },
    'wide.heic': {
      bytes: () => Promise.resolve(photograph('patches-p3.heic')),
      bits: 10,
      within: 386,
    },
    'patches.dng': { bytes: () => Promise.resolve(raw()), bits: undefined, within: 90 },
  };
  test.each(Object.entries(kinds))('%s', async (name, { bytes, bits, within }) => {
    const photo = await at.opened(await bytes(), name);
    if (!photo.ok) throw new Error(photo.message);
    expect(photo).toMatchObject({ width: WIDTH, height: HEIGHT, maxCode: 65535, notes: [] });
    if (bits) expect(photo.bits).toBe(bits);
    expect(photo.light).toBe(name.endsWith('.dng') ? 'sensor' : undefined);
    expect(photo.shown).toEqual({ width: WIDTH, height: HEIGHT });
    expect(worst(patchMeans(photo.rgba), PATCHES)).toBeLessThan(within);
    console.log(`${name}: ${photo.tookMs.toFixed(0)} ms, the decoder's loading with it`);
    expect(at.journey.complaints).toEqual([]);
  });

  test('8-bit PNG and JPEG in Display P3: the browser itself brings them to sRGB', async () => {
    // libvips turns 8-bit codes into the profile's own.
    for (const [name, image] of Object.entries({
      'p3.png': patchImage8().withIccProfile('p3').png(),
      'p3.jpg': patchImage8()
        .withIccProfile('p3')
        .jpeg({ quality: 100, chromaSubsampling: '4:4:4' }),
    })) {
      const photo = await at.opened(await bytesOf(image), name);
      if (!photo.ok) throw new Error(photo.message);
      const codes = patchMeans(photo.rgba).map((c) => c.map((v) => 257 * v) as unknown as Codes);
      console.log(`${name}: ${(worst(codes, PATCHES) / 257).toFixed(2)} steps of 8 bits at most`);
      expect(worst(codes, PATCHES)).toBeLessThan(2.5 * 257);
    }
  });
});

test('every kind says how it was exposed, and that a flash fired', async () => {
  // CIPA DC-008, 4.6.5: bit 0 of Flash is set when it fired.
  const wish: ExifWish = { time: [1, 50], fNumber: [4, 1], iso: 320, flash: 1 };
  const told = { timeS: 0.02, fNumber: 4, iso: 320, flashFired: true };
  const block = exifBlock(wish);
  const tiff = await bytesOf(patchImage().tiff({ compression: 'none' }));
  const kinds = {
    'flash.jpg': jpegWithExif(await bytesOf(patchImage8().jpeg()), block),
    'flash.png': pngWithExif(await bytesOf(patchImage().png()), block),
    'flash.tif': tiffWithExif(tiff, wish),
    'flash.dng': tiffWithExif(raw(), wish),
  };
  for (const [name, bytes] of Object.entries(kinds)) {
    const photo = await at.opened(bytes, name);
    expect([name, photo]).toEqual([
      name,
      expect.objectContaining({
        exposure: told,
        notes: [expect.stringMatching(/^The flash fired/)],
      }),
    ]);
  }
  expect(await at.opened(photograph('exposure.heic'), 'exposure.heic')).toMatchObject({
    exposure: { timeS: 1 / 40, fNumber: 2.8, iso: 200, flashFired: false },
    notes: [],
  });
  expect(at.journey.complaints).toEqual([]);
});
