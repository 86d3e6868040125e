/**
 * A lamp's colour by the tile through a profile made under another, known lamp. Cameras and lamps are the
 * renderer's; the truth is the lamp's own spectrum by the 1931 observer (CIE 15).
 */
import { describe, expect, it, test } from 'vitest';
import { colourMatrix } from '../../../calibration-samples/render/isp.ts';
import { Random } from '../../../calibration-samples/render/random.ts';
import { sampleScene } from '../../../calibration-samples/render/sample-scene.ts';
import {
  edge,
  labUnder,
  skewedBell,
  spectrumOf,
  triplesum,
  xyzUnder,
  type Spectrum,
} from '../../../calibration-samples/render/spectra.ts';
import { chromaticityOf, ohnoTemperature } from '../../../src/colour/cct.ts';
import { lampLight } from '../../../src/colour/lamp-light.ts';
import { labD65, xyzD65 } from '../../../src/colour/spaces.ts';
import { encodedFromLinear } from '../../../src/colour/srgb.ts';
import { lampColourThrough } from '../../../src/reading/lamp-check.ts';
import { fitChart, type ChartPatch } from '../../../src/reading/profile/fit-chart.ts';
import type { CameraProfile } from '../../../src/reading/profile/profile.ts';

const WHITE = spectrumOf(() => 1);
const TILE = { lab: labD65(100, 0, 0), standardUncertainty: [0, 0, 0] as const };

/** Invented patches: greys, edges and bells. */
const PATCHES: readonly Spectrum[] = (() => {
  const random = new Random(5);
  const greys = [0.89, 0.58, 0.36, 0.19, 0.09, 0.04].map((level) => spectrumOf(() => level));
  const colours = Array.from({ length: 18 }, (_, i) => {
    const [low, high] = [random.range(0.03, 0.12), random.range(0.3, 0.75)];
    const [at, width] = [430 + ((i % 9) / 9) * 220, random.range(25, 60)];
    const bell = (nm: number) => skewedBell(nm, at, width, 48);
    if (i % 3 === 0) return spectrumOf((nm) => low + (high - low) * edge(nm, at + 30, width));
    return spectrumOf((nm) =>
      i % 3 === 1 ? low + (high - low) * bell(nm) : high - (high - low) * bell(nm),
    );
  });
  return [...greys, ...colours];
})();

const DAYLIGHT = lampLight('daylight', 5500).power as Spectrum;

/** A camera that holds the white balance it had under the first lamp. */
function camera(seed: number) {
  const { sensitivity } = sampleScene(seed, 'judge', {}).camera;
  const held = sensitivity.map((s) => triplesum(DAYLIGHT, WHITE, s));
  const matrix = colourMatrix(sampleScene(seed, 'judge', {}).camera, DAYLIGHT);
  return (lamp: Spectrum, surface: Spectrum) => {
    const raw = sensitivity.map((s, k) => triplesum(lamp, surface, s) / held[k]!);
    return matrix.map((row) =>
      Math.max(0, 0.85 * row.reduce((sum, v, k) => sum + v * raw[k]!, 0)),
    ) as unknown as readonly [number, number, number];
  };
}

function profileOf(see: ReturnType<typeof camera>): CameraProfile {
  const patches: ChartPatch[] = PATCHES.map((surface, i) => ({
    name: String(i + 1),
    encoded: see(DAYLIGHT, surface).map(encodedFromLinear) as unknown as ChartPatch['encoded'],
    at: { x: 0, y: 0 },
    lab: labD65(...labUnder(DAYLIGHT, surface)),
  }));
  const fitted = fitChart(
    patches.filter(({ encoded }) => Math.max(...encoded) < 0.98 && Math.min(...encoded) > 0.02),
  );
  if (!fitted.ok) throw new Error(fitted.message);
  const { tone, whiteLogRatios, colour } = fitted.fit;
  const lamp = { ...truth(DAYLIGHT), kelvin: 5500 };
  return { name: 'p', camera: 'c', madeOn: '2026-11-26', tone, whiteLogRatios, colour, lamp };
}

const truth = (lamp: Spectrum) => {
  const [X, Y, Z] = xyzUnder(lamp, WHITE);
  return chromaticityOf(xyzD65(X, Y, Z));
};

describe.each([1, 2, 3, 4])('camera %i, profiled under daylight of 5500 K', (seed) => {
  const see = camera(seed);
  const profile = profileOf(see);
  it.each([
    ['daylight', 6500],
    ['daylight', 4500],
    ['halogen', 3000],
    ['led', 4100],
  ] as const)('tells %s of %i K to a seventh', (kind, kelvin) => {
    const lamp = lampLight(kind, kelvin).power as Spectrum;
    const wanted = ohnoTemperature(truth(lamp))!.kelvin;
    const told = lampColourThrough(see(lamp, WHITE), TILE, profile)!;
    expect(Math.abs(told.kelvin! / wanted - 1)).toBeLessThan(1 / 7);
  });
  it('tells its own lamp as it was stated', () => {
    const told = lampColourThrough(see(DAYLIGHT, WHITE), TILE, profile)!;
    expect(Math.abs(told.x - truth(DAYLIGHT).x)).toBeLessThan(0.002);
    expect(Math.abs(told.y - truth(DAYLIGHT).y)).toBeLessThan(0.002);
  });
});

test('a profile without a lamp, or one made under a red lamp, tells none', () => {
  const profile = profileOf(camera(1));
  const { lamp, ...withoutLamp } = profile;
  const light = [0.5, 0.5, 0.5] as const;
  expect(lampColourThrough(light, TILE, withoutLamp)).toBeUndefined();
  const red = { ...profile, lamp: { ...lamp!, kelvin: 3000 } };
  expect(lampColourThrough(light, TILE, red)).toBeUndefined();
});
