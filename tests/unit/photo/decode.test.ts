/** Photographs written by libraries that are not ours, with colours known beforehand. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { afterAll, describe, expect, test } from 'vitest';
import { nodeDecoderCode } from '../../../src/headless/decoder-code.ts';
import { photoDecoder, type DecodedPhoto } from '../../../src/photo/decode.ts';
import { photoHeader } from '../../../src/photo/header.ts';
import { bytesOf, latin, photograph, placeOf } from '../../photographs/bytes.ts';
import { inDisplayP3, inSpace } from '../../photographs/display-p3.ts';
import { writeDng, type DngWish } from '../../photographs/dng.ts';
import { greyProfile, rgbProfile, WIDE_GAMMA, WIDE_PRIMARIES } from '../../photographs/icc.ts';
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
} from '../../photographs/patches.ts';
import { pngWithProfile, tiffWith } from '../../photographs/with-tags.ts';

const folder = mkdtempSync(join(tmpdir(), 'decode-'));
afterAll(() => rmSync(folder, { recursive: true }));

const decode = photoDecoder(nodeDecoderCode);

async function decoded(bytes: Uint8Array): Promise<DecodedPhoto> {
  const photo = await decode(bytes, photoHeader(bytes));
  if (!photo.ok) throw new Error(photo.says);
  expect(photo.picture).toMatchObject({ maxCode: 65535, frames: 1 });
  return photo;
}
const written = async (image: Sharp) => await decoded(await bytesOf(image));
/** One step of 8 bits in codes of 16. */
const STEP = 257;

describe('16 bits stay 16 bits', () => {
  const ways: Record<string, (image: Sharp) => Sharp> = {
    PNG: (image) => image.png(),
    'interlaced PNG': (image) => image.png({ progressive: true }),
    'PNG with alpha': (image) => image.ensureAlpha().png(),
    'plain TIFF': (image) => image.tiff({ compression: 'none' }),
    'TIFF by LZW': (image) => image.tiff({ compression: 'lzw' }),
    'TIFF by Deflate with predictor': (image) =>
      image.tiff({ compression: 'deflate', predictor: 'horizontal' }),
    'TIFF in tiles': (image) =>
      image.tiff({ compression: 'lzw', tile: true, tileWidth: 64, tileHeight: 64 }),
    'TIFF by PackBits': (image) => image.tiff({ compression: 'packbits' }),
    'TIFF with alpha': (image) => image.ensureAlpha().tiff({ compression: 'lzw' }),
  };
  test.each(Object.entries(ways))('%s: every code as it was written', async (_, write) => {
    const { picture, bits, notes } = await written(write(patchImage()));
    expect({ width: picture.width, height: picture.height, bits, notes }).toEqual({
      width: WIDTH,
      height: HEIGHT,
      bits: 16,
      notes: [],
    });
    expect(picture.rgba).toBeInstanceOf(Uint16Array);
    for (const [x, y] of [
      [0, 0],
      [WIDTH - 1, 0],
      [0, HEIGHT - 1],
      [171, 93],
    ] as const) {
      const at = 4 * (y * WIDTH + x);
      expect([...picture.rgba.subarray(at, at + 4)]).toEqual([...PATCHES[patchAt(x, y)]!, 65535]);
    }
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(1e-6);
  });

  test('a grey one is grey', async () => {
    const grey = patchImage().toColourspace('grey16');
    for (const image of [grey.clone().png(), grey.clone().tiff({ compression: 'lzw' })]) {
      const bytes = await bytesOf(image);
      expect((await sharp(bytes).metadata()).channels).toBe(1);
      const { picture } = await decoded(bytes);
      const [r, g, b] = patchMeans(picture.rgba)[6]!;
      expect(Math.abs(r - 33333)).toBeLessThan(2);
      expect([g, b]).toEqual([r, r]);
    }
  });

  test('8 bits in a TIFF are 8 bits', async () => {
    const { picture, bits } = await written(patchImage8().tiff({ compression: 'lzw' }));
    expect(bits).toBe(8);
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThanOrEqual(STEP / 2);
    expect(picture.rgba.every((code) => code % STEP === 0)).toBe(true);
  });

  // TIFF 6.0, tag 274: how the stored picture must be turned to stand upright.
  test.each([
    [2, (s: Sharp) => s.flop()],
    [3, (s: Sharp) => s.rotate(180)],
    [4, (s: Sharp) => s.flip()],
    [6, (s: Sharp) => s.rotate(270)],
    [8, (s: Sharp) => s.rotate(90)],
  ] as const)('a TIFF stored in orientation %i stands upright', async (orientation, turn) => {
    const stored = await bytesOf(turn(patchImage()).tiff({ compression: 'lzw' }));
    const bytes = tiffWith(stored, { orientation });
    expect((await sharp(bytes).metadata()).orientation).toBe(orientation);
    const { picture } = await decoded(bytes);
    expect([picture.width, picture.height]).toEqual([WIDTH, HEIGHT]);
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(1e-6);
  });
});

describe('colour profiles', () => {
  // Profiles hold primaries in 16 fractional bits, and colorjs.io and libvips their own digits of them:
  // half a step of 8 bits is left.
  const near = STEP / 2;
  const file = join(folder, 'wide.icc');
  const wide = rgbProfile(WIDE_PRIMARIES, WIDE_GAMMA);
  writeFileSync(file, wide);
  const ways = {
    PNG: async (codes: readonly Codes[], icc: Uint8Array) =>
      pngWithProfile(await bytesOf(patchImage(codes).png()), icc),
    TIFF: async (codes: readonly Codes[], icc: Uint8Array) =>
      tiffWith(await bytesOf(patchImage(codes).tiff({ compression: 'lzw' })), { icc }),
  };
  /** libvips' own profiles. */
  const ofLibvips = async (name: 'p3' | 'srgb') => {
    const carrier = await bytesOf(patchImage8().withIccProfile(name).png());
    return Uint8Array.from((await sharp(carrier).metadata()).icc!);
  };

  describe.each(Object.entries(ways))('in a %s', (_, write) => {
    test.each([
      ['Display P3', () => ofLibvips('p3'), inDisplayP3],
      ['Adobe RGB (1998)', () => Promise.resolve(wide), inSpace('a98rgb')],
    ] as const)('%s becomes sRGB as colorjs.io has it', async (__, profile, into) => {
      const codes = PATCHES.map(into);
      expect(worst(codes, PATCHES)).toBeGreaterThan(8 * STEP);
      const { picture, notes } = await decoded(await write(codes, await profile()));
      expect(notes).toEqual([]);
      expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(near);
    });

    test('sRGB’s own profile changes no code', async () => {
      const { picture } = await decoded(await write(PATCHES, await ofLibvips('srgb')));
      expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(1e-6);
    });
  });

  test('as Debian’s transicc has it', async ({ skip }) => {
    // liblcms2-utils: the same library, in floating point on the command line.
    if (spawnSync('transicc').error) skip();
    const codes = PATCHES.map(inSpace('a98rgb'));
    const out = execFileSync('transicc', [`-i${file}`, '-o*sRGB', '-n', '-t1'], {
      input: codes.map((c) => c.map((v) => v / 257).join(' ')).join('\n'),
      stdio: ['pipe', 'pipe', 'ignore'],
    });
    const rows = [...out.toString().matchAll(/^\s*([\d.]+) ([\d.]+) ([\d.]+)\s*$/gm)].map(
      ([, ...rgb]) => rgb.map((v) => 257 * Number(v)) as unknown as Codes,
    );
    expect(rows).toHaveLength(PATCHES.length);
    const { picture } = await decoded(await ways.TIFF(codes, wide));
    expect(worst(patchMeans(picture.rgba), rows)).toBeLessThan(10);
  });

  test('a grey of gamma 1.8 becomes sRGB’s grey', async () => {
    const level = 30000;
    // IEC 61966-2-1 of the light that a gamma of 1.8, in steps of 1/256, means.
    const light = (level / 65535) ** (461 / 256);
    const expected = 65535 * (1.055 * light ** (1 / 2.4) - 0.055);
    const samples = new Uint16Array(WIDTH * HEIGHT).fill(level);
    const grey = sharp(samples, { raw: { width: WIDTH, height: HEIGHT, channels: 1 } });
    const png = await bytesOf(grey.toColourspace('grey16').png());
    const { picture } = await decoded(pngWithProfile(png, greyProfile(1.8)));
    for (const code of patchMeans(picture.rgba)[0]!) {
      expect(Math.abs(code - expected)).toBeLessThan(near);
    }
  });

  test('a broken one is said, and sRGB assumed', async () => {
    const broken = Uint8Array.from(wide);
    broken.set(latin('nope'), placeOf(broken, 'acsp'));
    const { picture, notes } = await decoded(await ways.TIFF(PATCHES, broken));
    expect(notes).toEqual(['Its colour profile is damaged: sRGB is assumed.']);
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(1e-6);
  });
});

describe('HEIC, written by Debian’s heif-enc from the same patches (tests/photographs/make.ts)', () => {
  // HEVC at quality 90 rounds brightness and colour: up to two and a half steps of 8 bits.
  test.each([
    ['patches.heic', 8, 2.5 * STEP],
    ['patches-10-bit.heic', 10, 1.5 * STEP],
    ['patches-p3.heic', 10, 1.5 * STEP],
  ] as const)('%s', async (name, depth, within) => {
    const { picture, bits, notes } = await decoded(photograph(name));
    expect({ width: picture.width, height: picture.height, bits, notes }).toEqual({
      width: WIDTH,
      height: HEIGHT,
      bits: depth,
      notes: [],
    });
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(within);
  });

  test('Display P3 by its code point alone, as some phones have it', async () => {
    const bytes = photograph('patches-p3.heic');
    const at = placeOf(bytes, 'colrprof');
    expect(at).toBeGreaterThan(0);
    // ISO/IEC 23091-2: primaries 12, curve 13 (sRGB), matrix 6, full range.
    bytes.set(latin('nclx'), at + 4);
    bytes.set([0, 12, 0, 13, 0, 6, 0x80], at + 8);
    const { picture } = await decoded(bytes);
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(1.5 * STEP);
  });
});

describe('camera raw', () => {
  // IEC 61966-2-1, both ways.
  const linear = (code: number) =>
    code / 65535 <= 0.04045 ? code / 65535 / 12.92 : ((code / 65535 + 0.055) / 1.055) ** 2.4;
  const encoded = (light: number) =>
    65535 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);
  const neutral: Codes = [0.45, 1, 0.62];
  /** What lies on the sensor of a camera that sees as sRGB does, its white balance undone. */
  const patches: DngWish = {
    width: WIDTH,
    height: HEIGHT,
    neutral,
    light: (x, y) =>
      PATCHES[patchAt(x, y)]!.map((code, c) => linear(code) * neutral[c]!) as unknown as Codes,
  };
  // A sensor's 14 bits less black are steps of 4 codes of linear light, finer where codes are bent up;
  // LibRaw rounds white balance and matrix to 16 bits.
  const near = 90;

  test('a raw of known patches: linear, white-balanced, nothing brightened', async () => {
    const { picture, notes } = await decoded(writeDng(patches));
    expect(picture).toMatchObject({ width: WIDTH, height: HEIGHT, light: 'sensor' });
    expect(notes).toEqual([]);
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(near);
  });

  test('half the light is half the light', async () => {
    const half = { ...patches, light: (x: number, y: number) => halved(patches.light(x, y)) };
    const { picture } = await decoded(writeDng(half));
    const expected = PATCHES.map(
      (codes) => codes.map((code) => encoded(linear(code) / 2)) as unknown as Codes,
    );
    expect(worst(patchMeans(picture.rgba), expected)).toBeLessThan(near);
  });
  const halved = (light: readonly number[]) => light.map((v) => v / 2) as unknown as Codes;

  test('the camera’s matrix is applied', async () => {
    // Sensor channels that each see something of their neighbours; rows add up to 1, so white stays.
    const seen = [
      [0.7, 0.25, 0.05],
      [0.15, 0.7, 0.15],
      [0.05, 0.2, 0.75],
    ] as const;
    // XYZ → linear sRGB (IEC 61966-2-1) → this camera.
    const fromXyz = [
      [3.2406, -1.5372, -0.4986],
      [-0.9689, 1.8758, 0.0415],
      [0.0557, -0.204, 1.057],
    ] as const;
    const matrix = seen.flatMap((row) =>
      [0, 1, 2].map((k) => row.reduce((sum, w, i) => sum + w * fromXyz[i]![k]!, 0)),
    );
    const light = (x: number, y: number) => {
      const colour = PATCHES[patchAt(x, y)]!.map(linear);
      return seen.map(
        (row, c) => neutral[c]! * row.reduce((sum, w, i) => sum + w * colour[i]!, 0),
      ) as unknown as Codes;
    };
    const { picture } = await decoded(writeDng({ ...patches, matrix, light }));
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(2 * near);
  });

  test('what is full on the sensor is full in every channel', async () => {
    const light = (x: number, y: number): Codes =>
      x < WIDTH / 2 ? [0.3, 1.2, 0.4] : patches.light(x, y);
    const { picture } = await decoded(writeDng({ ...patches, light }));
    const at = 4 * (60 * WIDTH + 60);
    expect([...picture.rgba.subarray(at, at + 3)]).toEqual([65535, 65535, 65535]);
    const sound = picture.rgba.subarray(4 * (60 * WIDTH + 200), 4 * (60 * WIDTH + 200) + 3);
    expect(Math.max(...sound)).toBeLessThan(65535);
  });

  test('a raw stored on its side stands upright', async () => {
    // Tag 274 = 6: the first row is the right-hand side; the sensor saw the picture turned by 270°.
    const onSide: DngWish = {
      ...patches,
      width: HEIGHT,
      height: WIDTH,
      orientation: 6,
      light: (x, y) => patches.light(WIDTH - 1 - y, x),
    };
    const { picture } = await decoded(writeDng(onSide));
    expect([picture.width, picture.height]).toEqual([WIDTH, HEIGHT]);
    expect(worst(patchMeans(picture.rgba), PATCHES)).toBeLessThan(near);
  });

  test('as Debian’s dcraw_emu has it', async ({ skip }) => {
    // libraw-bin: linear, 16 bits, its own matrix to sRGB, the plainest interpolation, maximum as stated.
    if (spawnSync('dcraw_emu').error) skip();
    const file = join(folder, 'patches.dng');
    const dng = writeDng(patches);
    writeFileSync(file, dng);
    execFileSync('dcraw_emu', ['-4', '-w', '-o', '1', '-q', '0', '-W', '-c', '0', file]);
    // A portable pixmap: three lines of text, then big-endian samples.
    const pixmap = readFileSync(`${file}.ppm`);
    const begin = pixmap.length - 6 * WIDTH * HEIGHT;
    expect(pixmap.toString('latin1', 0, begin)).toBe(`P6\n${WIDTH} ${HEIGHT}\n65535\n`);
    const rgba = Uint16Array.from({ length: 4 * WIDTH * HEIGHT }, (_, i) =>
      i % 4 === 3
        ? 65535
        : encoded(pixmap.readUInt16BE(begin + 2 * (3 * Math.floor(i / 4) + (i % 4))) / 65535),
    );
    const { picture } = await decoded(dng);
    expect(worst(patchMeans(rgba), patchMeans(picture.rgba))).toBeLessThan(near);
  });
});
