import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dawson, deviations, shortening } from '../../src/reading/likeliest.ts';
import type { Matrix3 } from '../../src/reading/types.ts';

test.each([
  // Abramowitz, Stegun 1964, table 7.5 and 7.1.17: the maximum, its place, and the inflection. From memory.
  [0.924138873, 0.5410442246],
  [1.5019752682, 0.427686616],
  [1, 0.5380795069],
])('Dawson’s integral at %f', (u, value) => expect(dawson(u)).toBeCloseTo(value, 8));

test('its two ways of being summed meet', () =>
  expect(dawson(4.4999)).toBeCloseTo(dawson(4.5001), 4));

test('Dawson’s integral solves its own equation, F′ = 1 − 2uF (Abramowitz, Stegun 7.1.16)', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.05, max: 3, noNaN: true }), (u) => {
      const h = 1e-5;
      const slope = (dawson(u + h) - dawson(u - h)) / (2 * h);
      expect(slope).toBeCloseTo(1 - 2 * u * dawson(u), 5);
    }),
  );
});

test('a difference that is all noise is cut to a third, one of ten deviations by a fiftieth', () => {
  expect(shortening(0)).toBeCloseTo(1 / 3, 6);
  // E r² / 3 of the half-normal density, at nothing read; 1 − 2/m² far off: worked by hand.
  expect(shortening(10)).toBeCloseTo(0.98, 3);
  expect(shortening(0.0015)).toBeCloseTo(1 / 3, 5);
});

test('what is read longer is told longer, and never longer than it was read', () => {
  const length = fc.double({ min: 0, max: 60, noNaN: true });
  fc.assert(
    fc.property(length, length, (p, q) => {
      const [short, long] = [Math.min(p, q), Math.max(p, q)];
      expect(short * shortening(short)).toBeLessThanOrEqual(long * shortening(long) + 1e-9);
      expect(shortening(p)).toBeLessThanOrEqual(1);
    }),
  );
});

test('the posterior mean by brute force agrees', () => {
  // Mean of d along what was read, density N(x − d) / |d|², summed over shells and angles.
  const x = 1.7;
  let mass = 0;
  let along = 0;
  for (let r = 0.005; r < 10; r += 0.01) {
    for (let c = -0.995; c < 1; c += 0.01) {
      const weight = Math.exp(-(x * x - 2 * x * r * c + r * r) / 2);
      mass += weight;
      along += weight * r * c;
    }
  }
  expect(shortening(x)).toBeCloseTo(along / mass / x, 3);
});

test('deviations count by the covariance', () => {
  const covariance: Matrix3 = [
    [4, 0, 0],
    [0, 0.25, 0],
    [0, 0, 1],
  ];
  expect(deviations([2, 0.5, 2], covariance)).toBeCloseTo(Math.sqrt(1 + 1 + 4), 10);
});
