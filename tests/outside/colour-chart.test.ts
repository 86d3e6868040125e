/** Colours of spectra, against those published with them. */
import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { reflectance } from '../../src/colour/grid.ts';
import { D50 } from '../../src/colour/illuminants.ts';
import { xyzFromReflectance } from '../../src/colour/spectra.ts';
import { labOfD50, PATCHES, published } from './chart-patches.ts';

describe.each(PATCHES)('$patch of the 24-patch chart', ({ xyY, reflectance: values }) => {
  const surface = reflectance(values);
  it('has the published chromaticity and Y under D50', () => {
    const [X, Y, Z] = xyzFromReflectance(surface, D50);
    // One unit of the last decimal for either rounding; three for the steep red, where the published
    // sum ran over 10 nm without interpolation.
    expect(Math.abs(X / (X + Y + Z) - xyY[0])).toBeLessThan(0.00035);
    expect(Math.abs(Y / (X + Y + Z) - xyY[1])).toBeLessThan(0.00035);
    expect(Math.abs(Y - xyY[2])).toBeLessThan(0.00035);
  });
  it('has the published Lab, within the published rounding', () => {
    expect(
      deltaE00(labOfD50(xyzFromReflectance(surface, D50)), labOfD50(published(xyY))),
    ).toBeLessThan(0.1);
  });
});
