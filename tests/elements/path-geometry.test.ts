/** The picture of the way: its ellipse, ranges and pulls. */
import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import type { Matrix3 } from '../../src/reading/types.ts';
import {
  commonRanges,
  ellipse95,
  lightness95,
  pullInWords,
  pullOfLength,
} from '../../src/ui/elements/colour-path/geometry.ts';

const covariance = (LL: number, aa: number, bb: number, ab = 0): Matrix3 => [
  [LL, 0, 0],
  [0, aa, ab],
  [0, ab, bb],
];

describe('the 95 % ellipse', () => {
  // χ² with two degrees of freedom at 0.95 is 5.991 (any table of it), √ is 2.448.
  test('of independent axes has half axes of 2.448 standard deviations', () => {
    const { long, short, angle } = ellipse95(covariance(1, 4, 1));
    expect(long).toBeCloseTo(2 * 2.448, 2);
    expect(short).toBeCloseTo(2.448, 2);
    expect(angle).toBeCloseTo(0, 6);
    expect(Math.abs(ellipse95(covariance(1, 1, 4)).angle)).toBeCloseTo(90, 6);
  });
  test('turns with the correlation: equal variances lie along the diagonal', () => {
    expect(ellipse95(covariance(1, 2, 2, 1)).angle).toBeCloseTo(45, 6);
    expect(ellipse95(covariance(1, 2, 2, -1)).angle).toBeCloseTo(-45, 6);
  });
  // A share of the samples of a normal distribution, drawn from a lattice of its quantiles.
  test('holds 95 of 100 of what it stands for', () => {
    const [aa, bb, ab] = [3, 0.8, 1.1];
    const { long, short, angle } = ellipse95(covariance(1, aa, bb, ab));
    const turn = (-angle * Math.PI) / 180;
    let inside = 0;
    let all = 0;
    for (let i = 0; i < 400; i++) {
      const radius = Math.sqrt(-2 * Math.log((i + 0.5) / 400));
      for (let j = 0; j < 60; j++) {
        const phi = (2 * Math.PI * j) / 60;
        const [u, v] = [radius * Math.cos(phi), radius * Math.sin(phi)];
        const a = Math.sqrt(aa) * u;
        const b = (ab / Math.sqrt(aa)) * u + Math.sqrt(bb - ab ** 2 / aa) * v;
        const along = a * Math.cos(turn) - b * Math.sin(turn);
        const across = a * Math.sin(turn) + b * Math.cos(turn);
        all++;
        if ((along / long) ** 2 + (across / short) ** 2 <= 1) inside++;
      }
    }
    expect(inside / all).toBeCloseTo(0.95, 2);
  });
  test('on the lightness axis is 1.96 standard deviations', () => {
    expect(lightness95(covariance(4, 1, 1))).toBeCloseTo(3.92, 6);
  });
});

test('a unit is as long on every axis, and noise is not drawn large', () => {
  const ranges = commonRanges([[70, 90], [-1, 1], [3]], 6);
  expect(ranges).toEqual([
    { from: 70, to: 90 },
    { from: -10, to: 10 },
    { from: -7, to: 13 },
  ]);
  expect(commonRanges([[70], [0]], 6)[0]).toEqual({ from: 67, to: 73 });
});

describe('a pull', () => {
  test('has the length asked for, and the grams it takes', () => {
    const pull = pullOfLength(labD65(-30, 0, -40), 2)!;
    expect(Math.hypot(pull.L, pull.a, pull.b)).toBeCloseTo(2, 9);
    expect(pull.grams).toBeCloseTo(0.04, 9);
    expect(pull.b).toBeCloseTo(-1.6, 9);
  });
  test('of nothing is none', () => {
    expect(pullOfLength(labD65(0, 0, 0), 2)).toBeUndefined();
  });
  test.each([
    [[-3, 0, -4], 'bluer and darker'],
    [[5, 0, 0], 'lighter'],
    [[0.1, -4, 3], 'greener and yellower'],
  ] as const)('of %j is said as %s', (pull, words) => {
    expect(pullInWords(pull)).toBe(words);
  });
});
