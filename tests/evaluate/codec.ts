/** What happens to a picture between camera and reader. */
import sharp from 'sharp';
import type { Codec } from './plan.ts';

export async function coded(
  rgba: Uint8ClampedArray,
  width: number,
  height: number,
  codec: Codec,
): Promise<Uint8ClampedArray> {
  switch (codec) {
    case 'raw':
      return rgba;
    case 'jpeg-92':
      return throughJpeg(rgba, width, height, 92, '4:4:4');
    case 'jpeg-80':
      return throughJpeg(rgba, width, height, 80, '4:2:0');
    case 'video':
      return throughYuv420(rgba, width, height);
  }
}

async function throughJpeg(
  rgba: Uint8ClampedArray,
  width: number,
  height: number,
  quality: number,
  chromaSubsampling: '4:4:4' | '4:2:0',
): Promise<Uint8ClampedArray> {
  const jpeg = await sharp(rgba, { raw: { width, height, channels: 4 } })
    .removeAlpha()
    .jpeg({ quality, chromaSubsampling })
    .toBuffer();
  const back = await sharp(jpeg).ensureAlpha().raw().toBuffer();
  return new Uint8ClampedArray(back.buffer, back.byteOffset, back.length);
}

/** ITU-R BT.601, limited range, chroma at half size: what a webcam's uncompressed stream carries. */
export function throughYuv420(
  rgba: Uint8ClampedArray,
  width: number,
  height: number,
): Uint8ClampedArray {
  const out = new Uint8ClampedArray(rgba.length);
  for (let y = 0; y < height; y += 2) {
    for (let x = 0; x < width; x += 2) {
      let cb = 0;
      let cr = 0;
      let count = 0;
      for (let k = 0; k < 4; k++) {
        const px = x + (k & 1);
        const py = y + (k >> 1);
        if (px >= width || py >= height) continue;
        const i = 4 * (py * width + px);
        const [r, g, b] = [rgba[i]!, rgba[i + 1]!, rgba[i + 2]!];
        cb += -0.168736 * r - 0.331264 * g + 0.5 * b;
        cr += 0.5 * r - 0.418688 * g - 0.081312 * b;
        count++;
      }
      cb = (Math.round((cb / count) * (224 / 255)) * 255) / 224;
      cr = (Math.round((cr / count) * (224 / 255)) * 255) / 224;
      for (let k = 0; k < 4; k++) {
        const px = x + (k & 1);
        const py = y + (k >> 1);
        if (px >= width || py >= height) continue;
        const i = 4 * (py * width + px);
        const luma = 0.299 * rgba[i]! + 0.587 * rgba[i + 1]! + 0.114 * rgba[i + 2]!;
        const Y = (Math.round((luma * 219) / 255) * 255) / 219;
        out[i] = Y + 1.402 * cr;
        out[i + 1] = Y - 0.344136 * cb - 0.714136 * cr;
        out[i + 2] = Y + 1.772 * cb;
        out[i + 3] = 255;
      }
    }
  }
  return out;
}
