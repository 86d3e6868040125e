import { describe, expect, it } from 'vitest';
import { adaptToD65 } from '../../src/colour/adaptation.ts';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labFromXyzD65 } from '../../src/colour/cielab.ts';
import { reflectance } from '../../src/colour/grid.ts';
import { D50 } from '../../src/colour/illuminants.ts';
import { xyz, type LabD65, type Xyz } from '../../src/colour/spaces.ts';
import { whiteOfIlluminant, xyzFromReflectance } from '../../src/colour/spectra.ts';

/**
 * Nine patches of the 24-patch colour-rendition chart (McCamy, Marcus, Davidson 1976): the mean
 * reflectance of 30 charts, 380–730 nm at 10 nm, and the xyY under D50, 2° observer, both as
 * published by D. Pascale 2012, “RGB coordinates and spectra”; also carried by the Python library
 * colour-science. Published to three and four decimals.
 */
const PATCHES: readonly {
  readonly patch: string;
  readonly xyY: readonly [number, number, number];
  readonly reflectance: readonly number[];
}[] = [
  {
    patch: 'orange',
    xyY: [0.5291, 0.4075, 0.3117],
    reflectance: [
      0.054, 0.054, 0.053, 0.054, 0.054, 0.055, 0.055, 0.055, 0.056, 0.057, 0.058, 0.061, 0.068,
      0.089, 0.125, 0.154, 0.174, 0.199, 0.248, 0.335, 0.444, 0.538, 0.587, 0.595, 0.591, 0.587,
      0.584, 0.584, 0.59, 0.603, 0.62, 0.639, 0.655, 0.663, 0.663, 0.667,
    ],
  },
  {
    patch: 'purplish blue',
    xyY: [0.2339, 0.2155, 0.114],
    reflectance: [
      0.122, 0.164, 0.229, 0.286, 0.327, 0.361, 0.388, 0.4, 0.392, 0.362, 0.316, 0.26, 0.209, 0.168,
      0.138, 0.117, 0.104, 0.096, 0.09, 0.086, 0.084, 0.084, 0.084, 0.084, 0.084, 0.085, 0.09,
      0.098, 0.109, 0.123, 0.143, 0.169, 0.205, 0.244, 0.287, 0.332,
    ],
  },
  {
    patch: 'blue',
    xyY: [0.204, 0.1696, 0.0579],
    reflectance: [
      0.066, 0.079, 0.102, 0.146, 0.2, 0.244, 0.282, 0.309, 0.308, 0.278, 0.231, 0.178, 0.13, 0.094,
      0.07, 0.054, 0.046, 0.042, 0.039, 0.038, 0.038, 0.038, 0.038, 0.039, 0.039, 0.04, 0.041,
      0.042, 0.044, 0.045, 0.046, 0.046, 0.048, 0.052, 0.057, 0.065,
    ],
  },
  {
    patch: 'green',
    xyY: [0.327, 0.5033, 0.2307],
    reflectance: [
      0.052, 0.053, 0.054, 0.055, 0.057, 0.059, 0.061, 0.066, 0.075, 0.093, 0.125, 0.178, 0.246,
      0.307, 0.337, 0.334, 0.317, 0.293, 0.262, 0.23, 0.198, 0.165, 0.135, 0.115, 0.104, 0.098,
      0.094, 0.092, 0.093, 0.097, 0.102, 0.108, 0.113, 0.115, 0.114, 0.114,
    ],
  },
  {
    patch: 'red',
    xyY: [0.5709, 0.3298, 0.1268],
    reflectance: [
      0.05, 0.049, 0.048, 0.047, 0.047, 0.047, 0.047, 0.047, 0.046, 0.045, 0.044, 0.044, 0.045,
      0.046, 0.047, 0.048, 0.049, 0.05, 0.054, 0.06, 0.072, 0.104, 0.178, 0.312, 0.467, 0.581,
      0.644, 0.675, 0.69, 0.698, 0.706, 0.715, 0.724, 0.73, 0.734, 0.738,
    ],
  },
  {
    patch: 'yellow',
    xyY: [0.4694, 0.4732, 0.6081],
    reflectance: [
      0.058, 0.054, 0.052, 0.052, 0.053, 0.054, 0.056, 0.059, 0.067, 0.081, 0.107, 0.152, 0.225,
      0.336, 0.462, 0.559, 0.616, 0.65, 0.672, 0.694, 0.71, 0.723, 0.731, 0.739, 0.746, 0.752,
      0.758, 0.764, 0.769, 0.771, 0.776, 0.782, 0.79, 0.796, 0.799, 0.804,
    ],
  },
  {
    patch: 'cyan',
    xyY: [0.2151, 0.3037, 0.1903],
    reflectance: [
      0.108, 0.141, 0.192, 0.236, 0.261, 0.286, 0.317, 0.353, 0.39, 0.426, 0.446, 0.444, 0.423,
      0.385, 0.337, 0.283, 0.231, 0.185, 0.146, 0.118, 0.101, 0.09, 0.082, 0.076, 0.074, 0.073,
      0.073, 0.074, 0.076, 0.077, 0.076, 0.075, 0.073, 0.072, 0.074, 0.079,
    ],
  },
  {
    patch: 'white',
    xyY: [0.3488, 0.3628, 0.9129],
    reflectance: [
      0.189, 0.255, 0.423, 0.66, 0.811, 0.862, 0.877, 0.884, 0.891, 0.896, 0.899, 0.904, 0.907,
      0.909, 0.911, 0.91, 0.911, 0.914, 0.913, 0.916, 0.915, 0.916, 0.914, 0.915, 0.918, 0.919,
      0.921, 0.923, 0.924, 0.922, 0.922, 0.925, 0.927, 0.93, 0.93, 0.933,
    ],
  },
  {
    patch: 'neutral 5',
    xyY: [0.3438, 0.3589, 0.1912],
    reflectance: [
      0.105, 0.131, 0.163, 0.18, 0.186, 0.19, 0.193, 0.194, 0.194, 0.192, 0.191, 0.191, 0.191,
      0.192, 0.192, 0.192, 0.192, 0.192, 0.192, 0.193, 0.192, 0.192, 0.191, 0.189, 0.188, 0.186,
      0.184, 0.182, 0.181, 0.179, 0.178, 0.176, 0.174, 0.173, 0.172, 0.171,
    ],
  },
];

const published = ([x, y, Y]: readonly [number, number, number]): Xyz =>
  xyz((x / y) * Y, Y, ((1 - x - y) / y) * Y);

function labOfD50(colour: Xyz): LabD65 {
  return labFromXyzD65(adaptToD65(colour, whiteOfIlluminant(D50)));
}

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
