/** What is kept of the picture a reading was made from: the crop, as PNG, and a small likeness. */
import { imageDataOf } from '../../camera/photo.ts';
import type { EncodedPicture } from '../../reading/types.ts';
import type { ViewRect } from '../elements/view-rect.ts';
import type { ReadingPictures } from './bench-records.ts';

const THUMBNAIL_SIDE = 96;

/** The part of a picture, as a picture of its own. `part` must lie inside it. */
export function cropPicture(picture: EncodedPicture, part: ViewRect): EncodedPicture {
  const { x, y, width, height } = part;
  const kind = picture.rgba.constructor as new (length: number) => Uint16Array;
  const rgba = new kind(width * height * 4);
  for (let row = 0; row < height; row += 1) {
    const from = ((y + row) * picture.width + x) * 4;
    rgba.set(picture.rgba.subarray(from, from + width * 4), row * width * 4);
  }
  return { ...picture, width, height, rgba };
}

/** What of a crop is kept with its record. */
export async function picturesOf(picture: EncodedPicture): Promise<ReadingPictures> {
  const [crop, thumbnail] = await Promise.all([pngOf(picture), thumbnailOf(picture)]);
  return { crop, thumbnail };
}

/** Encodes a picture as PNG, 8 bits a channel, sRGB. */
async function pngOf(picture: EncodedPicture): Promise<Blob> {
  const canvas = new OffscreenCanvas(picture.width, picture.height);
  canvas.getContext('2d')!.putImageData(imageDataOf(picture), 0, 0);
  return await canvas.convertToBlob({ type: 'image/png' });
}

/** A likeness at most 96 pixels on a side, JPEG. */
async function thumbnailOf(picture: EncodedPicture): Promise<Blob> {
  const scale = Math.min(1, THUMBNAIL_SIDE / Math.max(picture.width, picture.height));
  const bitmap = await createImageBitmap(imageDataOf(picture), {
    resizeWidth: Math.max(1, Math.round(picture.width * scale)),
    resizeHeight: Math.max(1, Math.round(picture.height * scale)),
    resizeQuality: 'high',
  });
  const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
  canvas.getContext('2d')!.drawImage(bitmap, 0, 0);
  bitmap.close();
  return await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.85 });
}
