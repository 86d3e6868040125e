/** What a profile leaves open: less the better it foretells its own patches, more of a strong colour. */
import { expect, test } from 'vitest';
import { labD65 } from '../../../src/colour/spaces.ts';
import { linearSrgbFromXyzD65 } from '../../../src/colour/srgb.ts';
import { xyzD65FromLab } from '../../../src/colour/cielab.ts';
import { logTriple, type LogTriple } from '../../../src/reading/log-window.ts';
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
function halfWidth(leftOut: number | undefined, a: number): number {
  const log = (lab: readonly [number, number, number]): LogTriple => {
    const [r, g, b] = linearSrgbFromXyzD65(xyzD65FromLab(labD65(...lab)));
    return logTriple(r, g, b);
  };
  const glaze = log([60, a, 0]);
  const dab = log([62, a, 0]);
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

test.each([0, 10, 30])('knowing the camera badly makes little less certain (a* %i)', (a) => {
  for (const leftOut of [0.3, 1, 2, 4]) {
    expect(halfWidth(leftOut, a)).toBeLessThanOrEqual(1.2 * halfWidth(undefined, a));
  }
});

test('a strong colour is read less surely than a grey, though ΔE₀₀ forgives it more', () => {
  expect(halfWidth(1.5, 25)).toBeGreaterThan(1.2 * halfWidth(1.5, 0));
});
