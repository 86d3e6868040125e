/** What cameras, lamps and surfaces are taken to be before anything is seen. */
import { describe, expect, it, test } from 'vitest';
import { chromaticityOf, ohnoTemperature } from '../../../src/colour/cct.ts';
import { TABLE_BANDS } from '../../../src/colour/grid.ts';
import { OBSERVER_1931 } from '../../../src/colour/observers.ts';
import { xyzD65 } from '../../../src/colour/spaces.ts';
import {
  fixedDraws,
  plausibleCamera,
  plausibleLamp,
  plausibleSurface,
  type Curve,
} from '../../../src/reading/profile/plausible.ts';

const many = <T>(of: (draw: () => number) => T): T[] => {
  const draw = fixedDraws(7);
  return Array.from({ length: 200 }, () => of(draw));
};

test('draws are the same each time, and spread evenly over 0 to 1', () => {
  const [one, two] = [fixedDraws(7), fixedDraws(7)];
  const drawn = Array.from({ length: 4000 }, () => one());
  expect(drawn.slice(0, 5)).toEqual(Array.from({ length: 5 }, () => two()));
  for (let tenth = 0; tenth < 10; tenth++) {
    const share =
      drawn.filter((v) => v >= tenth / 10 && v < (tenth + 1) / 10).length / drawn.length;
    // Four standard deviations of a binomial share.
    expect(Math.abs(share - 0.1)).toBeLessThan(4 * Math.sqrt(0.09 / drawn.length));
  }
});

describe('surfaces', () => {
  it('reflect between nothing and all, at every band', () => {
    for (const surface of many(plausibleSurface)) {
      expect(surface).toHaveLength(TABLE_BANDS);
      expect(Math.min(...surface)).toBeGreaterThan(0);
      expect(Math.max(...surface)).toBeLessThan(1);
    }
  });
});

describe('cameras', () => {
  it('are nowhere negative, and their channels peak in order: blue, green, red', () => {
    for (const channels of many(plausibleCamera)) {
      const peaks = channels.map((channel) => channel.indexOf(Math.max(...channel)));
      expect(Math.min(...channels.flatMap((channel) => [...channel]))).toBeGreaterThanOrEqual(0);
      expect(peaks[2]!).toBeLessThan(peaks[1]!);
      expect(peaks[1]!).toBeLessThan(peaks[0]!);
    }
  });
});

describe('lamps', () => {
  it('are white: most within Duv 0.05 of a Planckian radiator, where a colour temperature means anything (CIE 15)', () => {
    const { xBar, yBar, zBar } = OBSERVER_1931;
    const sum = (bar: Curve, lamp: Curve) => bar.reduce((s, v, i) => s + v * lamp[i]!, 0);
    const white = many(plausibleLamp).filter((lamp) => {
      const [X, Y, Z] = [sum(xBar, lamp), sum(yBar, lamp), sum(zBar, lamp)];
      const told = ohnoTemperature(chromaticityOf(xyzD65(X / Y, 1, Z / Y)));
      return told !== undefined && Math.abs(told.duv) < 0.05;
    });
    expect(white.length).toBeGreaterThan(180);
  });
});
