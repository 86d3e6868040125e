import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  internalReflectance,
  readReflectance,
  reflectanceFromKOverS,
  reflectanceOfFilm,
} from '../../src/paint/kubelka-munk.ts';

const reflectance = fc.double({ min: 1e-6, max: 1, noNaN: true });
const coefficient = fc.double({ min: 1e-6, max: 50, noNaN: true });
const thickness = fc.double({ min: 0, max: 20, noNaN: true });
const surface = fc.record({
  k1: fc.double({ min: 0, max: 0.1, noNaN: true }),
  k2: fc.double({ min: 0, max: 0.7, noNaN: true }),
});

describe('Kubelka–Munk', () => {
  it('inverts: R → K/S → R', () => {
    fc.assert(
      fc.property(reflectance, (R) => {
        // Kubelka 1948, eq. 22.
        expect(reflectanceFromKOverS((1 - R) ** 2 / (2 * R))).toBeCloseTo(R, 7);
      }),
    );
  });

  it('inverts: Saunderson', () => {
    fc.assert(
      fc.property(reflectance, surface, (R, s) => {
        const read = readReflectance(R, s);
        expect(read).toBeLessThanOrEqual(1 - s.k1 + 1e-12);
        expect(internalReflectance(read, s)).toBeCloseTo(R, 9);
      }),
    );
  });

  it('keeps a film between its ground and its own opaque colour', () => {
    fc.assert(
      fc.property(coefficient, coefficient, thickness, reflectance, (K, S, X, ground) => {
        const R = reflectanceOfFilm(K, S, X, ground);
        const opaque = reflectanceFromKOverS(K / S);
        expect(R).toBeGreaterThanOrEqual(Math.min(ground, opaque) - 1e-6);
        expect(R).toBeLessThanOrEqual(Math.max(ground, opaque) + 1e-6);
      }),
    );
  });

  it('adds up: a film on a film is the film of both thicknesses', () => {
    fc.assert(
      fc.property(
        coefficient,
        coefficient,
        thickness,
        thickness,
        reflectance,
        (K, S, X, Y, ground) => {
          const twice = reflectanceOfFilm(K, S, Y, reflectanceOfFilm(K, S, X, ground));
          expect(twice).toBeCloseTo(reflectanceOfFilm(K, S, X + Y, ground), 6);
        },
      ),
    );
  });

  it('hides more the thicker it is', () => {
    fc.assert(
      fc.property(coefficient, coefficient, thickness, thickness, (K, S, X, Y) => {
        const contrast = (film: number) =>
          reflectanceOfFilm(K, S, film, 0) / reflectanceOfFilm(K, S, film, 0.8);
        const thin = contrast(Math.min(X, Y));
        expect(contrast(Math.max(X, Y))).toBeGreaterThanOrEqual(thin - 1e-9);
      }),
    );
  });
});
