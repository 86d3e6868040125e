/** HEIC by libheif: turned and mirrored as the file says, in whatever depth it has. */
import libheif, { type Heif } from 'libheif-js/libheif-wasm/libheif.js';
import { unsupported, type PhotoFault } from './fault.ts';
import { heifColour } from './heif-header.ts';
import { displayP3ToSrgb } from './display-p3.ts';
import { rgbaOf, type Samples } from './samples.ts';

/** Code points of ISO/IEC 23091-2: primaries of Display P3 and of BT.2020, curves of HDR. */
const P3 = 12;
const BT2020 = 9;
const HDR = [16, 18];

/** Starts libheif; what comes back decodes one photograph, and throws at bytes that make no sense. */
export function heifDecoder(
  wasmBinary: Uint8Array,
): (bytes: Uint8Array) => Promise<Samples | PhotoFault> {
  const silent = () => undefined;
  const heif = libheif({ wasmBinary, print: silent, printErr: silent });
  return (bytes) => decoded(heif, bytes);
}

async function decoded(heif: Heif, bytes: Uint8Array): Promise<Samples | PhotoFault> {
  const colour = heifColour(bytes);
  if (!colour.icc && (colour.primaries === BT2020 || HDR.includes(colour.transfer ?? 0))) {
    return unsupported('a HEIC of high dynamic range');
  }
  const context = heif.heif_context_alloc();
  try {
    const opened = heif.heif_context_read_from_memory(context, bytes);
    if (opened.code !== heif.heif_error_code.heif_error_Ok) throw new Error('not to be opened');
    const handle = heif.heif_js_context_get_primary_image_handle(context);
    if (!('$$' in handle)) throw new Error(handle.message);
    const picture = await heif.heif_js_decode_image2(
      handle,
      heif.heif_colorspace.heif_colorspace_RGB,
      heif.heif_chroma.heif_chroma_interleaved_RRGGBB_LE,
    );
    if (!('channels' in picture)) throw new Error(picture.message);
    const [plane] = picture.channels;
    const { width, height, bits_per_pixel: bits } = plane!;
    const rgba = rgbaOf(codesOf(plane!), 3);
    if (!colour.icc && colour.primaries === P3) displayP3ToSrgb(rgba);
    return { ok: true, width, height, bits, rgba, ...(colour.icc && { icc: colour.icc }) };
  } finally {
    heif.heif_context_free(context);
  }
}

/** Rows of little-endian codes, RGB, as codes of 16 bits. */
function codesOf(plane: {
  readonly stride: number;
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
  readonly bits_per_pixel: number;
}): Uint16Array {
  const { stride, data, width, height, bits_per_pixel: bits } = plane;
  const scale = 65535 / (2 ** bits - 1);
  const codes = new Uint16Array(3 * width * height);
  for (let y = 0, to = 0; y < height; y += 1) {
    for (let x = 0, at = y * stride; x < 3 * width; x += 1, at += 2, to += 1) {
      codes[to] = Math.round((data[at]! + 256 * data[at + 1]!) * scale);
    }
  }
  return codes;
}
