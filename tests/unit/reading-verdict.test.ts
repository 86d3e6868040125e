import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { deltaE00Interval } from '../../src/reading/uncertainty.ts';
import { verdictOn } from '../../src/reading/verdict.ts';
import { deltaE2000, normals, type Triple } from './reading-scene.ts';

/** Verdicts on two hundred readings of one true difference, its coordinates each known to ± `u`. */
function verdicts(truth: Triple, u: Triple, threshold: number) {
  const normal = normals(7);
  const square = u.map((v) => v * v) as unknown as Triple;
  return Array.from({ length: 200 }, () =>
    verdictOn(
      deltaE00Interval({
        glazeLab: labD65(60, 8, -12),
        lab: [truth[0] + u[0] * normal(), truth[1] + u[1] * normal(), truth[2] + u[2] * normal()],
        covariance: [
          [square[0], 0, 0],
          [0, square[1], 0],
          [0, 0, square[2]],
        ],
      }),
      threshold,
    ),
  );
}
const share = (said: readonly string[], what: string) =>
  said.filter((v) => v === what).length / said.length;

describe('a verdict on what is known badly', () => {
  // A dab beside the piece: lightness known to ±5, colour to ±1. JCGM 106:2012: at most 5 % wrong.
  test.each([1.8, 0.8])('equal colours are hardly ever said to show above %f', (threshold) => {
    expect(share(verdicts([0, 0, 0], [5, 1, 1], threshold), 'shows')).toBeLessThanOrEqual(0.05);
    expect(share(verdicts([0, 0, 0], [2, 2, 2], threshold), 'shows')).toBeLessThanOrEqual(0.05);
  });

  // Of ΔE₀₀ 0.7, by colorjs.io: the interval holds 0.8 where the probabilities alone would say that it shows.
  test.each<[number, Triple]>([
    [0.4, [0.8, 0, 0]],
    [0.6, [0.8, 0, 0]],
    [0.6, [0, 0.7, 0]],
  ])('known to ±%f, %j is hardly ever said to show above 0.8', (u, truth) => {
    const [L, a, b] = truth;
    expect(deltaE2000([60, 8, -12], [60 + L, 8 + a, -12 + b])).toBeCloseTo(0.7, 1);
    expect(share(verdicts(truth, [u, u, u], 0.8), 'shows')).toBeLessThanOrEqual(0.05);
  });

  test('a difference beyond the interval’s reach still shows', () => {
    expect(share(verdicts([25, 0, 0], [5, 1, 1], 1.8), 'shows')).toBeGreaterThan(0.9);
  });

  test('what is known well shows as before', () => {
    expect(share(verdicts([0, 4, 0], [0.3, 0.3, 0.3], 1.8), 'shows')).toBeGreaterThan(0.95);
    expect(share(verdicts([0, 0, 0], [0.3, 0.3, 0.3], 1.8), 'blends')).toBeGreaterThan(0.95);
  });
});
