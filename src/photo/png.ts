/** 16-bit PNG, whose halves a browser throws away. */
import { decode } from 'fast-png';
import { asCodes16, rgbaOf, type Samples } from './samples.ts';

export function decodePng(bytes: Uint8Array): Samples {
  const { width, height, depth, channels, data, iccEmbeddedProfile } = decode(bytes, {
    checkCrc: true,
  });
  return {
    ok: true,
    width,
    height,
    bits: depth,
    rgba: rgbaOf(asCodes16(data as Uint8Array | Uint16Array, depth), channels),
    ...(iccEmbeddedProfile && { icc: iccEmbeddedProfile.profile }),
  };
}
