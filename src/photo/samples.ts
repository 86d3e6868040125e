/** Decoded samples of any kind as 16-bit codes, and pictures turned upright. */

/** Pixels as a decoder gives them: upright RGBA codes of 16 bits. */
export interface Samples {
  readonly ok: true;
  readonly width: number;
  readonly height: number;
  /** Bits a channel in the file. */
  readonly bits: number;
  readonly rgba: Uint16Array;
  readonly icc?: Uint8Array;
  /** Its codes come from the sensor's own light, no camera has developed them. */
  readonly light?: 'sensor';
}

/** Codes of any depth as codes of 16 bits: 0 stays 0, full range stays full range. */
export function asCodes16(samples: Uint8Array | Uint16Array, bits: number): Uint16Array {
  if (bits === 16 && samples instanceof Uint16Array) return samples;
  const scale = 65535 / (2 ** bits - 1);
  return Uint16Array.from(samples, (code) => Math.round(code * scale));
}

/** @param samples `channels` a pixel, of which the first three, or else the first, are its colour */
export function rgbaOf(samples: Uint16Array, channels: number): Uint16Array {
  const pixels = samples.length / channels;
  const rgba = new Uint16Array(4 * pixels);
  const [g, b] = channels >= 3 ? [1, 2] : [0, 0];
  for (let p = 0, from = 0, to = 0; p < pixels; p += 1, from += channels, to += 4) {
    rgba[to] = samples[from]!;
    rgba[to + 1] = samples[from + g]!;
    rgba[to + 2] = samples[from + b]!;
    rgba[to + 3] = 65535;
  }
  return rgba;
}

export interface Upright {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint16Array;
}

/**
 * The picture as it was seen. @param orientation of TIFF 6.0, tag 274: which row and column of the
 * stored picture are the top and the left, 1 to 8
 */
export function upright(stored: Upright, orientation: number): Upright {
  if (!(orientation >= 2 && orientation <= 8)) return stored;
  const { width: w, height: h, rgba } = stored;
  const isTurned = orientation >= 5;
  const [width, height] = isTurned ? [h, w] : [w, h];
  const fromRight = [2, 3, 7, 8].includes(orientation);
  const fromBottom = [3, 4, 6, 7].includes(orientation);
  const source = new Uint32Array(2 * Math.ceil(rgba.byteLength / 8));
  new Uint16Array(source.buffer).set(rgba);
  const pixel = new BigUint64Array(source.buffer);
  const turned = new BigUint64Array(width * height);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const [along, down] = isTurned ? [y, x] : [x, y];
      const column = fromRight ? w - 1 - along : along;
      const row = fromBottom ? h - 1 - down : down;
      turned[y * width + x] = pixel[row * w + column]!;
    }
  }
  return { width, height, rgba: new Uint16Array(turned.buffer) };
}
