/**
 * The verdict against JCGM 106:2012, “The role of measurement uncertainty in conformity assessment”.
 * There a measured quantity with estimate y and standard uncertainty u is normally distributed, and it
 * conforms to an upper limit T with probability Φ((T − y)/u) (7.3.1).
 */
import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { deltaE00Interval } from '../../src/reading/uncertainty.ts';
import { DEFAULT_THRESHOLDS, verdict } from '../../src/reading/verdict.ts';
import { normalDistribution } from '../unit/reading-scene.ts';

/**
 * A difference in lightness alone, round L* = 50, where ΔE₀₀ = |ΔL*| but for SL, which is within 0.3 %
 * of 1 up to ΔL* = 2 (Sharma, Wu, Dalal 2005, eq. 18).
 */
function lightnessDifference(y: number, u: number) {
  const none = 1e-8;
  return deltaE00Interval({
    glazeLab: labD65(50 - y / 2, 0, 0),
    lab: [y, 0, 0],
    covariance: [
      [u * u, 0, 0],
      [0, none, 0],
      [0, 0, none],
    ],
  });
}

describe('probability of conformity', () => {
  test('the breakdown voltage of 7.3: 0.92 (figures from memory), in hundredths of a volt ÷ 5', () => {
    // y = −5.47 V, u = 0.05 V, T_U = −5.40 V: seven hundredths below the limit. Here: 0.28 below 1.8.
    const scale = 4;
    const { atMost } = lightnessDifference(1.8 - 0.07 * scale, 0.05 * scale);
    expect(normalDistribution(0.07 / 0.05)).toBeCloseTo(0.92, 2);
    expect(Math.abs(atMost(1.8) - 0.92)).toBeLessThan(0.015);
  });

  test('the two-sided example of 7.4: y = 13.6, u = 1.8 within 12.5 to 16.3, a tenth of it', () => {
    const { atMost } = lightnessDifference(1.36, 0.18);
    const published = normalDistribution(1.5) - normalDistribution(-1.1 / 1.8);
    expect(published).toBeCloseTo(0.66, 2);
    expect(Math.abs(atMost(1.63) - atMost(1.25) - published)).toBeLessThan(0.015);
  });

  test.each([0.1, 0.2, 0.4])('is Φ((T − y)/u) far from zero, u = %f', (u) => {
    for (let y = 4 * u; y < 3; y += 0.3 * u) {
      const { atMost } = lightnessDifference(y, u);
      for (const T of [0.8, 1.8]) {
        expect(Math.abs(atMost(T) - normalDistribution((T - y) / u))).toBeLessThan(0.02);
      }
    }
  });
});

describe('guard band', () => {
  // The 0.95 quantile of the normal distribution (any table): w = 1.645 u.
  const GUARD = 1.645;

  test('blends at or below T − 1.645 u, shows at or above T + 1.645 u, else unsure', () => {
    const { acceptable, imperceptible } = DEFAULT_THRESHOLDS;
    for (const T of [acceptable, imperceptible]) {
      for (const u of [0.05, 0.15, 0.3]) {
        for (let y = 0; y < 4; y += 0.01) {
          if (Math.abs(Math.abs(y - T) - GUARD * u) < 1e-3) continue;
          const expected = y < T - GUARD * u ? 'blends' : y > T + GUARD * u ? 'shows' : 'unsure';
          expect(verdict(normalDistribution((T - y) / u))).toBe(expected);
        }
      }
    }
  });

  test('holds for readings too, within a tenth of u', () => {
    const { acceptable: T } = DEFAULT_THRESHOLDS;
    for (const u of [0.05, 0.15, 0.3]) {
      const at = (y: number) => verdict(lightnessDifference(y, u).atMost(T));
      expect(at(T - (GUARD + 0.1) * u)).toBe('blends');
      expect(at(T - (GUARD - 0.1) * u)).toBe('unsure');
      expect(at(T)).toBe('unsure');
      expect(at(T + (GUARD - 0.1) * u)).toBe('unsure');
      expect(at(T + (GUARD + 0.1) * u)).toBe('shows');
    }
  });

  test('a guard band of U = 2 u leaves 2.3 % to be wrongly accepted (8.3.2, from memory)', () => {
    const u = 0.2;
    const { atMost } = lightnessDifference(1.8 - 2 * u, u);
    expect(Math.abs(1 - atMost(1.8) - 0.023)).toBeLessThan(0.006);
  });

  test('never both sure that it blends and that it shows; sure only from 95 %', () => {
    expect([0, 0.05, 0.0501, 0.5, 0.9499, 0.95, 1].map(verdict)).toEqual([
      'shows',
      'shows',
      'unsure',
      'unsure',
      'unsure',
      'blends',
      'blends',
    ]);
  });

  test('thresholds are those of Paravina et al. 2015: 50:50 at 0.8 and 1.8', () => {
    expect(DEFAULT_THRESHOLDS).toEqual({ acceptable: 1.8, imperceptible: 0.8 });
  });
});
