/** Sparse least squares against the QR of the same rows (ml-matrix). */
import { determinant, Matrix, QrDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { Random } from '../../../calibration-samples/render/random.ts';
import { NormalEquations, type Entries } from '../../../src/reading/profile/normal-equations.ts';

describe('normal equations', () => {
  const random = new Random(11);
  const size = 9;
  const rows = Array.from({ length: 30 }, (_, i) => {
    // Neighbours, and now and then the last unknown, as a place's light is.
    const at = i % 8;
    const entries: Entries = [
      [at, random.range(-2, 2)],
      [at + 1, random.range(-2, 2)],
      ...(i % 3 === 0 && at < 7 ? ([[8, -1]] as const) : []),
    ];
    return { entries, value: random.range(-1, 1), weight: random.range(0.5, 20) };
  });
  const system = new NormalEquations(size);
  for (const { entries, value, weight } of rows) system.put(entries, value, weight);
  const dense = new Matrix(
    rows.map(({ entries, weight }) => {
      const row = new Array<number>(size).fill(0);
      for (const [p, f] of entries) row[p]! += weight * f;
      return row;
    }),
  );
  const wanted = Matrix.columnVector(rows.map(({ value, weight }) => weight * value));
  const { x, misfit, logDeterminant } = system.solve();

  it('solve as QR of the rows does, and leave the same squares', () => {
    const other = new QrDecomposition(dense).solve(wanted);
    x.forEach((v, i) => expect(v).toBeCloseTo(other.get(i, 0), 8));
    const left = Matrix.sub(dense.mmul(other), wanted);
    expect(misfit).toBeCloseTo(left.dot(left), 6);
  });
  it('have the determinant of the normal matrix', () => {
    const normal = dense.transpose().mmul(dense);
    expect(logDeterminant).toBeCloseTo(Math.log(determinant(normal)), 8);
  });
  it('an unknown that no row speaks of is an error', () => {
    const open = new NormalEquations(2);
    open.put([[0, 1]], 1, 1);
    expect(() => open.solve()).toThrow(RangeError);
  });
});
