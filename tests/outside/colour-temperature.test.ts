import { describe, expect, it } from 'vitest';
import { chromaticityOf, ohnoTemperature, uv1960 } from '../../src/colour/cct.ts';
import * as lights from '../../src/colour/illuminants.ts';
import { xyz } from '../../src/colour/spaces.ts';
import { whiteOfIlluminant } from '../../src/colour/spectra.ts';

const lightOf = (illuminant: lights.Illuminant) => chromaticityOf(whiteOfIlluminant(illuminant));
/** x, y from u, v of CIE 1960 (CIE 15:2004, 9.5 read backwards). */
const fromUv = (u: number, v: number) => ({
  x: (3 * u) / (2 * u - 8 * v + 4),
  y: (2 * v) / (2 * u - 8 * v + 4),
});

describe('correlated colour temperature', () => {
  // Temperatures the CIE states: A by definition (ISO/CIE 11664-2), D65 and D50 (CIE 15:2004 table
  // T.3), the fluorescent lamps (CIE 15:2004 table T.6), the LED lamps (CIE 015:2018).
  it.each([
    [lights.A, 2856, 2],
    [lights.D50, 5003, 3],
    [lights.D65, 6504, 3],
    [lights.F2, 4230, 8],
    [lights.F7, 6500, 12],
    [lights.F11, 4000, 8],
    [lights.LED_B3, 4103, 3],
    [lights.LED_B4, 5109, 3],
    [lights.LED_B5, 6598, 3],
  ])('of %o is what the CIE states', (illuminant, kelvin, within) => {
    const found = ohnoTemperature(lightOf(illuminant))!;
    expect(Math.abs(found.kelvin - kelvin)).toBeLessThanOrEqual(within);
  });

  it('Ohno’s method at u = 0.1978, v = 0.3122: 6507.5 K, Duv 0.00322', () => {
    // As a general-purpose colour library has it in its own tests of Ohno's method (6507.47 and 6507.61
    // K in two versions), by sums at 1 nm; ours run at 5 nm.
    const found = ohnoTemperature(fromUv(0.1978, 0.3122))!;
    expect(Math.abs(found.kelvin - 6507.5)).toBeLessThan(2);
    expect(found.duv).toBeCloseTo(0.00322, 4);
  });

  it('a Planckian radiator has its own temperature and lies on the locus', () => {
    for (const kelvin of [1800, 2700, 4000, 6500, 12_000]) {
      const found = ohnoTemperature(lightOf(lights.planckian(kelvin)))!;
      expect(Math.abs(found.kelvin / kelvin - 1)).toBeLessThan(2e-4);
      expect(Math.abs(found.duv)).toBeLessThan(2e-6);
    }
  });

  it('far from the locus: what was moved off it by hand is found again', () => {
    const { u, v } = uv1960(lightOf(lights.planckian(4000)));
    const [p, q] = [3998, 4002].map((k) => uv1960(lightOf(lights.planckian(k))));
    const length = Math.hypot(q!.u - p!.u, q!.v - p!.v);
    // The normal of the locus, towards green.
    const [nu, nv] = [(p!.v - q!.v) / length, (q!.u - p!.u) / length];
    for (const duv of [-0.02, -0.004, 0.004, 0.02]) {
      const sign = nv > 0 ? 1 : -1;
      const found = ohnoTemperature(fromUv(u + sign * duv * nu, v + sign * duv * nv))!;
      expect(Math.abs(found.kelvin - 4000)).toBeLessThan(2);
      expect(found.duv).toBeCloseTo(duv, 4);
    }
  });

  it('a light of no temperature has none', () => {
    expect(ohnoTemperature({ x: 0.17, y: 0.7 })).toBeUndefined();
    expect(() => chromaticityOf(xyz(0, 0, 0))).toThrow('black');
  });
});
