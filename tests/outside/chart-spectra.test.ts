/**
 * Reflectance of a chart's file → colour, against spectra whose colours others computed and published.
 *
 * Nine patches of the 24-patch chart: chart-patches.ts says whose they are.
 * One brown's reflectance, 400–700 nm, and its XYZ under A/2° by ASTM E308-15, as the Python library
 * colour-science computes it; E308's 20 nm weights for D65/2° (both: colour-science,
 * colorimetry/tests/test_tristimulus_values.py).
 */
import { describe, expect, test } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { reflectance } from '../../src/colour/grid.ts';
import { A, D65, type Illuminant } from '../../src/colour/illuminants.ts';
import type { LabD65 } from '../../src/colour/spaces.ts';
import { xyzFromReflectance } from '../../src/colour/spectra.ts';
import { spragueAt } from '../../src/colour/sprague.ts';
import { parseCgats } from '../../src/reading/profile/cgats.ts';
import { ontoPaintGrid } from '../../src/reading/profile/cgats-spectra.ts';
import { labOfD50, PATCHES, published } from './chart-patches.ts';

const nmOf = (from: number, to: number, step: number) =>
  Array.from({ length: (to - from) / step + 1 }, (_, i) => from + step * i);
const file = (fields: readonly string[], rows: readonly (readonly number[])[]) =>
  [
    'CGATS.17\nBEGIN_DATA_FORMAT',
    `SAMPLE_ID ${fields.join(' ')}`,
    'END_DATA_FORMAT\nBEGIN_DATA',
    ...rows.map((row, i) => `${String(i + 1)} ${row.join(' ')}`),
    'END_DATA\n',
  ].join('\n');
function labsOf(text: string): readonly LabD65[] {
  const parsed = parseCgats(text);
  if (!parsed.ok) throw new Error(parsed.message);
  return parsed.patches.map(({ lab }) => lab);
}

/** ΔE₀₀. Spectra are rounded to thousandths and xyY to ten-thousandths, 0.1 together. */
const WITHIN = 0.15;

describe('published spectra have their published colours', () => {
  const wavelengths = nmOf(380, 730, 10);
  const every = (step: number) => wavelengths.filter((nm) => (nm - 380) % step === 0);
  const values = (from: readonly number[], some: readonly number[]) =>
    some.map((nm) => from[(nm - 380) / 10]!);
  const expectPublished = (labs: readonly LabD65[]) => {
    PATCHES.forEach(({ xyY }, i) => {
      expect(deltaE00(labs[i]!, labOfD50(published(xyY)))).toBeLessThan(WITHIN);
    });
  };

  test.each([
    ['10 nm', every(10)],
    ['20 nm', every(20)],
    ['400–700 nm', every(10).filter((nm) => nm >= 400 && nm <= 700)],
  ] as const)('%s in named columns', (_, some) => {
    const fields = some.map((nm) => `SPECTRAL_NM_${String(nm)}`);
    const rows = PATCHES.map(({ reflectance }) => values(reflectance, some));
    expectPublished(labsOf(file(fields, rows)));
  });
  test.each([
    ['SPECTRAL_PCT', 100],
    ['SPECTRAL_DEC', 1],
    ['SPECTRAL_VALUE', 100],
  ])('pairs of SPECTRAL_NM and %s', (field, scale) => {
    const fields = wavelengths.flatMap(() => ['SPECTRAL_NM', field]);
    const rows = PATCHES.map(({ reflectance }) =>
      reflectance.flatMap((v, i) => [wavelengths[i]!, scale * v]),
    );
    expectPublished(labsOf(file(fields, rows)));
  });
});

/** X, Y, Z, of 100; a hundredth of Y is 0.02 in L* at this lightness. */
const WITHIN_XYZ = 0.01;

describe('ASTM E308: one brown', () => {
  /** 400–700 nm at 5 nm. */
  const R = [
    0.0641, 0.065, 0.0654, 0.0652, 0.0645, 0.0629, 0.0605, 0.0581, 0.0562, 0.0551, 0.0543, 0.0539,
    0.0537, 0.0538, 0.0541, 0.0547, 0.0559, 0.0578, 0.0603, 0.0629, 0.0651, 0.0667, 0.068, 0.0691,
    0.0705, 0.072, 0.0736, 0.0753, 0.0772, 0.0791, 0.0809, 0.0833, 0.087, 0.0924, 0.099, 0.1061,
    0.1128, 0.119, 0.1251, 0.1308, 0.136, 0.1403, 0.1439, 0.1473, 0.1511, 0.155, 0.159, 0.1634,
    0.1688, 0.1753, 0.1828, 0.1909, 0.1996, 0.2088, 0.2187, 0.2291, 0.2397, 0.2505, 0.2618, 0.2733,
    0.2852,
  ];
  /** X, Y, Z under the lamp, per cent, from every so many nm of it. */
  const seen = (step: number, lamp: Illuminant): readonly number[] => {
    const some = nmOf(400, 700, step);
    const grid = ontoPaintGrid(some);
    if (!grid.ok) throw new Error(grid.message);
    const surface = reflectance(grid.of(some.map((nm) => R[(nm - 400) / 5]!)));
    return xyzFromReflectance(surface, lamp).map((v) => 100 * v);
  };
  const far = (some: readonly number[], others: readonly number[]) =>
    Math.max(...some.map((v, k) => Math.abs(v - others[k]!)));

  // X, Y, Z of 400–700 nm by the practice, from 5 and from 10 nm.
  test.each([
    [5, [14.54025742, 10.88576251, 2.04950226]],
    [10, [14.54137532, 10.88641727, 2.04931318]],
  ] as const)('under A, each %d nm', (step, wanted) => {
    expect(far(seen(step, A), wanted)).toBeLessThan(WITHIN_XYZ);
  });
  test('under D65, each 20 nm, against its weights', () => {
    // 400–700 nm, what lies beyond added to the ends; X, Y, Z per cent.
    const weights = [
      [0.17, 0.002, 0.785],
      [2.542, 0.071, 12.203],
      [6.67, 0.453, 33.637],
      [6.333, 1.316, 36.334],
      [2.213, 2.933, 18.278],
      [0.052, 6.866, 5.543],
      [1.348, 14.106, 1.611],
      [5.767, 18.981, 0.382],
      [11.301, 18.863, 0.068],
      [16.256, 15.455, 0.025],
      [17.933, 10.699, 0.013],
      [14.02, 6.277, 0.003],
      [7.057, 2.743, 0],
      [2.527, 0.927, 0],
      [0.67, 0.242, 0],
      [0.185, 0.067, 0],
    ];
    const wanted = [0, 1, 2].map((k) => weights.reduce((sum, w, i) => sum + w[k]! * R[4 * i]!, 0));
    expect(far(seen(20, D65), wanted)).toBeLessThan(WITHIN_XYZ);
  });
});

// Westland, Ripamonti, Cheung 2012, “Computational Colour Science using MATLAB”, p. 33, as computed by
// colour-science's SpragueInterpolator (its documentation).
test('Sprague’s interpolation', () => {
  const values = [5.92, 9.37, 10.8135, 4.51, 69.59, 27.8007, 86.05];
  const between = [7.21850256, 12.23568833, 1.66284023, 40.76525391, 51.84316346, 43.77379185];
  between.forEach((wanted, i) => expect(spragueAt(values, i + 0.5)).toBeCloseTo(wanted, 7));
  expect(spragueAt(values, 0.25)).toBeCloseTo(6.72951612, 7);
  expect(spragueAt(values, 0.75)).toBeCloseTo(7.81406251, 7);
  values.forEach((value, i) => expect(spragueAt(values, i)).toBeCloseTo(value, 10));
});
