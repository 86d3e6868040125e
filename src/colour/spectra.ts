/**
 * Reflectance on the paint grid × a lamp → XYZ → CIELAB D65/2° (CIE 15:2004, section 7).
 *
 * The sum runs over the 5 nm tables, 380–780 nm, so that the narrow bands of fluorescent lamps count
 * as they are. The reflectance between its 10 nm bands is interpolated by Lagrange's cubic (the
 * quadratic in the first and the last interval), and beyond 730 nm it stays as at 730 nm, as
 * CIE 15:2004 section 7.2 allows. Both are linear, so they fold into 36 weights for each of X, Y, Z.
 *
 * White: the perfect diffuser has Y = 1, and its summed XYZ is the white that is adapted to D65,
 * also when the lamp is D65 itself (summed x = 0.31272, y = 0.32903 against the rounded 0.3127, 0.3290
 * of the sRGB standard). So the perfect diffuser has L* = 100, a* = b* = 0 under every lamp.
 */
import { adaptationMatrix, type AdaptationTransform } from './adaptation.ts';
import { labFromXyzD65, WHITE_D65 } from './cielab.ts';
import { BANDS, TABLE_BANDS, type Reflectance, type TableSpectrum } from './grid.ts';
import { D65, type Illuminant } from './illuminants.ts';
import { OBSERVER_1931 } from './observers.ts';
import { xyz, xyzD65, type LabD65, type Xyz, type XyzD65 } from './spaces.ts';

/** Weights of X, then Y, then Z: 3 × 36 numbers. */
type Weights = Float64Array;

/** XYZ of the perfect diffuser under the lamp, Y = 1, CIE 1931 2° observer. */
export function whiteOfIlluminant(illuminant: Illuminant): Xyz {
  const weights = weightsOf(illuminant);
  const sum = (from: number) => weights.subarray(from, from + BANDS).reduce((s, w) => s + w, 0);
  return xyz(sum(0), sum(BANDS), sum(2 * BANDS));
}

/** XYZ of a surface under the lamp, Y of the perfect diffuser = 1, not adapted. */
export function xyzFromReflectance(surface: Reflectance, illuminant: Illuminant): Xyz {
  return xyz(...weighted(weightsOf(illuminant), surface));
}

/** XYZ of a surface under the lamp, adapted from the lamp's white to D65. */
export function xyzD65FromReflectance(
  surface: Reflectance,
  illuminant: Illuminant = D65,
  transform: AdaptationTransform = 'bradford',
): XyzD65 {
  return xyzD65(...weighted(adaptedWeightsOf(illuminant, transform), surface));
}

/** CIELAB D65/2° of a surface under the lamp, adapted from the lamp's white to D65. */
export function labD65FromReflectance(
  surface: Reflectance,
  illuminant: Illuminant = D65,
  transform: AdaptationTransform = 'bradford',
): LabD65 {
  return labFromXyzD65(xyzD65FromReflectance(surface, illuminant, transform));
}

function weighted(weights: Weights, surface: Reflectance): [number, number, number] {
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let band = 0; band < BANDS; band++) {
    const R = surface[band]!;
    X += weights[band]! * R;
    Y += weights[BANDS + band]! * R;
    Z += weights[2 * BANDS + band]! * R;
  }
  return [X, Y, Z];
}

// A solver asks for the same few lamps thousands of times: each is folded once.
const folded = new WeakMap<Illuminant, Weights>();
const foldedToD65 = new WeakMap<Illuminant, Map<AdaptationTransform, Weights>>();

function weightsOf(illuminant: Illuminant): Weights {
  let weights = folded.get(illuminant);
  if (!weights) {
    weights = fold(illuminant.power);
    folded.set(illuminant, weights);
  }
  return weights;
}

function adaptedWeightsOf(illuminant: Illuminant, transform: AdaptationTransform): Weights {
  const known = foldedToD65.get(illuminant) ?? new Map<AdaptationTransform, Weights>();
  foldedToD65.set(illuminant, known);
  let adapted = known.get(transform);
  if (!adapted) {
    const plain = weightsOf(illuminant);
    const matrix = adaptationMatrix(whiteOfIlluminant(illuminant), WHITE_D65, transform);
    adapted = Float64Array.from(plain, (_, at) => {
      const row = matrix[Math.floor(at / BANDS)]!;
      const band = at % BANDS;
      return (
        row[0] * plain[band]! + row[1] * plain[BANDS + band]! + row[2] * plain[2 * BANDS + band]!
      );
    });
    known.set(transform, adapted);
  }
  return adapted;
}

/** Sums power × observer over the 5 nm table into the bands that each 5 nm value leans on. */
function fold(power: TableSpectrum): Weights {
  const { xBar, yBar, zBar } = OBSERVER_1931;
  let whiteY = 0;
  for (let k = 0; k < TABLE_BANDS; k++) whiteY += power[k]! * yBar[k]!;
  if (!(whiteY > 0)) throw new RangeError('the lamp gives no visible light');
  const weights = new Float64Array(3 * BANDS);
  [xBar, yBar, zBar].forEach((bar, row) => {
    for (let k = 0; k < TABLE_BANDS; k++) {
      const share = (power[k]! * bar[k]!) / whiteY;
      for (const [band, lean] of leanings(k)) weights[row * BANDS + band]! += share * lean;
    }
  });
  return weights;
}

/** Which bands the reflectance at table wavelength `k` is reckoned from, and by how much. */
function leanings(k: number): readonly (readonly [band: number, lean: number])[] {
  const band = k >> 1;
  const last = BANDS - 1;
  if (band >= last) return [[last, 1]];
  if (k % 2 === 0) return [[band, 1]];
  // Lagrange's coefficients half-way between two nodes of an even grid.
  if (band === 0)
    return [
      [0, 3 / 8],
      [1, 6 / 8],
      [2, -1 / 8],
    ];
  if (band === last - 1)
    return [
      [last, 3 / 8],
      [last - 1, 6 / 8],
      [last - 2, -1 / 8],
    ];
  return [
    [band - 1, -1 / 16],
    [band, 9 / 16],
    [band + 1, 9 / 16],
    [band + 2, -1 / 16],
  ];
}
