/** Frames as a YUV4MPEG2 file, which a browser plays as its camera. */
import { closeSync, openSync, writeSync } from 'node:fs';

export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray | Uint8Array;
}

/**
 * Writes 4:2:0 in the limited range of ITU-R BT.601, which browsers take such a file to be; 30 frames
 * a second, played in a loop.
 * @param frames all of one, even size
 */
export function writeFakeCamera(path: string, frames: Iterable<Frame>): void {
  const file = openSync(path, 'w');
  try {
    let begun = false;
    for (const frame of frames) {
      const { width, height } = frame;
      if (!begun) writeSync(file, `YUV4MPEG2 W${width} H${height} F30:1 Ip A1:1 C420jpeg\n`);
      begun = true;
      writeSync(file, 'FRAME\n');
      writeSync(file, planes(frame));
    }
  } finally {
    closeSync(file);
  }
}

/** Y', then Cb and Cr of each 2 × 2 pixels (ITU-R BT.601-7, § 2.5). */
function planes({ width, height, rgba }: Frame): Uint8Array {
  const luma = width * height;
  const out = new Uint8Array(luma * 1.5);
  const half = width / 2;
  for (let y = 0; y < height; y += 2) {
    for (let x = 0; x < width; x += 2) {
      let cb = 0;
      let cr = 0;
      for (let i = 0; i < 4; i++) {
        const at = (y + (i >> 1)) * width + x + (i & 1);
        const [r, g, b] = [rgba[4 * at]!, rgba[4 * at + 1]!, rgba[4 * at + 2]!];
        const encoded = 0.299 * r + 0.587 * g + 0.114 * b;
        out[at] = Math.round(16 + (219 / 255) * encoded);
        cb += (b - encoded) / 1.772;
        cr += (r - encoded) / 1.402;
      }
      const at = luma + (y / 2) * half + x / 2;
      out[at] = Math.round(128 + ((224 / 255) * cb) / 4);
      out[at + luma / 4] = Math.round(128 + ((224 / 255) * cr) / 4);
    }
  }
  return out;
}
