/**
 * Chromatic adaptation by von Kries scaling in a sharpened cone space: what a surface seen under one
 * white looks like under another. Any XYZ scale, the same for both whites.
 */
import { WHITE_D65 } from './cielab.ts';
import { xyz, xyzD65, type Xyz, type XyzD65 } from './spaces.ts';

type Row = readonly [number, number, number];
type Rows = readonly [Row, Row, Row];

/**
 * XYZ → cone-like responses.
 * bradford: Lam 1985, linear form, ICC.1:2022 Annex E.
 * cat02: Moroney et al. 2002, CIE 159:2004 (CIECAM02).
 * cat16: Li et al. 2017, Color Res. Appl. 42(6), CIE 248:2022 (CIECAM16).
 */
const CONE_MATRIX = {
  bradford: [
    [0.8951, 0.2664, -0.1614],
    [-0.7502, 1.7135, 0.0367],
    [0.0389, -0.0685, 1.0296],
  ],
  cat02: [
    [0.7328, 0.4296, -0.1624],
    [-0.7036, 1.6975, 0.0061],
    [0.003, 0.0136, 0.9834],
  ],
  cat16: [
    [0.401288, 0.650173, -0.051461],
    [-0.250268, 1.204414, 0.045854],
    [-0.002079, 0.048952, 0.953127],
  ],
} as const satisfies Record<string, Rows>;

export type AdaptationTransform = keyof typeof CONE_MATRIX;

/**
 * The 3×3 matrix, row by row, that takes XYZ seen under `fromWhite` to XYZ seen under `toWhite`,
 * adaptation complete (D = 1). The white itself maps exactly. Throws a RangeError when a white
 * has a response that is not above zero: then it is not a light.
 */
export function adaptationMatrix(
  fromWhite: Xyz | XyzD65,
  toWhite: Xyz | XyzD65,
  transform: AdaptationTransform = 'bradford',
): Rows {
  const toCone: Rows = CONE_MATRIX[transform];
  const from = multiply(toCone, fromWhite);
  const to = multiply(toCone, toWhite);
  if (![...from, ...to].every((response) => response > 0 && response < Infinity)) {
    throw new RangeError('a white must have cone responses above zero');
  }
  const scaled = toCone.map((row, i) => row.map((m) => (m * to[i]!) / from[i]!));
  const fromCone = inverse(toCone);
  return fromCone.map((row) =>
    [0, 1, 2].map(
      (j) => row[0] * scaled[0]![j]! + row[1] * scaled[1]![j]! + row[2] * scaled[2]![j]!,
    ),
  ) as unknown as Rows;
}

/** `colour` seen under `fromWhite`, as it looks under `toWhite`; see `adaptationMatrix`. */
export function adapt(
  colour: Xyz | XyzD65,
  fromWhite: Xyz | XyzD65,
  toWhite: Xyz | XyzD65,
  transform: AdaptationTransform = 'bradford',
): Xyz {
  return xyz(...multiply(adaptationMatrix(fromWhite, toWhite, transform), colour));
}

/** `colour` seen under `fromWhite`, as it looks under D65; see `adaptationMatrix`. */
export function adaptToD65(
  colour: Xyz,
  fromWhite: Xyz,
  transform: AdaptationTransform = 'bradford',
): XyzD65 {
  return xyzD65(...multiply(adaptationMatrix(fromWhite, WHITE_D65, transform), colour));
}

function multiply(m: Rows, v: readonly [number, number, number]): [number, number, number] {
  const times = (row: Row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2];
  return [times(m[0]), times(m[1]), times(m[2])];
}

function inverse([[a, b, c], [d, e, f], [g, h, i]]: Rows): Rows {
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [(e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det],
    [(f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det],
    [(d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det],
  ];
}
