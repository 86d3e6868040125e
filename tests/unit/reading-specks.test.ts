import { expect, test } from 'vitest';
import { specksIn } from '../../src/reading/specks.ts';
import { normals } from './reading-scene.ts';

const COLS = 40;
const SIDE = 5;
/** A grid of 40 × 40 cells in squares of 5 × 5. */
const squares = Array.from({ length: (COLS / SIDE) ** 2 }, (_, s) =>
  Array.from({ length: SIDE ** 2 }, (_cell, i) => {
    const row = Math.floor(s / (COLS / SIDE)) * SIDE + Math.floor(i / SIDE);
    return row * COLS + (s % (COLS / SIDE)) * SIDE + (i % SIDE);
  }),
);
function ground(noise: number): Float64Array {
  const normal = normals(5);
  return Float64Array.from({ length: COLS * COLS }, () => 0.4 * (1 + noise * normal()));
}

test('a speck in every square leaves the ground’s light as it is', () => {
  const light = ground(0.01);
  for (const square of squares) light[square[12]!]! *= 0.4;
  const specks = specksIn(squares, COLS, (cell) => light[cell]!, 'dark');
  const mean = (cells: readonly number[]) =>
    cells.reduce((s, c) => s + light[c]!, 0) / cells.length;
  const all = squares.flat();
  expect(mean(all) / 0.4).toBeLessThan(0.98);
  expect(mean(all.filter((c) => !specks.has(c))) / 0.4).toBeCloseTo(1, 2);
});

test('noise is no speck, nor is what lies over an edge, and glare stays where it must be seen', () => {
  const noisy = ground(0.1);
  // Beyond four deviations lie 6 of 100 000 (tables of the normal distribution); each takes 9 cells along.
  expect(specksIn(squares, COLS, (cell) => noisy[cell]!, 'all').size).toBeLessThan(30);
  const edge = ground(0.01).map((v, cell) => (cell % COLS < 18 ? v : 0.5 * v));
  expect(specksIn(squares, COLS, (cell) => edge[cell]!, 'dark').size).toBe(0);
  const glint = ground(0.01);
  glint[squares[9]![12]!]! *= 3;
  expect(specksIn(squares, COLS, (cell) => glint[cell]!, 'dark').size).toBe(0);
  expect(specksIn(squares, COLS, (cell) => glint[cell]!, 'all').size).toBe(9);
});
