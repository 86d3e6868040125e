import whitepoint from 'color-space/whitepoints.js';
import { describe, expect, it } from 'vitest';
import { TABLE_WAVELENGTHS_NM } from '../../src/colour/grid.ts';
import * as lights from '../../src/colour/illuminants.ts';
import type { Illuminant } from '../../src/colour/illuminants.ts';
import { OBSERVER_1931 } from '../../src/colour/observers.ts';

/** XYZ of the light itself, Y = 1, summed over the 5 nm tables, 380–780 nm. */
function whiteOf({ power }: Illuminant): [number, number, number] {
  const { xBar, yBar, zBar } = OBSERVER_1931;
  const sum = (bar: Float64Array) => bar.reduce((s, value, k) => s + value * power[k]!, 0);
  return [sum(xBar) / sum(yBar), 1, sum(zBar) / sum(yBar)];
}
function chromaticityOf(light: Illuminant): { x: number; y: number } {
  const [X, Y, Z] = whiteOf(light);
  return { x: X / (X + Y + Z), y: Y / (X + Y + Z) };
}
const at = (spectrum: Float64Array, nm: number) => spectrum[TABLE_WAVELENGTHS_NM.indexOf(nm)]!;

describe('the 2° observer', () => {
  it('has the sums CIE 15:2004 prints under table T.4 (from memory)', () => {
    const sum = (bar: Float64Array) => bar.reduce((s, value) => s + value, 0);
    expect(sum(OBSERVER_1931.xBar)).toBeCloseTo(21.371524, 6);
    expect(sum(OBSERVER_1931.yBar)).toBeCloseTo(21.371327, 6);
    expect(sum(OBSERVER_1931.zBar)).toBeCloseTo(21.37154, 6);
  });
  it('peaks at 555 nm with ȳ = 1, the definition of the photometric scale (ISO 23539)', () => {
    expect(Math.max(...OBSERVER_1931.yBar)).toBe(1);
    expect(at(OBSERVER_1931.yBar, 555)).toBe(1);
  });
});

describe('chromaticity of the lamps, 2° observer', () => {
  // CIE 15:2004 table T.3 for A, D50, D65, five decimals; the F lamps of CIE 15 and the LED lamps of
  // CIE 015:2018 are published to four. The sum at 5 nm may move the last decimal by one.
  it.each([
    [lights.A, 0.44758, 0.40745, 1.1e-5],
    [lights.D50, 0.34567, 0.35851, 1.1e-5],
    [lights.D65, 0.31272, 0.32903, 1.1e-5],
    [lights.F2, 0.3721, 0.3751, 1.1e-4],
    [lights.F7, 0.3129, 0.3292, 1.1e-4],
    [lights.F11, 0.3805, 0.3769, 1.1e-4],
    [lights.LED_B3, 0.3756, 0.3723, 1.1e-4],
    [lights.LED_B4, 0.3422, 0.3502, 1.1e-4],
    [lights.LED_B5, 0.3118, 0.3236, 1.1e-4],
  ])('$name is as the CIE publishes it', (light, x, y, tolerance) => {
    const own = chromaticityOf(light);
    expect(Math.abs(own.x - x)).toBeLessThan(tolerance);
    expect(Math.abs(own.y - y)).toBeLessThan(tolerance);
  });

  it.each([
    [lights.A, 'A'],
    [lights.D50, 'D50'],
    [lights.D65, 'D65'],
    [lights.F2, 'F2'],
    [lights.F7, 'F7'],
    [lights.F11, 'F11'],
  ])('$name has the white point npm color-space carries', (light, key) => {
    const [X, , Z] = whitepoint[2][key]!;
    const own = whiteOf(light);
    // color-space holds D65 by its rounded chromaticity 0.3127, 0.3290: up to 0.03 of 100 in Z.
    expect(Math.abs(100 * own[0] - X)).toBeLessThan(0.03);
    expect(Math.abs(100 * own[2] - Z)).toBeLessThan(0.03);
  });
});

describe('spectra of the lamps', () => {
  // ISO/CIE 11664-2 table 1 and CIE 15:2004 table T.1, as carried by Debian colord-data 1.4.6.
  it.each([
    [380, 9.79514],
    [450, 33.0859],
    [560, 100],
    [700, 198.261],
    [780, 241.675],
  ])('A at %d nm is %d by its equation', (nm, published) =>
    expect(at(lights.A.power, nm)).toBeCloseTo(published, nm < 400 ? 3 : 2),
  );
  // CIE 15:2004 table T.1, D50, three decimals.
  it.each([
    [380, 24.488],
    [435, 66.321],
    [550, 102.317],
    [670, 103.003],
    [760, 57.692],
    [780, 78.274],
  ])('D50 at %d nm is %d by the daylight equation', (nm, published) =>
    expect(Math.abs(at(lights.D50.power, nm) - published)).toBeLessThan(0.0011),
  );
  it('daylight at 6504 K is D65 as the standard tabulates it', () => {
    // The standard's table carries more decimals than S0–S2 and M1, M2: agreement to 0.05 of 100.
    const computed = lights.daylight((6500 * 1.4388) / 1.438).power;
    computed.forEach((power, k) =>
      expect(Math.abs(power - lights.D65.power[k]!)).toBeLessThan(0.05),
    );
  });
  it('a Planckian radiator at 2856 K is illuminant A (CIE 15)', () => {
    const planckian = lights.planckian(2855.54);
    planckian.power.forEach((power, k) => expect(power / lights.A.power[k]!).toBeCloseTo(1, 3));
  });
  it('daylight loci meet at 7000 K and stay in their range (CIE 15 eq. 3.3, 3.4)', () => {
    const below = lights.daylightChromaticity(7000);
    const above = lights.daylightChromaticity(7000.001);
    expect(above.x).toBeCloseTo(below.x, 4);
    expect(() => lights.daylight(3999)).toThrow(RangeError);
    expect(() => lights.daylight(25001)).toThrow(RangeError);
    expect(() => lights.planckian(0)).toThrow(RangeError);
  });
});
