/** The generator's own colorimetry, against published figures and other libraries. */
import Color from 'colorjs.io';
import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differenceE00 } from '../../calibration-samples/render/difference.ts';
import { LAMPS, lampById } from '../../calibration-samples/render/lamps.ts';
import {
  adaptedToD65,
  labOfXyz,
  labUnder,
  linearSrgbOf,
  spectrumOf,
  xyzOfLinearSrgb,
  xyzUnder,
  type Triple,
} from '../../calibration-samples/render/spectra.ts';
import { D65 } from '../../src/colour/illuminants.ts';

const triple = (low: Triple, high: Triple) =>
  fc.tuple(
    fc.double({ min: low[0], max: high[0], noNaN: true }),
    fc.double({ min: low[1], max: high[1], noNaN: true }),
    fc.double({ min: low[2], max: high[2], noNaN: true }),
  );

describe('ΔE₀₀ of the generator', () => {
  // Sharma, Wu, Dalal 2005, Color Res. Appl. 30(1), table 1: pairs chosen to catch errors of hue.
  const pairs: readonly (readonly [Triple, Triple, number])[] = [
    [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
    [[50, -1.3802, -84.2814], [50, 0, -82.7485], 1],
    [[50, 0, 0], [50, -1, 2], 2.3669],
    [[50, 2.49, -0.001], [50, -2.49, 0.0009], 7.1792],
    [[50, 2.49, -0.001], [50, -2.49, 0.0011], 7.2195],
    [[50, -0.001, 2.49], [50, 0.0009, -2.49], 4.8045],
    [[50, -0.001, 2.49], [50, 0.0011, -2.49], 4.7461],
    [[50, 2.5, 0], [58, 24, 15], 19.4535],
    [[60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644],
    [[22.7233, 20.0904, -46.694], [23.0331, 14.973, -42.5619], 2.0373],
    [[36.4612, 47.858, 18.3852], [36.2715, 50.5065, 21.2231], 1.4146],
    [[2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082],
  ];

  it.each(pairs)('of %j and %j is %d', (one, two, expected) => {
    expect(differenceE00(one, two)).toBeCloseTo(expected, 4);
    expect(differenceE00(two, one)).toBeCloseTo(expected, 4);
  });

  it('agrees with colorjs.io', () => {
    const lab = triple([0, -90, -90], [100, 90, 90]);
    fc.assert(
      fc.property(lab, lab, (one, two) => {
        // A grey has no hue and opposite hues have two means: the table above holds those cases.
        const [c1, c2] = [Math.hypot(one[1], one[2]), Math.hypot(two[1], two[2])];
        fc.pre(c1 > 0.1 && c2 > 0.1);
        fc.pre((one[1] * two[1] + one[2] * two[2]) / (c1 * c2) > -0.9999);
        // Its formula takes the numbers of its mode `lab`, whatever the white.
        const a = new Color({ space: 'lab', coords: one });
        const b = new Color({ space: 'lab', coords: two });
        expect(differenceE00(one, two)).toBeCloseTo(a.deltaE(b, '2000'), 6);
      }),
    );
  });
});

describe('colour of a surface under a lamp', () => {
  it.each(LAMPS)('the perfect diffuser is L* 100 under $id', ({ power }) => {
    const [L, a, b] = labUnder(
      power,
      spectrumOf(() => 1),
    );
    expect(L).toBeCloseTo(100, 6);
    expect(a).toBeCloseTo(0, 6);
    expect(b).toBeCloseTo(0, 6);
  });

  it('a grey of 18.42 % is L* 50 under any lamp (CIELAB by definition: Y = ((50 + 16) / 116)³)', () => {
    for (const { power } of LAMPS) {
      const [L, a, b] = labUnder(
        power,
        spectrumOf(() => (66 / 116) ** 3),
      );
      expect(L).toBeCloseTo(50, 6);
      expect(Math.hypot(a, b)).toBeLessThan(1e-6);
    }
  });

  it('D65 has chromaticity 0.3127, 0.3290 (ISO/CIE 11664-2)', () => {
    const [X, Y, Z] = xyzUnder(
      D65.power,
      spectrumOf(() => 1),
    );
    expect(X / (X + Y + Z)).toBeCloseTo(0.3127, 4);
    expect(Y / (X + Y + Z)).toBeCloseTo(0.329, 4);
  });

  it('lamps have the correlated colour their names say (McCamy 1992, eq. 2, good to some 10 K)', () => {
    const kelvin = (id: string) => {
      const [X, Y, Z] = xyzUnder(
        lampById(id).power,
        spectrumOf(() => 1),
      );
      const [x, y] = [X / (X + Y + Z), Y / (X + Y + Z)];
      const n = (x - 0.332) / (0.1858 - y);
      return 449 * n ** 3 + 3525 * n ** 2 + 6823.3 * n + 5520.33;
    };
    expect(kelvin('halogen-2856')).toBeCloseTo(2856, -2);
    expect(kelvin('daylight-6000')).toBeCloseTo(6000, -2);
    expect(kelvin('halogen-3700')).toBeCloseTo(3700, -2);
    expect(kelvin('led-high-fidelity-3000')).toBeGreaterThan(2600);
    expect(kelvin('led-high-fidelity-3000')).toBeLessThan(3400);
    expect(kelvin('led-cool-one-phosphor')).toBeGreaterThan(5300);
  });

  it('adapts from D50 as colorjs.io does (Bradford)', () => {
    const D50: Triple = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585];
    fc.assert(
      fc.property(triple([0.05, 0.05, 0.05], [0.9, 0.9, 0.7]), (xyz) => {
        const other = new Color({ space: 'xyz-d50', coords: xyz }).to('xyz-d65').coords;
        adaptedToD65(xyz, D50).forEach((v, i) => {
          expect(v).toBeCloseTo(other[i]!, 4);
        });
      }),
    );
  });

  it('goes between XYZ, Lab and linear sRGB as culori does', () => {
    const toLab = converter('lab65');
    fc.assert(
      fc.property(triple([0.01, 0.01, 0.01], [1, 1, 1]), ([r, g, b]) => {
        const xyz = xyzOfLinearSrgb([r, g, b]);
        linearSrgbOf(xyz).forEach((v, i) => {
          expect(v).toBeCloseTo([r, g, b][i]!, 9);
        });
        const other = toLab({ mode: 'lrgb', r, g, b });
        const [L, A, B] = labOfXyz(xyz);
        expect(L).toBeCloseTo(other.l, 2);
        expect(A).toBeCloseTo(other.a, 1);
        expect(B).toBeCloseTo(other.b, 1);
      }),
    );
  });
});
