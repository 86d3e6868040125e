/** A flat thing in a picture: its own coordinates → pixels. */
import { Matrix, solve } from 'ml-matrix';
import type { PixelPoint } from '../types.ts';

export interface Pair {
  /** On the flat thing. */
  readonly u: number;
  readonly v: number;
  /** In the picture, px. */
  readonly to: PixelPoint;
}

/**
 * Least squares over four or more pairs (Hartley, Zisserman 2004, Multiple View Geometry, eq. 4.1 with
 * h₃₃ = 1). By singular values: points on one line give something, and what it shows is no chart.
 */
export function homography(pairs: readonly Pair[]): (u: number, v: number) => PixelPoint {
  const rows: number[][] = [];
  const wanted: number[][] = [];
  for (const { u, v, to } of pairs) {
    rows.push([u, v, 1, 0, 0, 0, -u * to.x, -v * to.x], [0, 0, 0, u, v, 1, -u * to.y, -v * to.y]);
    wanted.push([to.x], [to.y]);
  }
  const h = solve(new Matrix(rows), new Matrix(wanted), true).to1DArray();
  return (u, v) => {
    const w = h[6]! * u + h[7]! * v + 1;
    return { x: (h[0]! * u + h[1]! * v + h[2]!) / w, y: (h[3]! * u + h[4]! * v + h[5]!) / w };
  };
}
