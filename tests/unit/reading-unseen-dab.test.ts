import { expect, test } from 'vitest';
import { stepOfUnseen } from '../../src/reading/unseen-dab.ts';
import { drowned, POINTED, type Field } from './drowned-dab.ts';

const SEEDS = Array.from({ length: 12 }, (_, i) => 101 + i);
const bent: Field = (x, y) => 0.004 * (x - 50) - 0.0001 * (y - 40) ** 2;
const read = (seed: number, step: number) =>
  stepOfUnseen(drowned(seed, step, bent), POINTED, () => 1)!;
const mean = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / values.length;

test('a dab half as large again as the circle pointed at keeps its step', () => {
  const step = 0.06;
  for (const k of [0, 1, 2] as const) {
    const read12 = mean(SEEDS.map((seed) => read(seed, step).step[k]));
    // With the circle taken for the dab, a third and more of the step is lost.
    expect(read12 / step).toBeGreaterThan(0.75);
    expect(read12 / step).toBeLessThan(1.2);
  }
});

test('where nothing is, the step is nothing within what is said of it', () => {
  const squares = SEEDS.flatMap((seed) => {
    const { step, noise, shading } = read(seed, 0);
    return step.map((d, k) => d ** 2 / (noise[k]![k]! + shading[k]![k]!));
  });
  // χ² of 36: between 18 and 60 in 99 of 100 cases (tables of χ²), wider for what it leaves to texture.
  expect(squares.reduce((s, v) => s + v, 0)).toBeLessThan(60);
  expect(squares.reduce((s, v) => s + v, 0)).toBeGreaterThan(9);
});
