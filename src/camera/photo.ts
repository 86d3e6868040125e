/** A photograph, chosen, dropped or pasted, as the picture that the bench worker reads. */
import { PhotoClient } from '../link/photo-client.ts';
import { WorkerStopped } from '../link/worker-link.ts';
import { PHOTO_ENDINGS } from '../photo/endings.ts';
import { notesOf, photoExposure, type PhotoExposure } from '../photo/exposure.ts';
import { damaged, faultOf, type PhotoFault } from '../photo/fault.ts';
import { isOwnFormat, photoHeader, ZIP } from '../photo/header.ts';
import type { EncodedPicture } from '../reading/types.ts';

export interface Photo {
  readonly ok: true;
  /** sRGB-encoded, upright; 8 bits, or 16 where the file has more. */
  readonly picture: EncodedPicture;
  readonly name: string;
  /** Bits a channel in the file. */
  readonly bits: number;
  /** For the screen, when the file itself cannot be shown there. */
  readonly likeness?: Blob;
  /** How it was exposed; absent: it does not say. */
  readonly exposure?: PhotoExposure;
  /** What must be said of it, in whole sentences. */
  readonly notes: readonly string[];
}

export interface PhotoFailure {
  readonly ok: false;
  readonly reason: PhotoFault['reason'] | 'unreadable' | 'cancelled';
  readonly message: string;
  readonly remedy: string;
}

/** What a file picker should offer; raw files have no type that every browser knows. */
export const PHOTO_TYPES = `image/png,image/jpeg,image/tiff,image/heic,${PHOTO_ENDINGS.join(',')}`;
/** The same in words. */
export const PHOTO_KINDS = 'PNG, JPEG, TIFF, HEIC, camera raw';

let decoders: PhotoClient | undefined;

/**
 * Opens a photograph. PNG and JPEG of 8 bits are decoded by the browser, which honours their rotation
 * (Exif) and converts their colour profile to sRGB; other kinds by the photo worker.
 * @param signal ends it; the answer is then `cancelled`
 */
export async function photoFromFile(
  file: Blob & { readonly name?: string },
  signal?: AbortSignal,
): Promise<Photo | PhotoFailure> {
  const name = file.name ?? 'The pasted picture';
  let bytes: Uint8Array<ArrayBuffer>;
  try {
    bytes = new Uint8Array(await file.arrayBuffer());
  } catch {
    return unreadable(name);
  }
  if (signal?.aborted) return cancelled(name);
  const header = photoHeader(bytes);
  const fault = faultOf(header);
  if (fault) {
    const elsewhere = header.kind === ZIP ? 'A job’s file is opened under Jobs. ' : '';
    return failure(name, { ...fault, remedy: `${elsewhere}${fault.remedy}` });
  }
  // Before the bytes go to the worker.
  const exposure = await photoExposure(bytes);
  const photo = isOwnFormat(header)
    ? await fromWorker(name, bytes, signal)
    : await fromBrowser(name, file);
  if (!photo.ok || !exposure) return photo;
  return { ...photo, exposure, notes: [...photo.notes, ...notesOf(exposure)] };
}

async function fromBrowser(name: string, file: Blob): Promise<Photo | PhotoFailure> {
  let bitmap: ImageBitmap;
  try {
    // Stricter than an image element, which shows what there is of a damaged file.
    bitmap = await createImageBitmap(file, { premultiplyAlpha: 'none' });
  } catch {
    return failure(name, damaged);
  }
  try {
    const { width, height } = bitmap;
    const picture = pictureOf(bitmap, width, height) ?? (await byElement(file, width, height));
    return picture ? { ok: true, name, picture, bits: 8, notes: [] } : tooMuch(name);
  } catch (error) {
    // No room for its pixels.
    if (error instanceof RangeError) return tooMuch(name);
    throw error;
  } finally {
    bitmap.close();
  }
}

async function byElement(
  file: Blob,
  width: number,
  height: number,
): Promise<EncodedPicture | undefined> {
  const image = new Image();
  image.src = URL.createObjectURL(file);
  try {
    const isDecoded = await image.decode().then(
      () => true,
      () => false,
    );
    return isDecoded ? pictureOf(image, width, height) : undefined;
  } finally {
    URL.revokeObjectURL(image.src);
  }
}

async function fromWorker(
  name: string,
  bytes: Uint8Array<ArrayBuffer>,
  signal: AbortSignal | undefined,
): Promise<Photo | PhotoFailure> {
  decoders ??= new PhotoClient();
  const client = decoders;
  const stop = () => client.dispose();
  signal?.addEventListener('abort', stop);
  try {
    const photo = await client.decode(bytes);
    return photo.ok ? { ...photo, name } : failure(name, photo);
  } catch (error) {
    if (signal?.aborted) return cancelled(name);
    if (error instanceof WorkerStopped) return tooMuch(name);
    throw error;
  } finally {
    signal?.removeEventListener('abort', stop);
  }
}

/** The photographs in what was dropped or pasted. */
export const filesIn = (data: DataTransfer | null): File[] => [...(data?.files ?? [])];

function failure(name: string, { reason, says, remedy }: PhotoFault): PhotoFailure {
  return { ok: false, reason, message: `${name} ${says}.`, remedy };
}

const unreadable = (name: string): PhotoFailure => ({
  ok: false,
  reason: 'unreadable',
  message: `${name} cannot be opened: it was moved, or its disk or card is gone.`,
  remedy: 'Look whether it is still there, and choose it again.',
});

const tooMuch = (name: string): PhotoFailure => ({
  ok: false,
  reason: 'too-large',
  message: `${name} could not be decoded: there was not enough memory for it, or it took too long.`,
  remedy: 'Close other windows, or take the photograph at a smaller size, and open it again.',
});

const cancelled = (name: string): PhotoFailure => ({
  ok: false,
  reason: 'cancelled',
  message: `${name} was left out.`,
  remedy: 'Open it again when it is wanted.',
});

/** Of one strip, px: browsers bound a canvas, Safari on telephones to 2²⁴ px, which many photographs exceed. */
const STRIP_PIXELS = 2 ** 22;

/** @returns undefined where nothing was drawn: for want of memory a browser leaves a canvas empty, without a word */
function pictureOf(
  source: ImageBitmap | HTMLImageElement,
  width: number,
  height: number,
): EncodedPicture | undefined {
  const rows = Math.min(height, Math.max(1, Math.floor(STRIP_PIXELS / width)));
  const canvas = new OffscreenCanvas(width, rows);
  const context = canvas.getContext('2d', { colorSpace: 'srgb', willReadFrequently: true })!;
  const rgba = new Uint8ClampedArray(width * height * 4);
  for (let top = 0; top < height; top += rows) {
    const here = Math.min(rows, height - top);
    context.clearRect(0, 0, width, here);
    context.drawImage(source, 0, top, width, here, 0, 0, width, here);
    const { data } = context.getImageData(0, 0, width, here, { colorSpace: 'srgb' });
    if (isEmpty(data)) return undefined;
    rgba.set(data, top * width * 4);
  }
  return { width, height, rgba, maxCode: 255, frames: 1 };
}

function isEmpty(rgba: Uint8ClampedArray): boolean {
  for (let alpha = 3; alpha < rgba.length; alpha += 4) if (rgba[alpha]! > 0) return false;
  return true;
}

/** A picture, 8 or 16 bits, for a canvas on the page. */
export function imageDataOf(picture: EncodedPicture): ImageData {
  const { width, height, rgba, maxCode } = picture;
  const data = new Uint8ClampedArray(width * height * 4);
  // The clamped array rounds; 65535 / 257 = 255.
  for (let i = 0; i < data.length; i += 1) data[i] = maxCode === 255 ? rgba[i]! : rgba[i]! / 257;
  return new ImageData(data, width, height);
}
