/**
 * The bytes of a photograph → the picture that is read: 16-bit PNG, TIFF, HEIC and camera raw, with
 * their 16 bits, turned upright and in sRGB. 8-bit PNG and JPEG are the browser's, or sharp's on Node.
 * The same code runs in the worker and on the command line; each decoder loads when it is needed.
 */
import type { EncodedPicture } from '../reading/types.ts';
import { toSrgb } from './colour-profile.ts';
import { damaged, faultOf, faultOfSize, type PhotoFault } from './fault.ts';
import type { PhotoHeader } from './header-fields.ts';
import type { DecoderCode } from './libraries.ts';
import type { Samples } from './samples.ts';

export interface DecodedPhoto {
  readonly ok: true;
  readonly picture: EncodedPicture;
  /** Bits a channel in the file. */
  readonly bits: number;
  /** What must be said of it, in whole sentences. */
  readonly notes: readonly string[];
}

/** Is it this code's to decode, and not the browser's or sharp's? */
export const isOwnFormat = ({ format, bits }: PhotoHeader): boolean =>
  format === 'tiff' || format === 'heif' || format === 'raw' || (format === 'png' && bits === 16);

/** @param header of these bytes; its format must be this code's own */
export async function decodePhoto(
  bytes: Uint8Array,
  header: PhotoHeader,
  code: DecoderCode,
): Promise<DecodedPhoto | PhotoFault> {
  const fault = faultOf(header);
  if (fault) return fault;
  const samples = await samplesOf(bytes, header, code);
  if (!samples.ok) return samples;
  const { width, height, rgba, bits, icc, light } = samples;
  const wrong = faultOfSize(width, height);
  if (wrong) return wrong;
  const note = icc && (await toSrgb(rgba, icc, code));
  return {
    ok: true,
    picture: { width, height, rgba, maxCode: 65535, frames: 1, ...(light && { light }) },
    bits: header.bits || bits,
    notes: note ? [note] : [],
  };
}

async function samplesOf(
  bytes: Uint8Array,
  { format }: PhotoHeader,
  code: DecoderCode,
): Promise<Samples | PhotoFault> {
  const decode = await decoderOf(format, code);
  try {
    return await decode(bytes);
  } catch {
    // Decoders throw at bytes that make no sense, each in its own words.
    return damaged;
  }
}

type Decode = (bytes: Uint8Array) => Decoded | Promise<Decoded>;
type Decoded = Samples | PhotoFault;

async function decoderOf(format: PhotoHeader['format'], code: DecoderCode): Promise<Decode> {
  switch (format) {
    case 'png':
      return (await import('./png.ts')).decodePng;
    case 'tiff':
      return (await import('./tiff.ts')).decodeTiff;
    case 'heif': {
      const [{ decodeHeif }, wasm] = await Promise.all([import('./heif.ts'), code.heif()]);
      return (bytes) => decodeHeif(bytes, wasm);
    }
    case 'raw': {
      const [{ decodeRaw }, wasm] = await Promise.all([import('./raw.ts'), code.raw()]);
      return (bytes) => decodeRaw(bytes, wasm);
    }
    case 'jpeg':
    case 'other':
      throw new Error(`no decoder of ours for ${format}`);
  }
}
