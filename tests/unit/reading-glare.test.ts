/**
 * Glare that passes for a dab, and noise that passes for glare: rendered benches on which the one was read
 * (8.8 where the colours lie 1.1 apart) and the other refused.
 */
import { expect, test } from 'vitest';
import { runScene } from '../evaluate/one-scene.ts';

test.each([
  ['a tube mirrored along the dab, clipped in its middle', 194],
  ['the sheen of a satin dab beside the lamp’s image', 369],
  ['the half of a dab that a tube makes shine', 313],
])('%s is refused', async (_, seed) => {
  const { kind, refused } = (await runScene(seed, 'tune')).outcome;
  expect(kind).toBe('highlight');
  expect(refused).toContain('dab-highlight');
});

test('a strong yellow in a noisy picture is no glare, for its noise goes both ways', async () => {
  const { kind, answer, true: truth } = (await runScene(68, 'tune')).outcome;
  expect(kind).toBe('ordinary');
  expect(answer!.interval95[0]).toBeLessThan(truth.deltaE00);
  expect(answer!.interval95[1]).toBeGreaterThan(truth.deltaE00);
});
