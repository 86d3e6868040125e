/** Exposure data of photographs, written by hand after the Exif standard; nothing beside them is read. */
import { describe, expect, test } from 'vitest';
import { nodeDecoderCode } from '../../../src/headless/decoder-code.ts';
import { photoDecoder } from '../../../src/photo/decode.ts';
import { notesOf, photoExposure } from '../../../src/photo/exposure.ts';
import { photoHeader } from '../../../src/photo/header.ts';
import { big, bytesOf, joined, photograph, zeros } from '../../photographs/bytes.ts';
import { writeDng } from '../../photographs/dng.ts';
import {
  calledOtherwise,
  cr3WithExif,
  exifBlock,
  jpegWithExif,
  pngWithExif,
  rafWithExif,
  tiffWithExif,
  type ExifWish,
} from '../../photographs/exif.ts';
import { patchImage8 } from '../../photographs/patches.ts';

const WISH: ExifWish = { time: [1, 125], fNumber: [56, 10], iso: 400, flash: 16 };
const TOLD = { timeS: 1 / 125, fNumber: 5.6, iso: 400, flashFired: false };
const jpeg = await bytesOf(patchImage8().jpeg());
const png = await bytesOf(patchImage8().png());
const tiff = await bytesOf(patchImage8().tiff({ compression: 'none' }));
const dng = writeDng({ width: 64, height: 64, light: () => [0.3, 0.4, 0.2] });

describe('each kind of file says how it was exposed', () => {
  // All but HEIC hold a maker, and JPEG and PNG a place, beside it: `toEqual` says that these stay unread.
  test.each([
    ['JPEG', jpegWithExif(jpeg, exifBlock(WISH))],
    ['JPEG, high byte first', jpegWithExif(jpeg, exifBlock(WISH, false))],
    ['PNG', pngWithExif(png, exifBlock(WISH))],
    ['TIFF', tiffWithExif(tiff, WISH)],
    ['DNG', tiffWithExif(dng, WISH)],
  ])('%s', async (_, bytes) => {
    expect(await photoExposure(bytes)).toEqual(TOLD);
  });
  test('HEIC as an encoder wrote it', async () => {
    expect(await photoExposure(photograph('exposure.heic'))).toEqual({
      timeS: 1 / 40,
      fNumber: 2.8,
      iso: 200,
      flashFired: false,
    });
  });
  test('a part of a larger buffer', async () => {
    const whole = joined(zeros(7), jpegWithExif(jpeg, exifBlock(WISH)), zeros(9));
    expect(await photoExposure(whole.subarray(7, whole.length - 9))).toEqual(TOLD);
  });
});

describe('raw files that are no plain TIFF say it too', () => {
  const told = exifBlock(WISH);
  const high = exifBlock(WISH, false);
  const raws: readonly (readonly [string, Uint8Array])[] = [
    ['CR3', cr3WithExif(WISH)],
    ['CR3, high byte first', cr3WithExif(WISH, false)],
    ['RAF', rafWithExif(jpegWithExif(jpeg, told))],
    ['ORF', calledOtherwise(told, 'IIRO')],
    ['ORF of another age', calledOtherwise(told, 'IIRS')],
    ['ORF, high byte first', calledOtherwise(high, 'MMOR')],
    ['RW2', calledOtherwise(told, 'IIU\0')],
  ];
  test.each(raws)('%s', async (_, bytes) => {
    expect(photoHeader(bytes).format).toBe('raw');
    const before = bytes.slice();
    expect(await photoExposure(bytes)).toEqual(TOLD);
    expect(bytes).toEqual(before);
    expect(await photoExposure(joined(zeros(5), bytes).subarray(5))).toEqual(TOLD);
  });
  test.each(raws)(
    '%s cut anywhere: what is left of it is right, or there is nothing',
    async (_, bytes) => {
      for (let end = 0; end < Math.min(600, bytes.length); end += 1) {
        const left = await photoExposure(bytes.subarray(0, end));
        expect({ ...TOLD, ...left }).toEqual(TOLD);
      }
    },
  );
  test.each(raws)('%s without a picture is refused as damaged', async (_, bytes) => {
    const answer = await photoDecoder(nodeDecoderCode)(bytes, photoHeader(bytes));
    expect(answer).toMatchObject({ ok: false, reason: 'damaged' });
  });
  test('a box of another name is not looked into', async () => {
    expect(await photoExposure(cr3WithExif(WISH, true, zeros(16)))).toBeUndefined();
  });
  test('a RAF whose JPEG would lie elsewhere says nothing', async () => {
    const bytes = rafWithExif(jpegWithExif(jpeg, told));
    for (const at of [0, 2 ** 31, 2 ** 32 - 1]) {
      const moved = bytes.slice();
      moved.set(big(4, at), 84);
      expect(await photoExposure(moved)).toBeUndefined();
    }
  });
});

test('files that carry it are decoded as before', async () => {
  const decode = photoDecoder(nodeDecoderCode);
  for (const [plain, told] of [
    [tiff, tiffWithExif(tiff, WISH)],
    [dng, tiffWithExif(dng, WISH)],
  ] as const) {
    const [one, other] = [
      await decode(plain, photoHeader(plain)),
      await decode(told, photoHeader(told)),
    ];
    if (!one.ok || !other.ok) throw new Error('not decoded');
    expect(other.picture).toEqual(one.picture);
  }
});

describe('what makes no sense is not said', () => {
  const of = (wish: ExifWish) => photoExposure(jpegWithExif(jpeg, exifBlock(wish)));
  test.each<[string, ExifWish, object | undefined]>([
    ['nothing but a maker and a place', {}, undefined],
    ['a lens without contacts', { ...WISH, fNumber: [0, 1] }, { ...TOLD, fNumber: undefined }],
    ['nothing over nothing', { ...WISH, time: [0, 0] }, { ...TOLD, timeS: undefined }],
    ['one over nothing', { ...WISH, time: [1, 0] }, { ...TOLD, timeS: undefined }],
    ['a speed too large for its field', { ...WISH, iso: 65535 }, { ...TOLD, iso: undefined }],
    ['the time alone', { time: [2, 1] }, { timeS: 2 }],
  ])('%s', async (_, wish, told) => {
    expect(await of(wish)).toEqual(told);
  });
  test('photographs without it, and damaged ones', async () => {
    const told = jpegWithExif(jpeg, exifBlock(WISH));
    expect(await photoExposure(jpeg)).toBeUndefined();
    expect(await photoExposure(png)).toBeUndefined();
    expect(await photoExposure(tiff)).toBeUndefined();
    expect(await photoExposure(zeros(0))).toBeUndefined();
    expect(await photoExposure(zeros(500))).toBeUndefined();
    // Cut anywhere within the block: what is left of it is right, or there is nothing.
    for (let end = 0; end < 300; end += 1) {
      const left = await photoExposure(told.subarray(0, end));
      expect({ ...TOLD, ...left }).toEqual(TOLD);
    }
  });
});

test('a flash that fired is said', async () => {
  // Bit 0 of Flash: fired; 0x19 is fired in auto mode, 0x10 not fired, compulsory (CIPA DC-008, 4.6.5).
  const fired = await photoExposure(jpegWithExif(jpeg, exifBlock({ flash: 0x19 })));
  expect(fired).toEqual({ flashFired: true });
  expect(notesOf(fired)).toEqual([expect.stringMatching(/^The flash fired/)]);
  expect(notesOf(await photoExposure(jpegWithExif(jpeg, exifBlock({ flash: 0x10 }))))).toEqual([]);
  expect(notesOf(undefined)).toEqual([]);
});
