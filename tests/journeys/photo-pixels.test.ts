/** Photographs that the browser decodes: every pixel as it is in the file, or a plain word why not. */
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openPhotoPage, type PhotoPage } from './photo-page.ts';

let at: PhotoPage;
beforeAll(async () => {
  at = await openPhotoPage();
});
afterAll(() => at.close());

const plain = (width: number, height: number, background = '#336699') =>
  sharp({ create: { width, height, channels: 3, background } });

interface Picture {
  readonly width: number;
  readonly height: number;
  readonly rgba: ArrayLike<number>;
}
function middleOf({ width, height, rgba }: Picture): number[] {
  const at = (Math.floor(height / 2) * width + Math.floor(width / 2)) * 4;
  return [0, 1, 2].map((k) => rgba[at + k]!);
}

test('what is no photograph, not all of one, or the wrong size, is said in so many words', async () => {
  const jpeg = await plain(200, 100).jpeg().toBuffer();
  const huge = Uint8Array.from(await plain(64, 64).png().toBuffer());
  const header = new DataView(huge.buffer);
  header.setUint32(16, 12_000);
  header.setUint32(20, 8_400);
  const failures = [
    await at.opened(new TextEncoder().encode('a list of pigments'), 'list.jpg'),
    await at.opened(await plain(64, 64).heif({ compression: 'av1' }).toBuffer(), 'phone.heic'),
    await at.opened(jpeg.subarray(0, jpeg.length / 2), 'half.jpg'),
    await at.opened(new Uint8Array(0), 'empty.png'),
    await at.opened(await plain(1, 1).png().toBuffer(), 'dot.png'),
    await at.opened(huge, 'huge.png'),
  ];
  expect(failures.map((f) => (f.ok ? 'opened' : f.reason))).toEqual([
    'not-a-photo',
    'not-a-photo',
    'damaged',
    'damaged',
    'too-small',
    'too-large',
  ]);
  for (const f of failures) {
    if (f.ok) continue;
    expect(f.message).toMatch(/list\.jpg|phone\.heic|half\.jpg|empty\.png|dot\.png|huge\.png/);
    expect(f.remedy).not.toBe('');
  }
  const [empty] = failures.slice(3);
  expect(empty?.ok === false && empty.message).toMatch(/is empty/);
  const [tooLarge] = failures.slice(5);
  expect(tooLarge?.ok === false && tooLarge.message).toMatch(/101 megapixels/);
});

test('a rotation that the file asks for (Exif 2.32, tag Orientation) is honoured', async () => {
  // Red on the left of the stored picture; orientation 6 turns it clockwise, so red comes on top.
  const red = await plain(100, 200, '#ff0000').png().toBuffer();
  const stored = plain(200, 200, '#0000ff').composite([{ input: red, left: 0, top: 0 }]);
  const turned = await sharp(await stored.png().toBuffer())
    .extend({ bottom: 40, background: '#0000ff' })
    .withMetadata({ orientation: 6 })
    .jpeg({ quality: 100, chromaSubsampling: '4:4:4' })
    .toBuffer();
  const photo = await at.opened(turned, 'turned.jpg');
  expect(photo).toMatchObject({ ok: true, width: 240, height: 200 });
  if (!photo.ok) return;
  expect(photo.rgba[0]).toBeLessThan(40);
  const middle = middleOf(photo);
  expect(middle[2]! + middle[0]!).toBeGreaterThan(200);
});

test('a wide-gamut profile is converted to sRGB, as a colour management library does it', async () => {
  // Converted by LittleCMS, through libvips.
  const p3 = await plain(80, 80, '#78965a').withIccProfile('p3').png().toBuffer();
  const expected = await sharp(p3).toColourspace('srgb').raw().toBuffer();
  const photo = await at.opened(p3, 'wide.png');
  expect(photo.ok).toBe(true);
  if (!photo.ok) return;
  middleOf(photo).forEach((code, k) =>
    expect(Math.abs(code - expected[k]!)).toBeLessThanOrEqual(1),
  );
});

/** No two pixels near each other alike, so that a row or a column out of place shows. */
const pattern = (x: number, y: number): number[] => [x % 251, y % 241, (x + 7 * y) % 239];

async function patterned(width: number, height: number): Promise<Buffer> {
  const rgb = new Uint8Array(width * height * 3);
  for (let i = 0; i < width * height; i += 1) {
    rgb.set(pattern(i % width, Math.floor(i / width)), 3 * i);
  }
  return await sharp(rgb, { raw: { width, height, channels: 3 } })
    .png()
    .toBuffer();
}

/** How many pixels the page decodes otherwise than they are in the file. */
async function pixelsOff(png: Buffer): Promise<number> {
  const photo = await at.opened(png, 'pattern.png');
  if (!photo.ok) throw new Error(photo.message);
  const { rgba, width, height } = photo;
  let off = 0;
  for (let i = 0; i < width * height; i += 1) {
    const expected = [...pattern(i % width, Math.floor(i / width)), 255];
    if (expected.some((code, k) => rgba[4 * i + k] !== code)) off += 1;
  }
  return off;
}

test('a photograph is decoded pixel by pixel, also where it takes more than one canvas', async () => {
  expect(await pixelsOff(await patterned(2407, 1903))).toBe(0);
});

test('where a bitmap draws nothing the picture is taken another way, and where nothing does it is said', async () => {
  const png = await patterned(640, 480);
  await at.journey.page.evaluate(() => {
    const { prototype } = OffscreenCanvasRenderingContext2D;
    const drawn = Object.getOwnPropertyDescriptor(prototype, 'drawImage')!;
    const draw = drawn.value as (...given: unknown[]) => void;
    const only = (draws: (source: unknown) => boolean) =>
      Object.defineProperty(prototype, 'drawImage', {
        ...drawn,
        value(this: unknown, source: unknown, ...given: unknown[]) {
          if (draws(source)) draw.call(this, source, ...given);
        },
      });
    Object.assign(window, {
      drawsElementsOnly: () => only((source) => source instanceof HTMLImageElement),
      drawsNothing: () => only(() => false),
      decodesNothing: () =>
        Object.assign(HTMLImageElement.prototype, {
          decode: () => Promise.reject(new DOMException('no memory', 'EncodingError')),
        }),
      drawsAll: () => Object.defineProperty(prototype, 'drawImage', drawn),
    });
  });
  const set = (how: 'drawsElementsOnly' | 'drawsNothing' | 'decodesNothing' | 'drawsAll') =>
    at.journey.page.evaluate((how) => {
      (window as unknown as Record<string, () => void>)[how]!();
    }, how);
  try {
    await set('drawsElementsOnly');
    expect(await pixelsOff(png)).toBe(0);
    for (const how of ['drawsNothing', 'decodesNothing'] as const) {
      await set(how);
      const failed = await at.opened(png, 'undrawn.png');
      expect(failed).toMatchObject({ ok: false, reason: 'too-large' });
      expect(failed.ok ? '' : failed.message).toMatch(/undrawn\.png could not be decoded/);
    }
  } finally {
    await set('drawsAll');
  }
});
