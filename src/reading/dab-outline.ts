/**
 * The dab's own outline, from the place the person points at.
 *
 * A first, straight field of light is fitted to the glaze some way off; against it every cell is
 * scored by how far it lies along the step from glaze to the pointed-at colour. What is connected to
 * the pointed-at place and lies more than half-way is the dab. Where step and noise cannot be told
 * apart (the dab blends), the pointed-at circle itself is taken.
 */
import type { OpenCv } from './opencv.ts';
import {
  blur,
  cellAt,
  connectedTo,
  count,
  describe,
  stepsAtItsEdge,
  type DabOutline,
} from './outline-shape.ts';
import { centreX, centreY } from './picture.ts';
import { median } from './robust.ts';
import { straightField } from './straight-field.ts';
import type { LogTriple, LogWindow } from './log-window.ts';
import type { PixelCircle } from './types.ts';

/** Contrast over noise from which an outline is believed. */
const SEPARABLE = 2.5;
/** Brighter than both by this much, ln, is neither glaze nor dab. */
const LAMP_IMAGE = 0.3;
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
    // What is far brighter than glaze and dab is the lamp's image, and part of neither.
    const lamp = residual(0, cell) - Math.max(0, step[0]!) > LAMP_IMAGE;
    // A clipped or black cell says nothing; half-way keeps it from joining or cutting.
    along[cell] = !usable[cell] ? 0.5 : lamp ? 0 : Math.max(-2, Math.min(3, dot / contrast ** 2));
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
  if (!mask) return { ...pointedOutline(cv, window, pointed, field.trust), runsOut };
  return describe(cv, window, mask, along, field.trust, contrast, runsOut, pointed);
}

/** The place pointed at, for a dab whose outline is not to be seen. */
export function pointedOutline(
  cv: OpenCv,
  window: LogWindow,
  pointed: PixelCircle,
  glazeTrust: Float32Array,
): DabOutline {
  const radius = Math.max(UNSEEN_SHARE * pointed.radius, 1.2 * window.grid.step);
  return circular(cv, window, { ...pointed, radius }, glazeTrust, 0);
}
/** The share of the pointed-at circle that is surely dab. */
const UNSEEN_SHARE = 0.9;

/** A disc that is surely dab, though its own outline is not to be seen. */
export const discOutline = (
  cv: OpenCv,
  window: LogWindow,
  disc: PixelCircle,
  glazeTrust: Float32Array,
): DabOutline => circular(cv, window, disc, glazeTrust, SEPARABLE);

function circular(
  cv: OpenCv,
  window: LogWindow,
  circle: PixelCircle,
  glazeTrust: Float32Array,
  contrast: number,
): DabOutline {
  const { grid } = window;
  const mask = Uint8Array.from(glazeTrust, (_, cell) =>
    Math.hypot(centreX(grid, cell) - circle.x, centreY(grid, cell) - circle.y) < circle.radius
      ? 1
      : 0,
  );
  return describe(cv, window, mask, glazeTrust, glazeTrust, contrast, false, circle);
}
