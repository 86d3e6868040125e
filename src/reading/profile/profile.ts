/**
 * What is known of one camera: how its codes follow the light, and how its channels follow the eye.
 * Without a profile a reading assumes sRGB and says so in its interval.
 */
import { linearFromEncoded } from '../../colour/srgb.ts';
import { labFromXyzD65, xyzD65FromLab } from '../../colour/cielab.ts';
import { xyzD65, type LabD65, type XyzD65 } from '../../colour/spaces.ts';

/**
 * Tone response of one channel: linear light at evenly spaced codes from 0 to full range, rising from 0;
 * its scale is free, because every reading is relative to the tile.
 */
export type ToneCurve = readonly number[];

export const COLOUR_METHODS = ['linear', 'root-polynomial'] as const;
export type ColourMethod = (typeof COLOUR_METHODS)[number];

/**
 * Light relative to white, linear camera RGB → XYZ relative to that white (D65/2°): a row of
 * coefficients each for X, Y, Z over the terms of the method; each row adds up to 1, so white stays white.
 */
export interface ColourTransform {
  readonly method: ColourMethod;
  readonly rows: readonly [readonly number[], readonly number[], readonly number[]];
}

/** The light a chart's values are stated for: a standard white's, or the very lamp the chart stood under. */
export type StatedFor = 'D50' | 'D65' | 'lamp';

/** ΔE₀₀ of patches left out of the fit and then predicted by it. */
export interface LeftOutError {
  readonly mean: number;
  readonly largest: number;
}

export interface CameraProfile {
  readonly name: string;
  /** The camera as the device names it. */
  readonly camera: string;
  /** ISO 8601 date. */
  readonly madeOn: string;
  readonly tone: readonly [ToneCurve, ToneCurve, ToneCurve];
  /** ln of red and of blue light over green, of white as it was made: the lamp and the camera's balance. */
  readonly whiteLogRatios: readonly [redToGreen: number, blueToGreen: number];
  /** Chromaticity and colour temperature of the lamp it was made under; absent: not known. */
  readonly lamp?: { readonly x: number; readonly y: number; readonly kelvin: number };
  /** Absent: the tone response alone is known. */
  readonly colour?: ColourTransform & { readonly leftOut: LeftOutError };
}

/** A profile of what a chart told. */
export function profileOf(
  { tone, whiteLogRatios, colour }: Pick<CameraProfile, 'tone' | 'whiteLogRatios' | 'colour'>,
  named: Pick<CameraProfile, 'name' | 'camera' | 'madeOn' | 'lamp'>,
): CameraProfile {
  return { ...named, tone, whiteLogRatios, ...(colour && { colour }) };
}

/** Of a profile that comes from a file or a record: its curves rise, and its rows fit their method. */
export const rises = (curve: ToneCurve): boolean =>
  curve.every((light, i) => i === 0 || light > curve[i - 1]!);
export const fitsMethod = (transform: {
  readonly method: ColourMethod;
  readonly rows: readonly (readonly number[])[];
}): boolean =>
  transform.rows.every((row) => row.length === colourTerms(transform.method, [1, 1, 1]).length);

/** Light of a code, 0–1 of full range, by linear interpolation of the curve. */
export function lightOfEncoded(curve: ToneCurve, encoded: number): number {
  const at = Math.min(1, Math.max(0, encoded)) * (curve.length - 1);
  const below = Math.min(curve.length - 2, Math.floor(at));
  return curve[below]! + (at - below) * (curve[below + 1]! - curve[below]!);
}

const tables = new WeakMap<ToneCurve, Map<number, Float64Array>>();

/** Light of every code up to `maxCode`. */
export function lightOfCode(curve: ToneCurve, maxCode: number): Float64Array {
  const known = tables.get(curve) ?? new Map<number, Float64Array>();
  tables.set(curve, known);
  let table = known.get(maxCode);
  if (!table) {
    table = Float64Array.from({ length: maxCode + 1 }, (_, code) =>
      lightOfEncoded(curve, code / maxCode),
    );
    known.set(maxCode, table);
  }
  return table;
}

/** The curve of IEC 61966-2-1, for a camera of which only the colour is known. */
export const SRGB_CURVE: ToneCurve = Array.from({ length: 257 }, (_, i) =>
  linearFromEncoded(i / 256),
);

/**
 * Terms of a colour transform for light relative to white.
 * @param rgb linear, ≥ 0
 * @returns r, g, b; for root polynomials of degree 2 also √rg, √gb, √rb, which scale with exposure as
 *   r, g and b do (Finlayson, Mackiewicz, Hurlbert 2015, “Color correction using root-polynomial
 *   regression”, IEEE Trans. Image Process. 24, eq. 12)
 */
export function colourTerms(
  method: ColourMethod,
  [r, g, b]: readonly [number, number, number],
): readonly number[] {
  if (method === 'linear') return [r, g, b];
  const root = (p: number, q: number) => Math.sqrt(Math.max(0, p) * Math.max(0, q));
  return [r, g, b, root(r, g), root(g, b), root(r, b)];
}

/** XYZ relative to the white that `relativeRgb` is relative to. */
export function relativeXyz(
  { method, rows }: ColourTransform,
  relativeRgb: readonly [number, number, number],
): [number, number, number] {
  const terms = colourTerms(method, relativeRgb);
  const row = (k: 0 | 1 | 2) => rows[k].reduce((sum, w, i) => sum + w * terms[i]!, 0);
  return [row(0), row(1), row(2)];
}

/** Lab D65/2° of light relative to the tile. @param tileLab the tile's own colour */
export function labThroughProfile(
  colour: ColourTransform,
  relativeRgb: readonly [number, number, number],
  tileLab: LabD65,
): LabD65 {
  const tile: XyzD65 = xyzD65FromLab(tileLab);
  const [x, y, z] = relativeXyz(colour, relativeRgb);
  return labFromXyzD65(xyzD65(x * tile[0], y * tile[1], z * tile[2]));
}
