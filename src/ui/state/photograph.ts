/** A photograph as it is kept with a piece: PNG or JPEG, no larger than a record needs, with a small likeness. */
import { photoFromFile } from '../../camera/photo.ts';
import type { PhotoHeader } from '../../photo/header-fields.ts';
import { photoHeader } from '../../photo/header.ts';
import type { Attachments } from '../../job/attachments.ts';

/** The longer side that is kept, pixels: a page of A4 at 300 dpi has 3508. */
const LONGEST = 3500;
const THUMBNAIL = 320;

export interface Photograph {
  readonly width: number;
  readonly height: number;
  readonly attachments: Attachments;
}

/**
 * Kinds that a browser cannot show are kept as JPEG. Throws, in the person's words, when the file is no
 * photograph that can be kept.
 */
export async function preparePhotograph(file: File): Promise<Photograph> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const header = photoHeader(bytes);
  const isShown = header.format === 'png' || header.format === 'jpeg';
  const bitmap = isShown ? await bitmapOf(file, header) : await likenessOf(file);
  try {
    const { width, height } = bitmap;
    const thumbnail = await reduced(bitmap, THUMBNAIL, 0.8);
    const isAsItIs = isShown && Math.max(width, height) <= LONGEST;
    const picture = isAsItIs
      ? { contentType: `image/${header.format}`, bytes, width, height }
      : await reduced(bitmap, LONGEST, 0.92);
    return {
      width: picture.width,
      height: picture.height,
      attachments: { picture: attachmentOf(picture), thumbnail: attachmentOf(thumbnail) },
    };
  } finally {
    bitmap.close();
  }
}

async function bitmapOf(file: File, { complete }: PhotoHeader): Promise<ImageBitmap> {
  const bitmap = complete ? await createImageBitmap(file).catch(() => undefined) : undefined;
  if (!bitmap) throw new Error(`${file.name} is damaged, or not all of it is there.`);
  return bitmap;
}

async function likenessOf(file: File): Promise<ImageBitmap> {
  const photo = await photoFromFile(file);
  if (!photo.ok) throw new Error(`${photo.message} ${photo.remedy}`);
  return await createImageBitmap(photo.likeness!);
}

const attachmentOf = ({ contentType, bytes }: { contentType: string; bytes: Uint8Array }) => ({
  contentType,
  bytes,
});

async function reduced(bitmap: ImageBitmap, longest: number, quality: number) {
  const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d')!;
  context.imageSmoothingQuality = 'high';
  context.drawImage(bitmap, 0, 0, width, height);
  const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality });
  return {
    contentType: 'image/jpeg',
    bytes: new Uint8Array(await blob.arrayBuffer()),
    width,
    height,
  };
}
