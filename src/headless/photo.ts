/** A photograph from disk as an sRGB-encoded picture: rotation honoured, wide gamuts converted. */
import sharp, { type Metadata } from 'sharp';
import { photoDecoder, type DecodedPhoto } from '../photo/decode.ts';
import { notesOf, photoExposure, type PhotoExposure } from '../photo/exposure.ts';
import { unsupported, type PhotoFault } from '../photo/fault.ts';
import type { PhotoHeader } from '../photo/header-fields.ts';
import { isOwnFormat, photoHeader } from '../photo/header.ts';
import { nodeDecoderCode } from './decoder-code.ts';
import { BadInput, readBytes } from './lines.ts';

const decode = photoDecoder(nodeDecoderCode);

export interface LoadedPhoto extends DecodedPhoto {
  /** How it was exposed; absent: it does not say. */
  readonly exposure?: PhotoExposure;
}

const MOST_MEGAPIXELS = 64;
/** Shorter side, px, under which a file cannot be a photograph of a bench at all. */
const LEAST_SIDE = 32;

/**
 * 16-bit PNG, TIFF, HEIC and camera raw by the same code as in the browser; what is left, by sharp.
 * @throws BadInput naming the file and the fault
 */
export async function loadPhoto(path: string): Promise<LoadedPhoto> {
  const bytes = await readBytes(path);
  const exposure = await photoExposure(bytes);
  const photo = await decoded(path, bytes);
  return exposure ? { ...photo, exposure, notes: [...photo.notes, ...notesOf(exposure)] } : photo;
}

async function decoded(path: string, bytes: Buffer): Promise<DecodedPhoto> {
  const header = photoHeader(bytes);
  if (!isOwnFormat(header)) return await loadBySharp(path, bytes, header);
  const photo = await decode(bytes, header);
  if (photo.ok) return photo;
  throw cannotBeRead(path, photo);
}

async function loadBySharp(
  path: string,
  bytes: Buffer,
  { falseColours }: PhotoHeader,
): Promise<DecodedPhoto> {
  let metadata: Metadata;
  try {
    metadata = await sharp(bytes, { limitInputPixels: false }).metadata();
  } catch {
    throw notAPicture(path);
  }
  if (metadata.format === 'svg') throw notAPicture(path);
  const isGif = metadata.format === 'gif';
  const wrong = falseColours ?? (isGif ? 'a GIF of at most 256 colours' : undefined);
  if (wrong) throw cannotBeRead(path, unsupported(wrong));
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
  try {
    const { data, info } = await sharp(bytes, { failOn: 'error', limitInputPixels: false })
      .autoOrient()
      .toColourspace('srgb')
      .ensureAlpha()
      .raw({ depth: 'uchar' })
      .toBuffer({ resolveWithObject: true });
    const rgba = new Uint8Array(data.buffer, data.byteOffset, data.length);
    const { width, height } = info;
    const picture = { width, height, rgba, maxCode: 255, frames: 1 } as const;
    return { ok: true, picture, bits: 8, notes: [] };
  } catch (fault) {
    const why = fault instanceof Error ? fault.message.split('\n')[0] : 'unreadable';
    throw new BadInput(`${path}: the picture is damaged or cut short (${why})`);
  }
}

const cannotBeRead = (path: string, { says, remedy }: PhotoFault): BadInput =>
  new BadInput(`${path}: the picture ${says}. ${remedy}`);

const notAPicture = (path: string): BadInput =>
  new BadInput(`${path}: this is not a picture (PNG, JPEG, TIFF, HEIC or camera raw is wanted)`);
