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
import { PLAIN, shown } from './rendered-bench.ts';

const SPRAYED = {
  ...PLAIN,
  shape: 'cylinder',
  deltaE00: 7,
  lightness: [35, 75],
  edgePixels: 20,
  level: 0.82,
} as const;

test.each([9, 14, 23, 33])('scene %i is read: it is no lamp', (seed) => {
  const bench = renderBench(sampleScene(seed, 'tune', SPRAYED), new Random(seed));
  const { truth } = bench;
  expect(truth.difference.lab[0]).toBeGreaterThan(5);
  const { picture, regions } = shown(bench);
  const result = read(nodeOpenCv(), picture, regions, DEFAULT_SETTINGS);
  if (!result.ok) throw new Error(result.refused.map(({ reason }) => reason).join());
  const [low, high] = result.difference.interval95;
  expect(low).toBeLessThanOrEqual(truth.difference.deltaE00);
  expect(high).toBeGreaterThanOrEqual(truth.difference.deltaE00);
  expect(result.verdict.acceptable).toBe('shows');
});
