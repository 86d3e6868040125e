/**
 * Uncompressed video for a fake camera: YUV4MPEG2, 8 bits, ITU-R BT.601 limited range, chroma at
 * half size both ways.
 */
import { closeSync, openSync, writeSync } from 'node:fs';

/**
 * Writes frames of RGBA (even width and height) to a file, replacing it.
 * @throws RangeError when the size is odd or a frame has another size
 */
export function writeY4m(
  file: string,
  width: number,
  height: number,
  framesPerSecond: number,
  frames: Iterable<Uint8Array | Uint8ClampedArray>,
): void {
  if (width % 2 !== 0 || height % 2 !== 0) {
    throw new RangeError(`4:2:0 video needs even sides, not ${width} × ${height}`);
  }
  const out = openSync(file, 'w');
  try {
    writeSync(out, `YUV4MPEG2 W${width} H${height} F${framesPerSecond}:1 Ip A1:1 C420mpeg2\n`);
    for (const rgba of frames) {
      if (rgba.length !== 4 * width * height) {
        throw new RangeError(`a frame has ${rgba.length} bytes, not ${4 * width * height}`);
      }
      writeSync(out, 'FRAME\n');
      writeSync(out, yuv420(rgba, width, height));
    }
  } finally {
    closeSync(out);
  }
}

/** Planes Y, Cb, Cr one after the other. */
export function yuv420(
  rgba: Uint8Array | Uint8ClampedArray,
  width: number,
  height: number,
): Uint8ClampedArray {
  const size = width * height;
  const planes = new Uint8ClampedArray(size + size / 2);
  for (let y = 0; y < height; y += 2) {
    for (let x = 0; x < width; x += 2) {
      let [r4, g4, b4] = [0, 0, 0];
      for (let k = 0; k < 4; k++) {
        const at = (y + (k >> 1)) * width + x + (k & 1);
        const [r, g, b] = [rgba[4 * at]!, rgba[4 * at + 1]!, rgba[4 * at + 2]!];
        planes[at] = 16 + (65.481 * r + 128.553 * g + 24.966 * b) / 255;
        r4 += r;
        g4 += g;
        b4 += b;
      }
      const at = size + (y / 2) * (width / 2) + x / 2;
      planes[at] = 128 + (-37.797 * r4 - 74.203 * g4 + 112 * b4) / 1020;
      planes[at + size / 4] = 128 + (112 * r4 - 93.786 * g4 - 18.214 * b4) / 1020;
    }
  }
  return planes;
}
