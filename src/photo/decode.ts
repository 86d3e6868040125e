/**
 * The bytes of a photograph → the picture that is read: 16-bit PNG, TIFF, HEIC and camera raw, with
 * their 16 bits, turned upright and in sRGB. 8-bit PNG and JPEG are the browser's, or sharp's on Node.
 * The same code runs in the worker and on the command line; each decoder loads when it is needed.
 */
import type { EncodedPicture } from '../reading/types.ts';
import { srgbConverter, type ToSrgb } from './colour-profile.ts';
import { damaged, faultOf, faultOfSize, noDecoder, type PhotoFault } from './fault.ts';
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

export type PhotoDecoder = (
  bytes: Uint8Array,
  /** Of these bytes; its format must be this code's own. */
  header: PhotoHeader,
) => Promise<DecodedPhoto | PhotoFault>;

type Decode = (bytes: Uint8Array) => Samples | PhotoFault | Promise<Samples | PhotoFault>;

/** Decodes photographs one after the other; what was loaded for one serves the next of its kind. */
export function photoDecoder(code: DecoderCode): PhotoDecoder {
  const decoders = new Once((format: PhotoHeader['format']) => start(format, code));
  const converters = new Once<'srgb', ToSrgb>(() => srgbConverter(code));

  return async (bytes, header) => {
    const fault = faultOf(header);
    if (fault) return fault;
    const decode = await decoders.get(header.format).catch(() => undefined);
    if (!decode) return noDecoder;
    let samples: Samples | PhotoFault;
    try {
      samples = await decode(bytes);
    } catch {
      // Decoders throw at bytes that make no sense, each in its own words, and may be the worse for it.
      decoders.forget(header.format);
      return damaged;
    }
    if (!samples.ok) return samples;
    const { width, height, rgba, bits, icc, light } = samples;
    const wrong = faultOfSize(width, height);
    if (wrong) return wrong;
    let note: string | undefined;
    if (icc) {
      const convert = await converters.get('srgb').catch(() => undefined);
      if (!convert) return noDecoder;
      note = convert(rgba, icc);
    }
    return {
      ok: true,
      picture: { width, height, rgba, maxCode: 65535, frames: 1, ...(light && { light }) },
      bits: header.bits || bits,
      notes: note ? [note] : [],
    };
  };
}

async function start(format: PhotoHeader['format'], code: DecoderCode): Promise<Decode> {
  switch (format) {
    case 'png':
      return (await import('./png.ts')).decodePng;
    case 'tiff':
      return (await import('./tiff.ts')).decodeTiff;
    case 'heif': {
      const [{ heifDecoder }, wasm] = await Promise.all([import('./heif.ts'), code.heif()]);
      return heifDecoder(wasm);
    }
    case 'raw': {
      const [{ rawDecoder }, wasm] = await Promise.all([import('./raw.ts'), code.raw()]);
      return await rawDecoder(wasm);
    }
    case 'jpeg':
    case 'other':
    case 'empty':
      throw new Error(`no decoder of ours for ${format}`);
  }
}

/** What is started once for each name, and anew after it was forgotten or could not be had. */
class Once<Name, Value> {
  readonly #start: (name: Name) => Promise<Value>;
  readonly #started = new Map<Name, Promise<Value>>();

  constructor(start: (name: Name) => Promise<Value>) {
    this.#start = start;
  }

  async get(name: Name): Promise<Value> {
    const value = this.#started.get(name) ?? this.#start(name);
    this.#started.set(name, value);
    try {
      return await value;
    } catch (error) {
      this.forget(name);
      throw error;
    }
  }

  forget(name: Name): void {
    this.#started.delete(name);
  }
}
