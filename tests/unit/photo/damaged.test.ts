/** Files that are cut, changed, too large or not what they are called: a line in plain words, never a throw. */
import { crc32 } from 'node:zlib';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { nodeDecoderCode } from '../../../src/headless/decoder-code.ts';
import { photoDecoder, type DecodedPhoto } from '../../../src/photo/decode.ts';
import type { PhotoFault } from '../../../src/photo/fault.ts';
import { isOwnFormat, photoHeader } from '../../../src/photo/header.ts';
import { big, bytesOf, latin, photograph, placeOf, viewOf } from '../../photographs/bytes.ts';
import { writeDng } from '../../photographs/dng.ts';
import { HEIGHT, patchImage, WIDTH } from '../../photographs/patches.ts';

const decode = photoDecoder(nodeDecoderCode);
const open = (bytes: Uint8Array): Promise<DecodedPhoto | PhotoFault> =>
  decode(bytes, photoHeader(bytes));

const files: Record<string, Uint8Array> = {};
const KINDS = ['PNG', 'TIFF', 'TIFF by LZW', 'HEIC', 'DNG'] as const;

beforeAll(async () => {
  files['PNG'] = await bytesOf(patchImage().png());
  files['TIFF'] = await bytesOf(patchImage().tiff({ compression: 'none' }));
  files['TIFF by LZW'] = await bytesOf(patchImage().tiff({ compression: 'lzw' }));
  files['HEIC'] = photograph('patches.heic');
  files['DNG'] = writeDng({
    width: WIDTH,
    height: HEIGHT,
    light: (x, y) => [0.2 + (0.5 * x) / WIDTH, 0.4, 0.2 + (0.5 * y) / HEIGHT],
  });
});

describe.each(KINDS)('%s', (kind) => {
  test('whole, it opens', async () => {
    expect(await open(files[kind]!)).toMatchObject({ ok: true });
  });

  test('cut off anywhere, it is damaged, and says so', async () => {
    await fc.assert(
      fc.asyncProperty(fc.double({ min: 0, max: 0.98, noNaN: true }), async (share) => {
        const whole = files[kind]!;
        const part = whole.slice(0, Math.floor(share * whole.length));
        const answer = await open(part);
        expect(answer.ok).toBe(false);
        if (!answer.ok) expect(['damaged', 'not-a-photo']).toContain(answer.reason);
      }),
      { numRuns: 25, examples: [[0], [0.001], [0.5], [0.98]] },
    );
  });

  test('changed anywhere, it opens or is refused, but nothing breaks', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.integer({ min: 1, max: 255 }),
        async (share, by) => {
          const bytes = Uint8Array.from(files[kind]!);
          // Headers are short: half of the changes fall among the first bytes.
          const among = share < 0.5 ? 400 : bytes.length;
          const at = Math.floor((share < 0.5 ? 2 * share : 2 * share - 1) * (among - 1));
          bytes[at] = (bytes[at]! + by) % 256;
          const header = photoHeader(bytes);
          if (header.format !== 'other' && !isOwnFormat(header)) return;
          const answer = await open(bytes);
          if (!answer.ok) expect(answer.says.length * answer.remedy.length).toBeGreaterThan(0);
        },
      ),
      { numRuns: 40 },
    );
  });
});

test('a 16-bit PNG with one changed byte in a chunk is not read as if nothing were', async () => {
  const bytes = Uint8Array.from(files['PNG']!);
  const at = placeOf(bytes, 'IDAT') + 200;
  bytes[at] = 255 - bytes[at]!;
  expect(await open(bytes)).toMatchObject({ ok: false, reason: 'damaged' });
});

describe('what would fill the memory is refused by its header', () => {
  const huge = 60_000;
  /** The same TIFF, or DNG, with other sizes in its first directory (tags 256 and 257). */
  const resized = (file: Uint8Array) => {
    const bytes = Uint8Array.from(file);
    const view = viewOf(bytes);
    const at = view.getUint32(4, true);
    for (let entry = at + 2; entry < at + 2 + 12 * view.getUint16(at, true); entry += 12) {
      if (![256, 257].includes(view.getUint16(entry, true))) continue;
      view.setUint16(entry + 2, 4, true);
      view.setUint32(entry + 8, huge, true);
    }
    return bytes;
  };
  const cases: Record<string, () => Uint8Array> = {
    PNG: () => {
      const bytes = Uint8Array.from(files['PNG']!);
      bytes.set(big(4, huge, huge), 16);
      bytes.set(big(4, crc32(bytes.subarray(12, 29))), 29);
      return bytes;
    },
    TIFF: () => resized(files['TIFF by LZW']!),
    HEIC: () => {
      const bytes = Uint8Array.from(files['HEIC']!);
      bytes.set(big(4, huge, huge), placeOf(bytes, 'ispe') + 8);
      return bytes;
    },
  };
  test.each(Object.entries(cases))('%s', async (_, make) => {
    const answer = await open(make());
    expect(answer).toMatchObject({ ok: false, reason: 'too-large' });
    if (!answer.ok) expect(answer.says).toBe('has 3600 megapixels; at most 60 can be read');
  });

  test('DNG: not a byte more is read than there are', async () => {
    expect((await open(resized(files['DNG']!))).ok).toBe(false);
  });
});

describe('what this does not read is named', () => {
  const named = async (bytes: Uint8Array) => {
    const answer = await open(bytes);
    return answer.ok ? '' : answer.says;
  };
  test('by what it is, whatever it is called', async () => {
    const image = patchImage().toColourspace('srgb');
    expect(await named(await bytesOf(image.clone().webp()))).toContain('a WebP picture');
    expect(await named(await bytesOf(image.clone().gif()))).toContain('a GIF picture');
    expect(await named(latin('%PDF-1.7'))).toContain('a PDF document');
    expect(await named(latin('umber, a touch'))).toBe('is not a photograph');
  });
  test.each([
    ['JPEG within', { compression: 'jpeg' }, 'compressed in another way'],
    ['one bit', { compression: 'none', bitdepth: 1 }, 'of 1 bits'],
  ] as const)('a TIFF of %s', async (_, options, says) => {
    const image = patchImage().toColourspace('b-w');
    expect(await named(await bytesOf(image.tiff(options)))).toContain(says);
  });
  test('a TIFF of inks', async () => {
    const image = patchImage().toColourspace('cmyk').tiff({ compression: 'lzw' });
    expect(await named(await bytesOf(image))).toContain('in other than RGB or grey');
  });
  test('a HEIC of high dynamic range', async () => {
    const bytes = photograph('patches-p3.heic');
    const at = placeOf(bytes, 'colrprof');
    bytes.set(latin('nclx'), at + 4);
    bytes.set([0, 9, 0, 18, 0, 9, 0x80], at + 8);
    expect(await named(bytes)).toContain('a HEIC of high dynamic range');
  });
});

test('a decoder that cannot be had is said, and asked for again with the next photograph', async () => {
  let asked = 0;
  const code = {
    ...nodeDecoderCode,
    heif: () => {
      asked += 1;
      return asked === 1 ? Promise.reject(new Error('no network')) : nodeDecoderCode.heif();
    },
  };
  const later = photoDecoder(code);
  const bytes = files['HEIC']!;
  expect(await later(bytes, photoHeader(bytes))).toMatchObject({ ok: false, reason: 'no-decoder' });
  expect(await later(bytes, photoHeader(bytes))).toMatchObject({ ok: true });
  expect(await later(bytes, photoHeader(bytes))).toMatchObject({ ok: true });
  expect(asked).toBe(2);
});
