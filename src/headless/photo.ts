/** A photograph from disk as an sRGB-encoded picture: rotation honoured, wide gamuts converted. */
import sharp, { type Metadata } from 'sharp';
import type { EncodedPicture } from '../reading/types.ts';
import { BadInput, readBytes } from './lines.ts';

const MOST_MEGAPIXELS = 64;
/** Shorter side, px, under which a file cannot be a photograph of a bench at all. */
const LEAST_SIDE = 32;

/** @throws BadInput naming the file and the fault */
export async function loadPhoto(path: string): Promise<EncodedPicture> {
  const bytes = await readBytes(path);
  let metadata: Metadata;
  try {
    metadata = await sharp(bytes, { limitInputPixels: false }).metadata();
  } catch {
    throw notAPicture(path);
  }
  if (metadata.format === 'svg') throw notAPicture(path);
  if (Math.min(metadata.width, metadata.height) < LEAST_SIDE) {
    throw new BadInput(
      `${path}: ${metadata.width} × ${metadata.height} pixels is too small for a reading; take a picture of at least 320 × 240`,
    );
  }
  const megapixels = (metadata.width * metadata.height) / 1e6;
  if (megapixels > MOST_MEGAPIXELS) {
    throw new BadInput(
      `${path}: ${Math.round(megapixels)} megapixels is more than ${MOST_MEGAPIXELS}; reduce the picture first`,
    );
  }
  const deep = metadata.depth === 'ushort';
  try {
    let upright = sharp(bytes, { failOn: 'error', limitInputPixels: false })
      .autoOrient()
      .toColourspace(deep ? 'rgb16' : 'srgb')
      .ensureAlpha();
    // An embedded profile is converted to sRGB in 8 bits, but in 16 bits to Display P3, sharp's
    // working space for them; from there it takes this.
    if (deep && metadata.icc) upright = upright.withIccProfile('srgb');
    const { data, info } = await upright
      .raw({ depth: deep ? 'ushort' : 'uchar' })
      .toBuffer({ resolveWithObject: true });
    const rgba = deep
      ? new Uint16Array(data.buffer, data.byteOffset, data.length / 2)
      : new Uint8Array(data.buffer, data.byteOffset, data.length);
    return { width: info.width, height: info.height, rgba, maxCode: deep ? 65535 : 255, frames: 1 };
  } catch (fault) {
    const why = fault instanceof Error ? fault.message.split('\n')[0] : 'unreadable';
    throw new BadInput(`${path}: the picture is damaged or cut short (${why})`);
  }
}

const notAPicture = (path: string): BadInput =>
  new BadInput(`${path}: this is not a picture (PNG or JPEG is wanted)`);
