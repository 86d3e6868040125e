import { describe, expect, it } from 'vitest';
import {
  BANDS,
  reflectance,
  TABLE_WAVELENGTHS_NM,
  tableSpectrum,
  WAVELENGTHS_NM,
} from '../../src/colour/grid.ts';
import { A, D50, D65, F11, LED_B4, planckian } from '../../src/colour/illuminants.ts';
import { OBSERVER_1931 } from '../../src/colour/observers.ts';
import { labD65FromReflectance, xyzFromReflectance } from '../../src/colour/spectra.ts';

const flat = (value: number) => reflectance(new Array<number>(BANDS).fill(value));

describe('wavelength grids', () => {
  it('are 380–730 nm at 10 nm and 380–780 nm at 5 nm', () => {
    expect([WAVELENGTHS_NM.length, WAVELENGTHS_NM[0], WAVELENGTHS_NM.at(-1)]).toEqual([
      36, 380, 730,
    ]);
    expect([TABLE_WAVELENGTHS_NM.length, TABLE_WAVELENGTHS_NM.at(-1)]).toEqual([81, 780]);
  });
  it('says what is wrong with a spectrum', () => {
    expect(() => reflectance([0.5])).toThrow('36 values, 380–730 nm, not 1');
    expect(() => reflectance(WAVELENGTHS_NM.map((nm) => (nm === 400 ? NaN : 0.5)))).toThrow(
      'at 400 nm is not a finite number',
    );
    expect(() => reflectance(WAVELENGTHS_NM.map((nm) => (nm === 730 ? 1.2 : 0.5)))).toThrow(
      'at 730 nm is 1.2, outside 0–1',
    );
    expect(() => tableSpectrum(WAVELENGTHS_NM)).toThrow('81 values');
  });
  it('copies, so that the caller keeps its own array', () => {
    const mine = new Float64Array(BANDS).fill(0.5);
    const surface = reflectance(mine);
    mine[0] = 0;
    expect(surface[0]).toBe(0.5);
  });
});

describe('spectrum → Lab', () => {
  it.each([D65, D50, A, F11, LED_B4, planckian(3200)])(
    'white and greys are neutral under $name',
    (lamp) => {
      const [L, a, b] = labD65FromReflectance(flat(1), lamp);
      expect(L).toBeCloseTo(100, 10);
      expect(a).toBeCloseTo(0, 10);
      expect(b).toBeCloseTo(0, 10);
      // L* = 50 at Y = (66/116)³, from the definition of L*.
      const [Lgrey, aGrey, bGrey] = labD65FromReflectance(flat((66 / 116) ** 3), lamp);
      expect(Lgrey).toBeCloseTo(50, 10);
      expect(Math.hypot(aGrey, bGrey)).toBeCloseTo(0, 10);
    },
  );
  it('is black without reflectance', () => {
    expect(labD65FromReflectance(flat(0)).map(Math.abs)).toEqual([0, 0, 0]);
  });
  it('sums a curved reflectance as the 5 nm table would', () => {
    // A parabola is what cubic and quadratic interpolation both reproduce; constant beyond 730 nm.
    const R = (nm: number) => 0.1 + 0.7 * ((Math.min(nm, 730) - 500) / 260) ** 2;
    const { xBar, yBar, zBar } = OBSERVER_1931;
    const sum = (bar: Float64Array) =>
      TABLE_WAVELENGTHS_NM.reduce((s, nm, k) => s + F11.power[k]! * bar[k]! * R(nm), 0);
    const white = F11.power.reduce((s, power, k) => s + power * yBar[k]!, 0);
    const [X, Y, Z] = xyzFromReflectance(reflectance(WAVELENGTHS_NM.map(R)), F11);
    expect(X).toBeCloseTo(sum(xBar) / white, 12);
    expect(Y).toBeCloseTo(sum(yBar) / white, 12);
    expect(Z).toBeCloseTo(sum(zBar) / white, 12);
  });
  it('refuses a lamp without light', () => {
    const dark = { name: 'off', power: tableSpectrum(new Array<number>(81).fill(0)) };
    expect(() => labD65FromReflectance(flat(0.5), dark)).toThrow('no visible light');
  });
});
