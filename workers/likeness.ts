/** A picture of 16 bits as the screen can show it. */
import type { EncodedPicture } from '../src/reading/types.ts';

const LONGEST = 4096;

export async function likenessOf({ width, height, rgba }: EncodedPicture): Promise<Blob> {
  const data = new Uint8ClampedArray(rgba.length);
  // The clamped array rounds; 65535 / 257 = 255.
  for (let i = 0; i < rgba.length; i += 1) data[i] = rgba[i]! / 257;
  const scale = Math.min(1, LONGEST / Math.max(width, height));
  const bitmap = await createImageBitmap(new ImageData(data, width, height), {
    resizeWidth: Math.max(1, Math.round(width * scale)),
    resizeHeight: Math.max(1, Math.round(height * scale)),
    resizeQuality: 'high',
  });
  const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
  canvas.getContext('2d')!.drawImage(bitmap, 0, 0);
  bitmap.close();
  return await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.92 });
}
