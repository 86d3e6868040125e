/** Why a photograph cannot be read: a value, never a throw. */
import type { PhotoHeader } from './header-fields.ts';

export interface PhotoFault {
  readonly ok: false;
  readonly reason:
    'not-a-photo' | 'damaged' | 'too-small' | 'too-large' | 'unsupported' | 'no-decoder';
  /** What is wrong with it; the name of the file goes before. */
  readonly says: string;
  readonly remedy: string;
}

export const SMALLEST_SIDE = 64;
export const MOST_MEGAPIXELS = 60;
const KINDS = 'PNG, JPEG, TIFF, HEIC and camera raw files can be read';

export const damaged: PhotoFault = {
  ok: false,
  reason: 'damaged',
  says: 'is damaged, or not all of it is there',
  remedy: 'Copy it from the camera again, or take another photograph.',
};

/** The code could not be fetched, or there is no room to start it. */
export const noDecoder: PhotoFault = {
  ok: false,
  reason: 'no-decoder',
  says: 'cannot be opened now: what decodes it could not be loaded',
  remedy: 'Open it again while there is a network; close other windows if that does not help.',
};

export function unsupported(what: string): PhotoFault {
  return {
    ok: false,
    reason: 'unsupported',
    says: `is ${what}, which cannot be read`,
    remedy: 'Save it as TIFF or PNG with red, green and blue in 8 or 16 bits, and open it again.',
  };
}

const empty: PhotoFault = { ...damaged, says: 'is empty: not one byte of it is there' };

/** What the header says against decoding it; undefined: nothing. */
export function faultOf(header: PhotoHeader): PhotoFault | undefined {
  const { format, width, height, complete, kind, falseColours } = header;
  if (format === 'empty') return empty;
  if (format === 'other') {
    return {
      ok: false,
      reason: 'not-a-photo',
      says: kind ? `is ${kind}, which cannot be read` : 'is not a photograph',
      remedy: `${KINDS}, whatever the file is called.`,
    };
  }
  // How large a raw picture is its decoder tells.
  if (format === 'raw') return complete ? undefined : damaged;
  if (!complete || width === 0 || height === 0) return damaged;
  return faultOfSize(width, height) ?? (falseColours ? unsupported(falseColours) : undefined);
}

export function faultOfSize(width: number, height: number): PhotoFault | undefined {
  if (Math.min(width, height) < SMALLEST_SIDE) {
    return {
      ok: false,
      reason: 'too-small',
      says: `is only ${width} × ${height} pixels`,
      remedy: `A reading needs at least ${SMALLEST_SIDE} pixels each way, and better a thousand.`,
    };
  }
  const megapixels = (width * height) / 1e6;
  if (megapixels > MOST_MEGAPIXELS) {
    return {
      ok: false,
      reason: 'too-large',
      says: `has ${Math.round(megapixels)} megapixels; at most ${MOST_MEGAPIXELS} can be read`,
      remedy: 'Crop it to the tile and the repair, or take it at a smaller size.',
    };
  }
  return undefined;
}
