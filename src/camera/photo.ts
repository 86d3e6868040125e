/** A photograph, chosen, dropped or pasted, as the picture that the bench worker reads. */
import type { EncodedPicture } from '../reading/types.ts';
import type { PhotoHeader } from '../photo/header-fields.ts';
import { photoHeader } from '../photo/header.ts';

export interface Photo {
  readonly ok: true;
  /** sRGB-encoded, upright, 8 bits. */
  readonly picture: EncodedPicture;
  readonly name: string;
}

export interface PhotoFailure {
  readonly ok: false;
  readonly reason: 'none' | 'not-a-photo' | 'damaged' | 'too-small' | 'too-large';
  readonly message: string;
  readonly remedy: string;
}

/** What a file picker should offer. */
export const PHOTO_TYPES = 'image/png,image/jpeg';

const SMALLEST_SIDE = 64;
const MOST_MEGAPIXELS = 60;

/**
 * Decodes a PNG or JPEG. Its rotation (Exif) is honoured and its colour profile converted to sRGB,
 * both by the browser.
 */
export async function photoFromFile(
  file: Blob & { readonly name?: string },
): Promise<Photo | PhotoFailure> {
  const name = file.name ?? 'The pasted picture';
  const header = photoHeader(new Uint8Array(await file.arrayBuffer()));
  const fault = faultOf(name, header);
  if (fault) return fault;
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file, { premultiplyAlpha: 'none' });
  } catch {
    return damaged(name);
  }
  try {
    return { ok: true, name, picture: pictureOf(bitmap) };
  } finally {
    bitmap.close();
  }
}

/** The photograph in what was dropped or pasted. */
export async function photoFromTransfer(data: DataTransfer | null): Promise<Photo | PhotoFailure> {
  const files = [...(data?.files ?? [])];
  const file = files.find((each) => each.type.startsWith('image/')) ?? files[0];
  if (file) return await photoFromFile(file);
  return {
    ok: false,
    reason: 'none',
    message: 'There is no photograph in what was dropped or pasted.',
    remedy: 'Drop or paste a picture file, PNG or JPEG.',
  };
}

function faultOf(name: string, header: PhotoHeader): PhotoFailure | undefined {
  const { format, width, height, complete } = header;
  if (format === 'heif' || format === 'other') {
    return {
      ok: false,
      reason: 'not-a-photo',
      message: `${name} is not a PNG or JPEG picture${format === 'heif' ? ', but a HEIF one' : ''}.`,
      remedy: 'Save it as PNG or JPEG and open it again.',
    };
  }
  if (!complete || width === 0 || height === 0) return damaged(name);
  if (Math.min(width, height) < SMALLEST_SIDE) {
    return {
      ok: false,
      reason: 'too-small',
      message: `${name} is only ${width} × ${height} pixels.`,
      remedy: `A reading needs at least ${SMALLEST_SIDE} pixels each way, and better a thousand.`,
    };
  }
  const megapixels = (width * height) / 1e6;
  if (megapixels > MOST_MEGAPIXELS) {
    return {
      ok: false,
      reason: 'too-large',
      message: `${name} has ${Math.round(megapixels)} megapixels; at most ${MOST_MEGAPIXELS} can be read.`,
      remedy: 'Crop it to the tile and the repair, or take it at a smaller size.',
    };
  }
  return undefined;
}

function damaged(name: string): PhotoFailure {
  return {
    ok: false,
    reason: 'damaged',
    message: `${name} is damaged, or not all of it is there.`,
    remedy: 'Copy it from the camera again, or take another photograph.',
  };
}

function pictureOf(bitmap: ImageBitmap): EncodedPicture {
  const { width, height } = bitmap;
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d', { colorSpace: 'srgb', willReadFrequently: true })!;
  context.drawImage(bitmap, 0, 0);
  const { data } = context.getImageData(0, 0, width, height, { colorSpace: 'srgb' });
  return { width, height, rgba: data, maxCode: 255, frames: 1 };
}

/** A picture, 8 or 16 bits, for a canvas on the page. */
export function imageDataOf(picture: EncodedPicture): ImageData {
  const { width, height, rgba, maxCode } = picture;
  const data = new Uint8ClampedArray(width * height * 4);
  // The clamped array rounds; 65535 / 257 = 255.
  for (let i = 0; i < data.length; i += 1) data[i] = maxCode === 255 ? rgba[i]! : rgba[i]! / 257;
  return new ImageData(data, width, height);
}
