/**
 * The outline of a dab that is nearly the glaze's colour, on a piece that curves.
 *
 * A straight field misses a curved piece by more than such a dab differs, so its outline drowns.
 * Here the full shading field is fitted first, to glaze well away from the place pointed at and to
 * the middle of that place, with what lies between left out. Taken away, it leaves a flat picture
 * with a step in it; the step's outline is cut half-way, and the field is fitted anew on either side
 * of it. An outline counts only if half-way lies two deviations from glaze and from dab once noise is
 * smoothed (else noise would draw the outline, and choose the pixels that agree with it), and if most
 * of the step happens at its edge.
 */
import { blocksOf, layoutOf, type Layout } from './field-blocks.ts';
import type { LogTriple, LogWindow } from './log-window.ts';
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
import { robustSigma } from './robust.ts';
import { fitFieldForOutline, type FieldFit } from './shading-field.ts';
import type { PixelCircle } from './types.ts';

/** Unrest of the smoothed picture, as a share of the step, below which its outline is believed. */
const SEPARABLE = 0.25;
/** Of the radius pointed at: what is surely dab, and from where it is surely glaze. */
const CORE = 0.5;
const AWAY = 1.75;
const RING = 1.3;
const ROUNDS = 2;
/** What is brighter than the glaze by more than this, ln, is not faint: it may be the lamp. */
const FAINT = 0.6;
/** Deviations from glaze and dab at which a cell is neither. */
const STRANGE = 8;
/** Area of the dab over the area pointed at. */
const LEAST_AREA = 0.4;
const MOST_AREA = 5;
/** Unrest of a flat picture is never less than this, ln: rounding and codec. */
const LEAST_NOISE = 0.001;

export interface FaintOutline {
  readonly dab: DabOutline;
  /** From glaze to what is outlined. */
  readonly step: LogTriple;
}

/**
 * @param glazeTrust per cell, how much it looks like the glaze pointed at, 0–1
 * @returns 'drowned' when noise hides what step there may be; undefined when what stands out is no dab
 */
export function findFaintOutline(
  cv: OpenCv,
  window: LogWindow,
  pointed: PixelCircle,
  glazeTrust: Float32Array,
  soundGlaze: PixelCircle,
): FaintOutline | 'drowned' | undefined {
  const { grid, usable } = window;
  const look = wideLook(cv, window, pointed, glazeTrust);
  let { dab, layout } = look;
  let outline: FaintOutline | undefined;
  const seed = [...look.dab.mask.keys()].filter((cell) => usable[cell] && look.dab.mask[cell]);
  if (seed.length < 3) return undefined;
  for (let round = 0; round < ROUNDS; round++) {
    const { blocks, outer } = blocksOf(window, dab, undefined, layout);
    const fit = fitFieldForOutline(blocks);
    if (!fit || fit.step[0] > FAINT) return undefined;
    const flat = flatPlanes(window, dab, outer, fit);
    const ring = ringCells(window, dab, layout);
    if (ring.length < 30) return undefined;
    const step = alongStep(cv, window, flat, ring, fit.step, pointed.radius / grid.step);
    if (!step) return 'drowned';
    const { mask, runsOut } = connectedTo(cv, step.along, grid, seed, pointed.radius / grid.step);
    const area = (count(mask) * grid.step ** 2) / (Math.PI * pointed.radius ** 2);
    const swallows = cellAt(grid, soundGlaze.x, soundGlaze.y, mask) === 1;
    if (runsOut || swallows || area < LEAST_AREA || area > MOST_AREA) return undefined;
    const last = round === ROUNDS - 1;
    if (last && !stepsAtItsEdge(cv, { grid, usable, planes: flat }, mask, fit.step, step.noise))
      return undefined;
    dab = describe(cv, window, mask, step.along, glazeTrust, step.contrast, false, pointed);
    layout = layoutOf(window, dab);
    outline = { dab, step: fit.step };
  }
  return outline;
}

/** Only the middle of the place pointed at is dab, only glaze well away from it is glaze. */
export function wideLook(
  cv: OpenCv,
  window: LogWindow,
  pointed: PixelCircle,
  glazeTrust: Float32Array,
): { readonly dab: DabOutline; readonly layout: Layout } {
  const { grid } = window;
  const reach = Math.max(CORE * pointed.radius, 1.2 * grid.step);
  const core = Uint8Array.from(glazeTrust, (_, cell) =>
    Math.hypot(centreX(grid, cell) - pointed.x, centreY(grid, cell) - pointed.y) < reach ? 1 : 0,
  );
  return {
    dab: describe(cv, window, core, glazeTrust, glazeTrust, 0, false, pointed),
    layout: {
      margin: 0,
      gap: AWAY * pointed.radius - reach,
      width: RING * pointed.radius,
      near: 3 * pointed.radius,
      side: Math.max(1, Math.round(pointed.radius / grid.step / 5)) * grid.step,
    },
  };
}

type Planes = [Float32Array, Float32Array, Float32Array];

/** The window's planes with the field of light taken away; far outside the ring they are 0. */
function flatPlanes(
  { grid, planes }: LogWindow,
  dab: DabOutline,
  outer: number,
  fit: FieldFit,
): Planes {
  const flat = planes.map((plane) => new Float32Array(plane.length)) as Planes;
  for (let cell = 0; cell < planes[0].length; cell++) {
    const x = (centreX(grid, cell) - dab.centre.x) / outer;
    const y = (centreY(grid, cell) - dab.centre.y) / outer;
    if (Math.hypot(x, y) > 1.15) continue;
    const field = fit.glazeAt(x, y);
    for (const k of [0, 1, 2] as const) flat[k][cell] = planes[k][cell]! - field[k];
  }
  return flat;
}

function ringCells({ grid, usable }: LogWindow, dab: DabOutline, { gap, width }: Layout) {
  return [...usable.keys()].filter((cell) => {
    const outside = dab.outside[cell]! * grid.step;
    return usable[cell] && outside > gap && outside < gap + width && dab.glazeTrust[cell]! > 0.5;
  });
}

/**
 * Per cell, how far along the step from glaze (0) to dab (1) it lies, smoothed no more than it takes
 * to tell them apart; undefined when they cannot be told apart.
 */
function alongStep(
  cv: OpenCv,
  { grid, usable }: LogWindow,
  flat: Planes,
  ring: readonly number[],
  step: LogTriple,
  radius: number,
): { along: Float32Array; noise: readonly number[]; contrast: number } | undefined {
  const noise = flat.map((plane) =>
    Math.max(
      LEAST_NOISE,
      robustSigma(
        ring.map((cell) => plane[cell]!),
        0,
      ),
    ),
  );
  const contrast = Math.hypot(...step.map((d, k) => d / noise[k]!));
  const raw = Float32Array.from(usable, (use, cell) => {
    if (!use) return 0.5;
    let dot = 0;
    let offGlaze = 0;
    let offDab = 0;
    for (const k of [0, 1, 2] as const) {
      const d = flat[k][cell]!;
      dot += (d * step[k]) / noise[k]! ** 2;
      offGlaze += (d / noise[k]!) ** 2;
      offDab += ((d - step[k]) / noise[k]!) ** 2;
    }
    // Neither glaze nor dab: a highlight, a band, a speck.
    if (Math.min(offGlaze, offDab) > (STRANGE + 0.6 * contrast) ** 2) return 0;
    const most = 3 + 3 / contrast;
    return Math.max(-most, Math.min(most, dot / contrast ** 2));
  });
  for (let by = 1; by <= Math.max(1, radius / 3); by++) {
    const along = raw.slice();
    blur(cv, along, grid.cols, grid.rows, by);
    const unrest = robustSigma(
      ring.map((cell) => along[cell]!),
      0,
    );
    if (unrest < SEPARABLE) return { along, noise, contrast: 1 / unrest };
  }
  return undefined;
}
