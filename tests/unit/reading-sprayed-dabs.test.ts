/**
 * A test dab that was sprayed fades into the glaze over a good part of its width, as the lamp mirrored on
 * satin does; with too much white in it, it is lighter besides. Common practice, no source: white is the
 * base of a mix, and first dabs are too light.
 */
import { expect, test } from 'vitest';
import { renderBench } from '../../calibration-samples/render/bench.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';

const SPRAYED = {
  size: [640, 480],
  highlight: 'none',
  reflection: 'none',
  band: false,
  clutter: false,
  texture: 'plain',
  pigments: 'same',
  shape: 'cylinder',
  bench: 'grey',
  deltaE00: 7,
  lightness: [35, 75],
  dabPixels: 90,
  edgePixels: 20,
  level: 0.82,
} as const;

test.each([9, 14, 23, 33])('scene %i is read: it is no lamp', (seed) => {
  const { width, height, rgba, truth } = renderBench(
    sampleScene(seed, 'tune', SPRAYED),
    new Random(seed),
  );
  expect(truth.difference.lab[0]).toBeGreaterThan(5);
  const { glaze, dab } = truth.regions;
  const result = read(
    nodeOpenCv(),
    { width, height, rgba, maxCode: 255, frames: 1 },
    { glaze, dab, dabOn: 'piece' },
    DEFAULT_SETTINGS,
  );
  if (!result.ok) throw new Error(result.refused.map(({ reason }) => reason).join());
  const [low, high] = result.difference.interval95;
  expect(low).toBeLessThanOrEqual(truth.difference.deltaE00);
  expect(high).toBeGreaterThanOrEqual(truth.difference.deltaE00);
  expect(result.verdict.acceptable).toBe('shows');
});
