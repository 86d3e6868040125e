/**
 * Colours of an embedded ICC profile as sRGB (ICC.1:2022, relative colorimetric, by LittleCMS, without
 * its shortcuts: those resample 16 bits through a table of 33 steps, and miss dark colours by a 20th
 * of the range). What lies outside sRGB is brought to its edge.
 */
import type { DecoderCode } from './libraries.ts';

/** Pixels handed over at once. */
const STRIP = 1 << 16;
/** Codes of 65535 within which a profile counts as sRGB itself: a quarter of a step of 8 bits. */
const SAME = 64;
/** Steps a channel on which that is tried. */
const STEPS = 6;

/**
 * Changes codes of 16 bits in place; of a grey picture all three are the same. Answers what must be said
 * of the profile: nothing, when it was followed.
 */
export type ToSrgb = (rgba: Uint16Array, icc: Uint8Array) => string | undefined;

export async function srgbConverter(code: Pick<DecoderCode, 'colour'>): Promise<ToSrgb> {
  const [lcms, wasmBinary] = await Promise.all([
    import('lcms-wasm/dist/lcms.min.js'),
    code.colour(),
  ]);
  const cms = await lcms.instantiate({ wasmBinary });
  return (rgba, icc) => {
    const profile = cms.cmsOpenProfileFromMem(icc, icc.length);
    if (profile === 0) return 'Its colour profile is damaged: sRGB is assumed.';
    const space = cms.cmsGetColorSpaceASCII(profile);
    if (space !== 'RGB' && space !== 'GRAY') {
      cms.cmsCloseProfile(profile);
      return 'Its colour profile is for another kind of picture: sRGB is assumed.';
    }
    const srgb = cms.cmsCreate_sRGBProfile();
    const transform = cms.cmsCreateTransform(
      profile,
      space === 'RGB' ? lcms.TYPE_RGB_16 : lcms.TYPE_GRAY_16,
      srgb,
      lcms.TYPE_RGB_16,
      lcms.INTENT_RELATIVE_COLORIMETRIC,
      lcms.cmsFLAGS_NOOPTIMIZE,
    );
    cms.cmsCloseProfile(profile);
    cms.cmsCloseProfile(srgb);
    if (transform === 0) return 'Its colour profile cannot be followed: sRGB is assumed.';
    const channels = space === 'RGB' ? 3 : 1;
    const convert = (pixels: Uint16Array) =>
      cms.cmsDoTransform(transform, pixels, pixels.length / channels);
    if (!isSrgb(convert, channels)) eachStrip(rgba, channels, convert);
    cms.cmsDeleteTransform(transform);
    return undefined;
  };
}

function isSrgb(convert: (pixels: Uint16Array) => Uint16Array, channels: 1 | 3): boolean {
  const level = (i: number) => Math.round((65535 * i) / (STEPS - 1));
  const tried = Array.from({ length: STEPS ** channels }, (_, i) =>
    Array.from({ length: channels }, (__, c) => level(Math.floor(i / STEPS ** c) % STEPS)),
  );
  const converted = convert(Uint16Array.from(tried.flat()));
  return tried.every((codes, i) =>
    [0, 1, 2].every((c) => Math.abs(converted[3 * i + c]! - codes[c % channels]!) <= SAME),
  );
}

function eachStrip(
  rgba: Uint16Array,
  channels: 1 | 3,
  convert: (pixels: Uint16Array) => Uint16Array,
): void {
  for (let from = 0; from < rgba.length; from += 4 * STRIP) {
    const count = Math.min(STRIP, (rgba.length - from) / 4);
    const pixels = new Uint16Array(count * channels);
    for (let p = 0; p < count; p += 1) {
      for (let c = 0; c < channels; c += 1) pixels[channels * p + c] = rgba[from + 4 * p + c]!;
    }
    const converted = convert(pixels);
    for (let p = 0; p < count; p += 1) {
      for (let c = 0; c < 3; c += 1) rgba[from + 4 * p + c] = converted[3 * p + c]!;
    }
  }
}
