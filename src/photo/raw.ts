/**
 * Camera raw by LibRaw, as near to the sensor's light as it can be had: black taken off, white
 * balanced as the camera noted it, missing colours put in by the mean of their neighbours, no
 * tone curve, no brightening, no highlights made up. LibRaw stays in the camera's own colours, where
 * a sensor's limit can be told; its matrix to linear sRGB is applied here.
 */
import libraw, { type Raw } from 'libraw-wasm/dist/libraw.js';
import * as v from 'valibot';
import { encodedFromLinear } from '../colour/srgb.ts';
import { faultOfSize, unsupported, type PhotoFault } from './fault.ts';
import type { Samples } from './samples.ts';

const SETTINGS = {
  outputColor: 0,
  outputBps: 16,
  // Power and slope; LibRaw's own list has six numbers, and fewer are passed over.
  gamm: [1, 1, 0, 0, 0, 0],
  noAutoBright: true,
  adjustMaximumThr: 0,
  useCameraWb: true,
  highlight: 0,
  userQual: 0,
};
/** From here on a channel has seen all it can; a reading counts from 254 of 255 (reading/picture.ts). */
const FULL = Math.floor((65535 * 254) / 255);

const row = v.array(v.number());
const metadata = v.object({
  width: v.number(),
  height: v.number(),
  color_data: v.object({ rgb_cam: v.array(row), raw_bps: v.optional(v.number()) }),
});
const image = v.object({
  width: v.number(),
  height: v.number(),
  colors: v.number(),
  data: v.instance(Uint16Array),
});

/** Starts LibRaw; what comes back decodes one photograph, and throws at bytes that make no sense. */
export async function rawDecoder(
  wasmBinary: Uint8Array,
): Promise<(bytes: Uint8Array) => Samples | PhotoFault> {
  const silent = () => undefined;
  const { LibRaw } = await libraw({ wasmBinary, print: silent, printErr: silent });
  return (bytes) => decoded(new LibRaw(), bytes);
}

function decoded(raw: Raw, bytes: Uint8Array): Samples | PhotoFault {
  try {
    raw.open(bytes, SETTINGS);
    const said = v.parse(metadata, raw.metadata(true));
    const fault = faultOfSize(said.width, said.height);
    if (fault) return fault;
    const { width, height, colors, data } = v.parse(image, raw.imageData());
    if (colors !== 3) return unsupported(`a raw file of ${colors} colours`);
    const { rgb_cam: matrix, raw_bps: bits = 16 } = said.color_data;
    return { ok: true, width, height, bits, rgba: encoded(data, matrix), light: 'sensor' };
  } finally {
    raw.delete?.();
  }
}

/** Linear camera RGB → sRGB-encoded codes: 16 bits of these are finer than the sensor's own steps. */
function encoded(camera: Uint16Array, matrix: readonly (readonly number[])[]): Uint16Array {
  const codeOf = Uint16Array.from({ length: 65536 }, (_, light) =>
    Math.round(65535 * encodedFromLinear(light / 65535)),
  );
  const [toR, toG, toB] = matrix.map((weights) => weights.slice(0, 3));
  const mixed = (weights: readonly number[], r: number, g: number, b: number) =>
    codeOf[
      Math.round(
        Math.min(FULL - 1, Math.max(0, weights[0]! * r + weights[1]! * g + weights[2]! * b)),
      )
    ]!;
  const rgba = new Uint16Array((camera.length / 3) * 4);
  for (let from = 0, to = 0; from < camera.length; from += 3, to += 4) {
    const r = camera[from]!;
    const g = camera[from + 1]!;
    const b = camera[from + 2]!;
    // Through the matrix a channel at its limit could look as if it were not.
    const isFull = r >= FULL || g >= FULL || b >= FULL;
    rgba[to] = isFull ? 65535 : mixed(toR!, r, g, b);
    rgba[to + 1] = isFull ? 65535 : mixed(toG!, r, g, b);
    rgba[to + 2] = isFull ? 65535 : mixed(toB!, r, g, b);
    rgba[to + 3] = 65535;
  }
  return rgba;
}
