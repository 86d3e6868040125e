/** What a dab's mask looks like: how it hangs together, where it ends, how soft its edge is. */
import { connectedCells } from './connected.ts';
import { distanceWithin } from './distance.ts';
import type { OpenCv } from './opencv.ts';
import { centreX, centreY } from './picture.ts';
import { median } from './robust.ts';
import type { LogWindow } from './log-window.ts';
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

/** Contrast over noise from which the softness of its edge can be measured. */
export const CLEAR = 10;

/**
 * A dab ends in a step; the shoulder of a curved piece does not. Compares the cells just inside the
 * outline with those just outside: at least half of the whole step must happen there.
 */
export function stepsAtItsEdge(
  cv: OpenCv,
  { grid, planes, usable }: Pick<LogWindow, 'grid' | 'planes' | 'usable'>,
  mask: Uint8Array,
  step: readonly number[],
  noise: readonly number[],
): boolean {
  const inside = distanceWithin(cv, mask, grid, 'on');
  const outside = distanceWithin(cv, mask, grid, 'off');
  const reach = Math.max(4, EDGE * Math.sqrt(count(mask) / Math.PI));
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
  return dot > AT_EDGE * whole;
}
/** How far from the outline, in radii, the step must have happened, and which share of it. */
const EDGE = 0.2;
const AT_EDGE = 0.6;

export function cellAt(grid: LogWindow['grid'], x: number, y: number, values: Uint8Array): number {
  const col = Math.floor((x - grid.x0) / grid.step);
  const row = Math.floor((y - grid.y0) / grid.step);
  return col < 0 || row < 0 || col >= grid.cols || row >= grid.rows
    ? 0
    : values[row * grid.cols + col]!;
}

export function blur(
  cv: OpenCv,
  values: Float32Array,
  cols: number,
  rows: number,
  by: number,
): void {
  const mat = cv.matFromArray(rows, cols, cv.CV_32FC1, values);
  try {
    cv.blur(mat, mat, { width: 2 * by + 1, height: 2 * by + 1 });
    values.set(mat.data32F);
  } finally {
    mat.delete();
  }
}

/** What lies more than half-way to the dab's colour and hangs together with the pointed-at place. */
export function connectedTo(
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
      if (isAtRim(grid, cell)) runsOut = true;
    }
    fillHoles(mask, grid);
    return { mask, runsOut };
  } finally {
    for (const m of [image, labels, kernel]) m.delete();
  }
}

/** A highlight in the middle of the dab is still dab: holes are filled. */
function fillHoles(mask: Uint8Array, grid: LogWindow['grid']): void {
  const rim = [...mask.keys()].filter((cell) => !mask[cell] && isAtRim(grid, cell));
  const outside = connectedCells(grid, rim, (_, to) => !mask[to]);
  mask.fill(1);
  for (const cell of outside) mask[cell] = 0;
}

function isAtRim({ cols, rows }: LogWindow['grid'], cell: number): boolean {
  const x = cell % cols;
  return x === 0 || x === cols - 1 || cell < cols || cell >= cols * (rows - 1);
}

export const count = (mask: Uint8Array): number => mask.reduce((sum, v) => sum + v, 0);

export function describe(
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
