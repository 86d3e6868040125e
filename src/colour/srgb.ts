/**
 * sRGB, IEC 61966-2-1:1999. Encoded and linear values in 0–1; values outside are carried through
 * the odd-symmetric extension, so that noise round black does not pile up at zero.
 */
import { linearRgb, xyzD65, type LinearRgb, type XyzD65 } from './spaces.ts';

/** Encoded → linear, IEC 61966-2-1 eq. for the decoding of sRGB values. */
export function linearFromEncoded(v: number): number {
  const u = Math.abs(v);
  const linear = u <= 0.04045 ? u / 12.92 : ((u + 0.055) / 1.055) ** 2.4;
  return v < 0 ? -linear : linear;
}

/** Linear → encoded, the inverse of `linearFromEncoded`. */
export function encodedFromLinear(v: number): number {
  const u = Math.abs(v);
  const encoded = u <= 0.0031308 ? 12.92 * u : 1.055 * u ** (1 / 2.4) - 0.055;
  return v < 0 ? -encoded : encoded;
}

/** Linear value of each 8-bit code. */
export const LINEAR_OF_CODE: Float64Array = Float64Array.from({ length: 256 }, (_, code) =>
  linearFromEncoded(code / 255),
);

/**
 * Linear sRGB → XYZ D65 (Y of white = 1): the primaries of ITU-R BT.709 and the white
 * x = 0.3127, y = 0.3290, to the digits that carry no rounding of their own.
 */
export const XYZ_FROM_LINEAR_SRGB: readonly number[] = [
  0.41239079926595934, 0.357584339383878, 0.1804807884018343, 0.21263900587151027,
  0.715168678767756, 0.07219231536073371, 0.01933081871559182, 0.11919477979462598,
  0.9505321522496607,
];
export const LINEAR_SRGB_FROM_XYZ: readonly number[] = [
  3.2409699419045226, -1.537383177570094, -0.4986107602930034, -0.9692436362808796,
  1.8759675015077202, 0.04155505740717559, 0.05563007969699366, -0.20397695888897652,
  1.0569715142428786,
];

export function xyzD65FromLinearSrgb([r, g, b]: LinearRgb): XyzD65 {
  const m = XYZ_FROM_LINEAR_SRGB;
  return xyzD65(
    m[0]! * r + m[1]! * g + m[2]! * b,
    m[3]! * r + m[4]! * g + m[5]! * b,
    m[6]! * r + m[7]! * g + m[8]! * b,
  );
}

export function linearSrgbFromXyzD65([X, Y, Z]: XyzD65): LinearRgb {
  const m = LINEAR_SRGB_FROM_XYZ;
  return linearRgb(
    m[0]! * X + m[1]! * Y + m[2]! * Z,
    m[3]! * X + m[4]! * Y + m[5]! * Z,
    m[6]! * X + m[7]! * Y + m[8]! * Z,
  );
}
