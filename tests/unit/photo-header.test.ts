import sharp, { type Sharp } from 'sharp';
import { describe, expect, test } from 'vitest';
import { photoHeader } from '../../src/photo/header.ts';

// Written by libvips, so that no code of ours has a hand in them.
const picture = (width: number, height: number) =>
  sharp({
    create: { width, height, channels: 3, background: '#8899aa', noise: NOISE },
  });
const NOISE = { type: 'gaussian', mean: 128, sigma: 40 } as const;

const bytesOf = async (image: Sharp) => Uint8Array.from(await image.toBuffer());

const files = {
  png: (w: number, h: number) => bytesOf(picture(w, h).png()),
  'interlaced png': (w: number, h: number) => bytesOf(picture(w, h).png({ progressive: true })),
  jpeg: (w: number, h: number) => bytesOf(picture(w, h).jpeg()),
  'progressive jpeg': (w: number, h: number) => bytesOf(picture(w, h).jpeg({ progressive: true })),
  'jpeg with profile and exif': (w: number, h: number) =>
    bytesOf(picture(w, h).withMetadata({ orientation: 6, icc: 'p3' }).jpeg()),
};

describe('what a photograph’s own bytes say', () => {
  test.each(Object.entries(files))('%s: format, size, whole or truncated', async (name, make) => {
    const bytes = await make(321, 123);
    const format = name.includes('png') ? 'png' : 'jpeg';
    const said = { format, width: 321, height: 123, bits: 8, complete: true };
    expect(photoHeader(bytes)).toEqual(said);
    for (const share of [0.2, 0.5, 0.9, 0.999]) {
      const part = bytes.subarray(0, Math.floor(share * bytes.length));
      expect(photoHeader(part)).toMatchObject({ format, complete: false });
    }
  });

  test('what follows the picture does not matter', async () => {
    for (const make of [files.png, files.jpeg]) {
      const longer = Uint8Array.of(...(await make(40, 30)), ...new Uint8Array(1000).fill(7));
      expect(photoHeader(longer).complete).toBe(true);
    }
  });

  test('colours that are not the camera’s are told by the bytes', async () => {
    const named = async (image: Sharp) => photoHeader(await bytesOf(image)).falseColours;
    expect(await named(picture(40, 30).toColourspace('cmyk').jpeg())).toMatch(/CMYK/);
    for (const image of [picture(40, 30).png(), picture(40, 30).jpeg()]) {
      expect(await named(image.clone())).toBeUndefined();
      expect(await named(image.clone().toColourspace('b-w'))).toBeUndefined();
    }
  });

  test('no photograph at all', async () => {
    const text = new TextEncoder().encode('glaze recipe: 40 % feldspar');
    expect(photoHeader(text).format).toBe('other');
    expect(photoHeader(new Uint8Array(0)).format).toBe('empty');
    expect(photoHeader(await bytesOf(picture(40, 30).webp())).format).toBe('other');
    const avif = await bytesOf(picture(64, 64).heif({ compression: 'av1' }));
    expect(photoHeader(avif)).toMatchObject({ format: 'other', kind: 'an AVIF picture' });
  });

  test('bytes that are cut or changed anywhere never throw and never loop', async () => {
    for (const make of Object.values(files)) {
      const bytes = await make(33, 17);
      for (let length = 0; length < bytes.length; length += 1) {
        photoHeader(bytes.subarray(0, length));
      }
      for (let at = 0; at < bytes.length; at += 7) {
        const changed = Uint8Array.from(bytes);
        changed[at] = 0xff - changed[at]!;
        photoHeader(changed);
      }
    }
  });
});
