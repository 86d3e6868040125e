/** A picture's pixels as a canvas takes them: 8 bits, and no more of them than it can be trusted with. */
import type { EncodedPicture } from '../../reading/types.ts';

/** Telephones leave a canvas of more than 16.8 megapixels empty, or one for which memory is short. */
const MOST = 4e6;

export interface DrawnPixels {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray<ArrayBuffer>;
}

/** The nearest pixel of the picture for each of at most `most`, over the whole of it. */
export function drawnPixels(picture: EncodedPicture, most = MOST): DrawnPixels {
  const scale = Math.min(1, Math.sqrt(most / (picture.width * picture.height)));
  const width = Math.max(1, Math.floor(picture.width * scale));
  const height = Math.max(1, Math.floor(picture.height * scale));
  const shift = picture.maxCode === 255 ? 0 : 8;
  const rgba = new Uint8ClampedArray(width * height * 4);
  for (let y = 0, to = 0; y < height; y++) {
    const row = Math.floor(((y + 0.5) * picture.height) / height) * picture.width;
    for (let x = 0; x < width; x++) {
      const from = 4 * (row + Math.floor(((x + 0.5) * picture.width) / width));
      for (let channel = 0; channel < 4; channel++)
        rgba[to++] = picture.rgba[from + channel]! >> shift;
    }
  }
  return { width, height, rgba };
}
