import { describe, expect, it } from 'vitest';
import { labFromXyzD65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import { labD65, xyzD65 } from '../../src/colour/spaces.ts';
import { inLight, lightSlope } from '../../src/paint/light.ts';

const COLOURS = [labD65(76, -1, -12), labD65(30, 40, -60), labD65(3, 1, -2), labD65(9, 20, -30)];

describe('a colour in other light', () => {
  it('is that of X, Y and Z by one factor', () => {
    for (const lab of COLOURS) {
      for (const logLight of [-0.5, -0.05, 0, 0.2, 0.5]) {
        const [X, Y, Z] = xyzD65FromLab(lab);
        const k = Math.exp(logLight);
        const wanted = labFromXyzD65(xyzD65(k * X, k * Y, k * Z));
        inLight(lab, logLight).forEach((value, axis) => {
          expect(value).toBeCloseTo(wanted[axis]!, 9);
        });
      }
    }
  });

  it('moves with ln light as its slopes say, but for near black', () => {
    const h = 1e-4;
    for (const lab of COLOURS.slice(0, 2)) {
      for (const axis of [0, 1, 2] as const) {
        const slope = (inLight(lab, h)[axis] - inLight(lab, -h)[axis]) / (2 * h);
        expect(lightSlope(lab, axis)).toBeCloseTo(slope, 4);
      }
    }
  });
});
