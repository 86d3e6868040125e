/** What a profile leaves open: less the better it foretells its own patches, most of a middling colour. */
import { expect, test } from 'vitest';
import { labD65, xyzD65 } from '../../../src/colour/spaces.ts';
import { linearSrgbFromXyzD65 } from '../../../src/colour/srgb.ts';
import { labFromXyzD65, WHITE_D65, xyzD65FromLab } from '../../../src/colour/cielab.ts';
import { logTriple, type LogTriple } from '../../../src/reading/log-window.ts';
import { profiledPigments } from '../../../src/reading/profile/pigments.ts';
import { SRGB_CURVE, type CameraProfile } from '../../../src/reading/profile/profile.ts';
import { deltaE00Interval, labDifference } from '../../../src/reading/uncertainty.ts';

const TILE = { lab: labD65(100, 0, 0), standardUncertainty: [0, 0, 0] as const };

/** sRGB is the camera: the transform is its own matrix over the white (IEC 61966-2-1). */
function profile(leftOut: number): CameraProfile {
  return {
    name: 'p',
    camera: 'c',
    madeOn: '2026-11-26',
    tone: [SRGB_CURVE, SRGB_CURVE, SRGB_CURVE],
    whiteLogRatios: [0, 0],
    colour: {
      method: 'linear',
      rows: [
        [0.4339, 0.3762, 0.1899],
        [0.2126, 0.7152, 0.0722],
        [0.0177, 0.1095, 0.8728],
      ],
      leftOut: { mean: leftOut, largest: 3 * leftOut },
    },
  };
}

/** @param leftOut mean error of left-out patches; undefined: no profile */
function halfWidth(leftOut: number | undefined, a: number, L = 60): number {
  const log = (lab: readonly [number, number, number]): LogTriple => {
    const [r, g, b] = linearSrgbFromXyzD65(xyzD65FromLab(labD65(...lab)));
    return logTriple(r, g, b);
  };
  const glaze = log([L, a, 0]);
  const dab = log([L + 2, a, 0]);
  const step = dab.map((v, k) => v - glaze[k]!) as unknown as LogTriple;
  const known = leftOut === undefined ? undefined : profile(leftOut);
  const read = { glaze, step, covariances: {}, turn: 0 };
  const [low, high] = deltaE00Interval(labDifference(read, TILE, known)).interval95;
  return (high - low) / 2;
}

test('the interval narrows as the patches left out are foretold better', () => {
  const widths = [0.6, 0.3, 0].map((leftOut) => halfWidth(leftOut, 10));
  widths.slice(1).forEach((width, i) => expect(width).toBeLessThan(0.95 * widths[i]!));
});

test.each([
  ['white', 92, 0],
  ['cream', 88, 10],
])('knowing the camera, good or middling, makes a %s more certain', (_, L, a) => {
  for (const leftOut of [0.3, 1, 2]) {
    expect(halfWidth(leftOut, a, L)).toBeLessThan(halfWidth(undefined, a, L));
  }
});

/** L* of paint whose K/S is so many times that of a grey of lightness `L`: R∞ = 1 + K/S − √((K/S)² + 2K/S). */
function lightnessOfPaint(L: number, times: number): number {
  const R = xyzD65FromLab(labD65(L, 0, 0))[1];
  const ratio = times * ((1 - R) ** 2 / (2 * R));
  const Y = 1 + ratio - Math.sqrt(ratio * ratio + 2 * ratio);
  return labFromXyzD65(xyzD65(Y * WHITE_D65[0], Y, Y * WHITE_D65[2]))[0];
}

test.each([20, 35, 65, 80, 92])(
  'what other pigments may do at L* %i over that at 50 is what a share of K/S does (Kubelka, Munk 1931)',
  (L) => {
    const moved = (at: number) => lightnessOfPaint(at, 0.99) - lightnessOfPaint(at, 1.01);
    const stated = (at: number) => profiledPigments(labD65(at, 0, 0), 1.5);
    for (const k of [0, 1, 2] as const) {
      expect(stated(L)[k] / stated(50)[k]).toBeCloseTo(moved(L) / moved(50), 1);
    }
  },
);

test('a middling glaze is read less surely than a white one', () => {
  expect(halfWidth(1.5, 0, 55)).toBeGreaterThan(1.4 * halfWidth(1.5, 0, 90));
});
