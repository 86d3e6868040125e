/**
 * Spectra on the grid of the CIE tables (380–780 nm at 5 nm) and the truth they give: the colour of
 * a surface under a lamp, for the standard observer, adapted to D65. Own code on purpose: nothing
 * here is shared with the reading that is judged by it, except the observer table.
 */
import { TABLE_WAVELENGTHS_NM } from '../../src/colour/grid.ts';
import { OBSERVER_1931 } from '../../src/colour/observers.ts';

export type Triple = readonly [number, number, number];
/** 81 values on the grid of the tables. */
export type Spectrum = Float64Array;

export const BAND_COUNT = TABLE_WAVELENGTHS_NM.length;

export function spectrumOf(value: (nm: number) => number): Spectrum {
  return Float64Array.from(TABLE_WAVELENGTHS_NM, (nm) => value(nm));
}

/** 1 at `peak`, a different width on each side. */
export function skewedBell(nm: number, peak: number, left: number, right: number): number {
  const z = (nm - peak) / (nm < peak ? left : right);
  return Math.exp(-0.5 * z * z);
}

/** 0 well below `at`, 1 well above it; `width` in nm from about 0.27 to 0.73. */
export function edge(nm: number, at: number, width: number): number {
  return 1 / (1 + Math.exp(-(2 * (nm - at)) / width));
}

/** Σ light · surface · response over the bands. */
export function triplesum(light: Spectrum, surface: Spectrum, response: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < BAND_COUNT; i++) sum += light[i]! * surface[i]! * response[i]!;
  return sum;
}

const PERFECT_DIFFUSER = spectrumOf(() => 1);

/** XYZ of a surface under a lamp, Y of the perfect diffuser = 1. */
export function xyzUnder(lamp: Spectrum, surface: Spectrum): Triple {
  const { xBar, yBar, zBar } = OBSERVER_1931;
  const k = 1 / triplesum(lamp, PERFECT_DIFFUSER, yBar);
  return [
    k * triplesum(lamp, surface, xBar),
    k * triplesum(lamp, surface, yBar),
    k * triplesum(lamp, surface, zBar),
  ];
}

/** Chromaticity 0.3127, 0.3290 (IEC 61966-2-1). */
export const D65_WHITE: Triple = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];

/** Bradford cone responses (Lam 1985, as in ICC.1:2010 annex E). */
const CONES: readonly Triple[] = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];

/** XYZ under the lamp's white → XYZ under D65, Bradford, complete adaptation. */
export function adaptedToD65(xyz: Triple, white: Triple): Triple {
  const scaled = CONES.map((row) => (dot(row, xyz) * dot(row, D65_WHITE)) / dot(row, white));
  return solve3(CONES, scaled as unknown as Triple);
}

/** CIELAB D65/2° of a surface as it stands under the lamp. */
export function labUnder(lamp: Spectrum, surface: Spectrum): Triple {
  return labOfXyz(xyzD65Under(lamp, surface));
}

/** XYZ of a surface as it stands under the lamp, adapted to D65, Y of the perfect diffuser = 1. */
export function xyzD65Under(lamp: Spectrum, surface: Spectrum): Triple {
  return adaptedToD65(xyzUnder(lamp, surface), xyzUnder(lamp, PERFECT_DIFFUSER));
}

/** XYZ D65 (Y of white = 1) → CIELAB D65, ISO/CIE 11664-4. */
export function labOfXyz(xyz: Triple): Triple {
  const root = (i: 0 | 1 | 2) => {
    const t = xyz[i] / D65_WHITE[i];
    return t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 / 116) * t + 16 / 116;
  };
  return [116 * root(1) - 16, 500 * (root(0) - root(1)), 200 * (root(1) - root(2))];
}

/** Linear sRGB → XYZ D65. */
export const xyzOfLinearSrgb = (rgb: Triple): Triple =>
  SRGB_TO_XYZ.map((row) => dot(row, rgb)) as unknown as Triple;

/** XYZ D65 → linear sRGB, from the primaries and white of ITU-R BT.709, solved here. */
export function linearSrgbOf(xyz: Triple): Triple {
  return solve3(SRGB_TO_XYZ, xyz);
}

const SRGB_TO_XYZ: readonly Triple[] = (() => {
  const primaries = [
    [0.64, 0.33],
    [0.3, 0.6],
    [0.15, 0.06],
  ].map(([x, y]): Triple => [x! / y!, 1, (1 - x! - y!) / y!]);
  const rows = [0, 1, 2].map((i) => primaries.map((p) => p[i]!) as unknown as Triple);
  const scale = solve3(rows, D65_WHITE);
  return rows.map((row) => row.map((v, i) => v * scale[i]!) as unknown as Triple);
})();

function dot(a: Triple, b: Triple): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/** Solves rows · x = y (Cramer). */
export function solve3(rows: readonly Triple[], y: Triple): Triple {
  const [p, q, r] = rows as readonly [Triple, Triple, Triple];
  const det = (a: Triple, b: Triple, c: Triple) =>
    a[0] * (b[1] * c[2] - b[2] * c[1]) -
    a[1] * (b[0] * c[2] - b[2] * c[0]) +
    a[2] * (b[0] * c[1] - b[1] * c[0]);
  const whole = det(p, q, r);
  const put = (row: Triple, i: number, v: number) =>
    row.map((old, j) => (j === i ? v : old)) as unknown as Triple;
  return [0, 1, 2].map((i) => det(put(p, i, y[0]), put(q, i, y[1]), put(r, i, y[2])) / whole) as [
    number,
    number,
    number,
  ];
}
