/** A straight field of light through the glaze some way off the dab: a first look at how it is lit. */
import { centreX, centreY } from './picture.ts';
import { biweight, median, robustSigma } from './robust.ts';
import type { LogTriple, LogWindow } from './log-window.ts';
import type { PixelCircle } from './types.ts';

export interface StraightField {
  readonly planes: readonly [Plane, Plane, Plane];
  readonly sigma: readonly [number, number, number];
  readonly trust: Float32Array;
}
type Plane = readonly [constant: number, alongX: number, alongY: number];

/** Robust plane in each coordinate through the glaze away from the dab. */
export function straightField(
  window: LogWindow,
  pointed: PixelCircle,
  distance: Float32Array,
  glaze: LogTriple | undefined,
): StraightField | undefined {
  const { grid, planes, usable } = window;
  const n = grid.cols * grid.rows;
  const trust = new Float32Array(n);
  const candidates: number[] = [];
  const tolerance = ratioTolerance(window, distance);
  for (let cell = 0; cell < n; cell++) {
    if (!usable[cell]) continue;
    let t = 1;
    if (glaze) {
      const red = (planes[1][cell]! - glaze[1]) / tolerance[0];
      const blue = (planes[2][cell]! - glaze[2]) / tolerance[1];
      const light = (planes[0][cell]! - glaze[0]) / 0.6;
      t = Math.exp(-0.5 * Math.max(0, Math.hypot(red, blue, light) - 1) ** 2);
      if (t < 0.02) t = 0;
    }
    trust[cell] = t;
    if (t > 0 && distance[cell]! > 1.6 && distance[cell]! < 4.2) candidates.push(cell);
  }
  if (candidates.length < 40) return undefined;
  const thin = Math.max(1, Math.floor(candidates.length / 3000));
  const used = candidates.filter((_, i) => i % thin === 0);
  const x = used.map((cell) => (centreX(grid, cell) - pointed.x) / pointed.radius);
  const y = used.map((cell) => (centreY(grid, cell) - pointed.y) / pointed.radius);
  const base = used.map((cell) => trust[cell]! / (1 + (distance[cell]! / 2.2) ** 2));
  const weights = Float64Array.from(base);
  const fitted: Plane[] = [];
  const sigma: number[] = [];
  for (let pass = 0; pass < 10; pass++) {
    const residuals: number[][] = [];
    for (const k of [0, 1, 2] as const) {
      const z = used.map((cell) => planes[k][cell]!);
      const plane = pass === 0 ? ([median(z), 0, 0] as const) : weightedPlane(x, y, z, weights);
      fitted[k] = plane;
      residuals[k] = z.map((v, i) => v - plane[0] - plane[1] * x[i]! - plane[2] * y[i]!);
      sigma[k] = Math.max(0.003, robustSigma(residuals[k], 0));
    }
    for (let i = 0; i < used.length; i++) {
      weights[i] =
        base[i]! *
        biweight(residuals[0]![i]! / sigma[0]!, 4.7) *
        biweight(Math.hypot(residuals[1]![i]! / sigma[1]!, residuals[2]![i]! / sigma[2]!), 5);
    }
  }
  return {
    planes: fitted as unknown as StraightField['planes'],
    sigma: sigma as unknown as StraightField['sigma'],
    trust,
  };
}

/** How far a glaze cell's colour ratios may stray by noise and texture, from neighbours. */
function ratioTolerance(window: LogWindow, distance: Float32Array): [number, number] {
  const { grid, planes, usable } = window;
  const spread = ([1, 2] as const).map((k) => {
    const differences: number[] = [];
    for (let cell = 1; cell < distance.length; cell += 3) {
      if (cell % grid.cols === 0 || !usable[cell] || !usable[cell - 1]) continue;
      if (distance[cell]! < 1.7) continue;
      differences.push((planes[k][cell]! - planes[k][cell - 1]!) / Math.SQRT2);
    }
    return robustSigma(differences, 0);
  });
  return [0.05 + 3 * spread[0]!, 0.05 + 3 * spread[1]!];
}

function weightedPlane(
  x: readonly number[],
  y: readonly number[],
  z: readonly number[],
  weights: Float64Array,
): Plane {
  let w0 = 1e-9;
  let mx = 0;
  let my = 0;
  let mz = 0;
  for (let i = 0; i < z.length; i++) {
    const w = weights[i]!;
    w0 += w;
    mx += w * x[i]!;
    my += w * y[i]!;
    mz += w * z[i]!;
  }
  mx /= w0;
  my /= w0;
  mz /= w0;
  let xx = 1e-6 * w0;
  let xy = 0;
  let yy = 1e-6 * w0;
  let xz = 0;
  let yz = 0;
  for (let i = 0; i < z.length; i++) {
    const w = weights[i]!;
    const dx = x[i]! - mx;
    const dy = y[i]! - my;
    const dz = z[i]! - mz;
    xx += w * dx * dx;
    xy += w * dx * dy;
    yy += w * dy * dy;
    xz += w * dx * dz;
    yz += w * dy * dz;
  }
  const det = xx * yy - xy * xy;
  const sx = (xz * yy - yz * xy) / det;
  const sy = (yz * xx - xz * xy) / det;
  return [mz - sx * mx - sy * my, sx, sy];
}
