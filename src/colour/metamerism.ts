/**
 * Special metamerism index, change in illuminant (CIE 15:2004, 9.2.1 and 9.2.3; kept in CIE 015:2018;
 * ISO 18314-4): the colour difference of a pair under a test lamp that matches under a reference lamp.
 * A pair that does not quite match under the reference has its sample corrected first, by what would
 * make it match there, and the same correction is carried over to the test lamp.
 *
 * CIELAB is taken from each lamp's own white, as the CIE defines it: X/Xn, Y/Yn, Z/Zn.
 */
import { deltaE00 } from './ciede2000.ts';
import { labFromXyzD65, WHITE_D65, xyzD65FromLab } from './cielab.ts';
import type { Reflectance } from './grid.ts';
import type { Illuminant } from './illuminants.ts';
import { xyzD65, type LabD65, type XyzD65 } from './spaces.ts';
import { whiteOfIlluminant, xyzFromReflectance } from './spectra.ts';

/**
 * multiplicative: X, Y, Z of the sample under the test lamp times standard over sample under the
 * reference, the CIE's first choice. additive: plus standard minus sample under the reference, each
 * relative to the lamp's white (Brockes 1970).
 */
export type Correction = 'multiplicative' | 'additive';

/** Standard (the glaze) and sample (the dab) as they stand under one lamp. */
export interface PairUnderLamp {
  readonly standard: LabD65;
  readonly sample: LabD65;
}

export interface MetamerismIndex {
  /** ΔE₀₀ and ΔE*ab under the test lamp, the residual mismatch corrected; ≥ 0. */
  readonly deltaE00: number;
  readonly deltaEab: number;
  /** Sample minus standard under the test lamp, corrected: [ΔL*, Δa*, Δb*]. */
  readonly change: readonly [number, number, number];
  /** The sample under the test lamp, corrected. */
  readonly corrected: LabD65;
  /** ΔE₀₀ of the pair under the reference lamp, before any correction. */
  readonly residual: number;
}

/**
 * Index of two reflectances (36 bands, 0–1) for the CIE 1931 2° observer. A sample that is black
 * where a multiplicative correction divides gives a RangeError.
 */
export function metamerismIndex(
  standard: Reflectance,
  sample: Reflectance,
  reference: Illuminant,
  test: Illuminant,
  correction: Correction = 'multiplicative',
): MetamerismIndex {
  const under = (lamp: Illuminant): PairUnderLamp => ({
    standard: labUnderOwnWhite(standard, lamp),
    sample: labUnderOwnWhite(sample, lamp),
  });
  return metamerismIndexOfLab(under(reference), under(test), correction);
}

/**
 * The same from colours alone, CIELAB relative to each lamp's own white: what two readings of a pair
 * give, whose Lab is adapted to D65. A multiplicative correction needs XYZ of the sample above zero;
 * else a RangeError.
 */
export function metamerismIndexOfLab(
  reference: PairUnderLamp,
  test: PairUnderLamp,
  correction: Correction = 'multiplicative',
): MetamerismIndex {
  const [standardRef, sampleRef, sampleTest] = [
    reference.standard,
    reference.sample,
    test.sample,
  ].map(xyzD65FromLab) as [XyzD65, XyzD65, XyzD65];
  const corrected = labFromXyzD65(
    correction === 'additive'
      ? each((k) => sampleTest[k] + standardRef[k] - sampleRef[k])
      : each((k) => {
          if (!(sampleRef[k] > 0)) throw new RangeError('the sample gives no light to correct by');
          return (sampleTest[k] * standardRef[k]) / sampleRef[k];
        }),
  );
  const change = [0, 1, 2].map((k) => corrected[k]! - test.standard[k]!) as [
    number,
    number,
    number,
  ];
  return {
    deltaE00: deltaE00(test.standard, corrected),
    deltaEab: Math.hypot(...change),
    change,
    corrected,
    residual: deltaE00(reference.standard, reference.sample),
  };
}

/** CIELAB of a surface relative to the lamp's own white (no further adaptation), 2° observer. */
export function labUnderOwnWhite(surface: Reflectance, lamp: Illuminant): LabD65 {
  const xyz = xyzFromReflectance(surface, lamp);
  const white = whiteOfIlluminant(lamp);
  return labFromXyzD65(each((k) => (xyz[k] / white[k]) * WHITE_D65[k]));
}

function each(of: (k: 0 | 1 | 2) => number): XyzD65 {
  return xyzD65(of(0), of(1), of(2));
}
