/**
 * The dab's own outline, from the place the person points at.
 *
 * A first, straight field of light is fitted to the glaze some way off; against it every cell is
 * scored by how far it lies along the step from glaze to the pointed-at colour. What is connected to
 * the pointed-at place and lies more than half-way is the dab. Where step and noise cannot be told
 * apart (the dab blends), the pointed-at circle itself is taken.
 */
import { distanceWithin } from './distance.ts';
import type { OpenCv } from './opencv.ts';
import { centreX, centreY } from './picture.ts';
import { biweight, median, robustSigma } from './robust.ts';
import type { LogTriple, LogWindow } from './log-window.ts';
import type { PixelCircle, PixelPolygon } from './types.ts';

export interface DabOutline {
  /** Per cell of the window: 1 on the dab. */
  readonly mask: Uint8Array;
  /** Distance of each dab cell to the outline, and of each other cell to the dab, in cells. */
  readonly inside: Float32Array;
  readonly outside: Float32Array;
  /** Centre of the dab, picture px. */
  readonly centre: { readonly x: number; readonly y: number };
  /** Radius of a circle of the dab's area, px. */
  readonly radius: number;
  /** Width over which paint fades into glaze on either side of the outline, px. */
  readonly softness: number;
  /** Step from glaze to dab over noise; 0 when the outline was not seen. */
  readonly contrast: number;
  /** False: the dab could not be told from the glaze and the pointed-at circle was taken. */
  readonly seen: boolean;
  /** True when the dab runs into the edge of the window: look again in a wider one. */
  readonly runsOut: boolean;
  readonly polygon: PixelPolygon;
  /** Cells that look like the glaze the person pointed at, 0–1: the ring's first guess. */
  readonly glazeTrust: Float32Array;
}

/** Contrast over noise from which an outline is believed. */
const SEPARABLE = 2.5;
/** Contrast over noise from which the softness of its edge can be measured. */
export const CLEAR = 10;
/** How much a straight field may miss in the mean log light: the piece curves. */
const FIELD_SLACK = 0.02;
const RATIO_SLACK = 0.005;

export function findDabOutline(
  cv: OpenCv,
  window: LogWindow,
  pointed: PixelCircle,
  glaze: LogTriple | undefined,
  soundGlaze: PixelCircle,
): DabOutline | undefined {
  const { grid, planes, usable } = window;
  const n = grid.cols * grid.rows;
  const distance = new Float32Array(n);
  for (let cell = 0; cell < n; cell++) {
    distance[cell] =
      Math.hypot(centreX(grid, cell) - pointed.x, centreY(grid, cell) - pointed.y) / pointed.radius;
  }
  const seedReach = Math.max(0.5, (1.2 * grid.step) / pointed.radius);
  const seed: number[] = [];
  for (let cell = 0; cell < n; cell++) {
    if (usable[cell] && distance[cell]! < seedReach) seed.push(cell);
  }
  if (seed.length < 3) return undefined;
  const field = straightField(window, pointed, distance, glaze);
  if (!field) return undefined;
  const residual = (k: 0 | 1 | 2, cell: number): number => {
    const f = field.planes[k];
    const x = (centreX(grid, cell) - pointed.x) / pointed.radius;
    const y = (centreY(grid, cell) - pointed.y) / pointed.radius;
    return planes[k][cell]! - f[0] - f[1] * x - f[2] * y;
  };
  const step = ([0, 1, 2] as const).map((k) => median(seed.map((cell) => residual(k, cell))));
  const smooth = pointed.radius / grid.step > 12 ? 2 : 1;
  const noise = field.sigma.map((s, k) =>
    Math.hypot(s / (2 * smooth), k === 0 ? FIELD_SLACK : RATIO_SLACK),
  );
  const contrast = Math.hypot(...step.map((d, k) => d / noise[k]!));
  const along = new Float32Array(n);
  for (let cell = 0; cell < n; cell++) {
    let dot = 0;
    for (const k of [0, 1, 2] as const) {
      dot += (residual(k, cell) * step[k]!) / noise[k]! ** 2;
    }
    // A clipped or black cell says nothing; half-way keeps it from joining or cutting.
    along[cell] = usable[cell] ? Math.max(-2, Math.min(3, dot / contrast ** 2)) : 0.5;
  }
  blur(cv, along, grid.cols, grid.rows, smooth);
  let mask: Uint8Array | undefined;
  let runsOut = false;
  if (contrast > SEPARABLE) {
    const grown = connectedTo(cv, along, grid, seed, pointed.radius / grid.step);
    runsOut = grown.runsOut;
    const area = count(grown.mask) * grid.step ** 2;
    const pointedArea = Math.PI * pointed.radius ** 2;
    // What swallows the glaze the person pointed at is the piece, not the dab.
    const swallows = cellAt(grid, soundGlaze.x, soundGlaze.y, grown.mask) === 1;
    runsOut &&= !swallows;
    if (!runsOut && !swallows && area > 0.3 * pointedArea && area < 12 * pointedArea) {
      mask = grown.mask;
    }
    if (mask && !stepsAtItsEdge(cv, window, mask, step, noise)) mask = undefined;
  }
  const seen = mask !== undefined;
  mask ??= Uint8Array.from(distance, (d) => (d < UNSEEN_SHARE ? 1 : 0));
  return describe(cv, window, mask, along, field.trust, seen ? contrast : 0, runsOut, pointed);
}

/**
 * A dab ends in a step; the shoulder of a curved piece does not. Compares the cells just inside the
 * outline with those just outside: at least half of the whole step must happen there.
 */
function stepsAtItsEdge(
  cv: OpenCv,
  { grid, planes, usable }: LogWindow,
  mask: Uint8Array,
  step: readonly number[],
  noise: readonly number[],
): boolean {
  const inside = distanceWithin(cv, mask, grid, 'on');
  const outside = distanceWithin(cv, mask, grid, 'off');
  const reach = Math.max(4, 0.25 * Math.sqrt(count(mask) / Math.PI));
  let dot = 0;
  let whole = 0;
  for (const k of [0, 1, 2] as const) {
    const near: number[] = [];
    const far: number[] = [];
    for (let cell = 0; cell < mask.length; cell++) {
      if (!usable[cell]) continue;
      const depth = mask[cell] ? inside[cell]! : outside[cell]!;
      if (depth < 1.5 || depth > reach) continue;
      (mask[cell] ? near : far).push(planes[k][cell]!);
    }
    if (near.length < 5 || far.length < 5) return false;
    dot += ((median(near) - median(far)) * step[k]!) / noise[k]! ** 2;
    whole += (step[k]! / noise[k]!) ** 2;
  }
  return dot > 0.5 * whole;
}

function cellAt(grid: LogWindow['grid'], x: number, y: number, values: Uint8Array): number {
  const col = Math.floor((x - grid.x0) / grid.step);
  const row = Math.floor((y - grid.y0) / grid.step);
  return col < 0 || row < 0 || col >= grid.cols || row >= grid.rows
    ? 0
    : values[row * grid.cols + col]!;
}
/** Without an outline, the share of the pointed-at circle that is surely dab. */
const UNSEEN_SHARE = 0.9;

interface StraightField {
  readonly planes: readonly [Plane, Plane, Plane];
  readonly sigma: readonly [number, number, number];
  readonly trust: Float32Array;
}
type Plane = readonly [constant: number, alongX: number, alongY: number];

/** Robust plane in each coordinate through the glaze away from the dab. */
function straightField(
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

function blur(cv: OpenCv, values: Float32Array, cols: number, rows: number, by: number): void {
  const mat = cv.matFromArray(rows, cols, cv.CV_32FC1, values);
  try {
    cv.blur(mat, mat, { width: 2 * by + 1, height: 2 * by + 1 });
    values.set(mat.data32F);
  } finally {
    mat.delete();
  }
}

/** What lies more than half-way to the dab's colour and hangs together with the pointed-at place. */
function connectedTo(
  cv: OpenCv,
  along: Float32Array,
  grid: LogWindow['grid'],
  seed: readonly number[],
  radiusCells: number,
): { mask: Uint8Array; runsOut: boolean } {
  const { cols, rows } = grid;
  const binary = Uint8Array.from(along, (t) => (t > 0.5 ? 255 : 0));
  const image = cv.matFromArray(rows, cols, cv.CV_8UC1, binary);
  const labels = new cv.Mat();
  const size = 2 * Math.max(1, Math.round(radiusCells / 7)) + 1;
  const kernel = cv.getStructuringElement(cv.MORPH_ELLIPSE, { width: size, height: size });
  try {
    cv.morphologyEx(image, image, cv.MORPH_OPEN, kernel);
    cv.morphologyEx(image, image, cv.MORPH_CLOSE, kernel);
    cv.connectedComponents(image, labels, 4, cv.CV_32SC1);
    const votes = new Map<number, number>();
    for (const cell of seed) {
      const label = labels.data32S[cell]!;
      if (label > 0) votes.set(label, (votes.get(label) ?? 0) + 1);
    }
    let label = -1;
    for (const [candidate, n] of votes) if (n > (votes.get(label) ?? 0)) label = candidate;
    const mask = new Uint8Array(cols * rows);
    let runsOut = false;
    for (let cell = 0; cell < mask.length; cell++) {
      if (labels.data32S[cell] !== label) continue;
      mask[cell] = 1;
      const x = cell % cols;
      const y = Math.floor(cell / cols);
      if (x === 0 || y === 0 || x === cols - 1 || y === rows - 1) runsOut = true;
    }
    fillHoles(mask, cols, rows);
    return { mask, runsOut };
  } finally {
    for (const m of [image, labels, kernel]) m.delete();
  }
}

/** A highlight in the middle of the dab is still dab: holes are filled. */
function fillHoles(mask: Uint8Array, cols: number, rows: number): void {
  const outside = new Uint8Array(mask.length);
  const stack: number[] = [];
  const visit = (cell: number) => {
    if (!mask[cell] && !outside[cell]) {
      outside[cell] = 1;
      stack.push(cell);
    }
  };
  for (let x = 0; x < cols; x++) {
    visit(x);
    visit((rows - 1) * cols + x);
  }
  for (let y = 0; y < rows; y++) {
    visit(y * cols);
    visit(y * cols + cols - 1);
  }
  for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
    const x = cell % cols;
    if (x > 0) visit(cell - 1);
    if (x < cols - 1) visit(cell + 1);
    if (cell >= cols) visit(cell - cols);
    if (cell < mask.length - cols) visit(cell + cols);
  }
  for (let cell = 0; cell < mask.length; cell++) if (!outside[cell]) mask[cell] = 1;
}

const count = (mask: Uint8Array): number => mask.reduce((sum, v) => sum + v, 0);

function describe(
  cv: OpenCv,
  window: LogWindow,
  mask: Uint8Array,
  along: Float32Array,
  glazeTrust: Float32Array,
  contrast: number,
  runsOut: boolean,
  pointed: PixelCircle,
): DabOutline {
  const { grid } = window;
  const inside = distanceWithin(cv, mask, grid, 'on');
  const outside = distanceWithin(cv, mask, grid, 'off');
  let x = 0;
  let y = 0;
  let n = 0;
  mask.forEach((on, cell) => {
    if (!on) return;
    x += centreX(grid, cell);
    y += centreY(grid, cell);
    n++;
  });
  const centre = n > 0 ? { x: x / n, y: y / n } : { x: pointed.x, y: pointed.y };
  const radius = Math.sqrt(n / Math.PI) * grid.step;
  return {
    mask,
    inside,
    outside,
    centre,
    radius,
    softness:
      contrast > CLEAR
        ? softness(along, inside, outside) * grid.step
        : Math.max(0.15 * radius, 1.5 * grid.step),
    contrast,
    seen: contrast > 0,
    runsOut,
    polygon: radialOutline(grid, mask, centre),
    glazeTrust,
  };
}

/**
 * How far, in cells, paint still fades into glaze on either side of the outline: where the slope of
 * the step across it has fallen to a third of its steepest. Slopes, not levels: the piece curves.
 */
function softness(along: Float32Array, inside: Float32Array, outside: Float32Array): number {
  const reach = 14;
  const across = Array.from({ length: 2 * reach }, () => [] as number[]);
  for (let cell = 0; cell < along.length; cell++) {
    const depth = inside[cell]! > 0 ? inside[cell]! - 0.5 : 0.5 - outside[cell]!;
    const bin = Math.floor(depth + reach);
    if (bin >= 0 && bin < 2 * reach) across[bin]!.push(along[cell]!);
  }
  const profile = across.map((v) => (v.length > 5 ? median(v) : NaN));
  const slope = profile.map((v, i) => (i === 0 ? NaN : v - profile[i - 1]!));
  const steepest = Math.max(
    ...slope.slice(reach - 2, reach + 3).filter((v) => !Number.isNaN(v)),
    0.02,
  );
  let far = 1;
  for (let d = 1; d < reach - 1; d++) {
    const inner = slope[reach + d]!;
    const outer = slope[reach - d]!;
    if (!(inner > steepest / 3) && !(outer > steepest / 3)) break;
    far = d + 1;
  }
  return far;
}

/** The outline as seen from its centre, 48 points; enough to draw and to find again. */
function radialOutline(
  grid: LogWindow['grid'],
  mask: Uint8Array,
  centre: { x: number; y: number },
): PixelPolygon {
  const points: { x: number; y: number }[] = [];
  for (let i = 0; i < 48; i++) {
    const angle = (i / 48) * 2 * Math.PI;
    let last = 0;
    for (let r = 0; r < Math.hypot(grid.cols, grid.rows); r += 0.5) {
      const col = Math.floor((centre.x + r * grid.step * Math.cos(angle) - grid.x0) / grid.step);
      const row = Math.floor((centre.y + r * grid.step * Math.sin(angle) - grid.y0) / grid.step);
      if (col < 0 || row < 0 || col >= grid.cols || row >= grid.rows) break;
      if (mask[row * grid.cols + col]) last = r;
    }
    points.push({
      x: centre.x + last * grid.step * Math.cos(angle),
      y: centre.y + last * grid.step * Math.sin(angle),
    });
  }
  return points;
}
