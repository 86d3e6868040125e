/**
 * Where the lamp is mirrored in the neighbourhood of the dab, and how far its glare spreads.
 *
 * Mirrored light has the lamp's colour and comes on top of what the glaze itself sends back (Shafer
 * 1985, the dichromatic model): relative to the tile it adds the same to all three channels, so it
 * brightens, and pulls a coloured glaze towards neutral. What stands out so is the lamp's image; its
 * glare fades out about as far again as the image is half wide, and is left out by position.
 */
import { distanceWithin } from './distance.ts';
import type { OpenCv } from './opencv.ts';
import { median } from './robust.ts';
import { relativeRgb, type LogTriple, type LogWindow } from './log-window.ts';

export interface Highlights {
  /** Per cell: 1 in the lamp's image. */
  readonly image: Uint8Array;
  /** Per cell: how free of glare, 0–1. */
  readonly clear: Float32Array;
}

/** Brighter than the field by this much, in ln, and by this many deviations of the noise. */
const BRIGHTER = 0.1;
const NOISE_TIMES = 5;
/** The same of a single cell's own noise, which rules where the body is dark. */
const CELL_NOISE_TIMES = 3.5;
/** Steps of ln light over which cells are as noisy, and least cells to tell how noisy. */
const NOISE_STEP = 0.7;
const NOISE_CELLS = 20;
/** Mirrored light over the body's own, from its loss of saturation, that marks a highlight. */
const MIRRORED = 0.1;
/** Saturation, in ln of channel ratio, from which a loss of it can be told. */
const SATURATED = 0.25;
/** Smallest image, cells: less is a speck. */
const LEAST_CELLS = 4;
/** Glare reaches this many half-widths beyond the image. */
const GLARE_REACH = 1.1;

/**
 * @param expected log colour at each cell if nothing were mirrored; undefined where unknown
 * @param widest most cells that glare may reach beyond its image
 * @param sigma deviation of a cell's mean log light
 */
export function findHighlights(
  cv: OpenCv,
  window: LogWindow,
  widest: number,
  expected: (cell: number) => LogTriple | undefined,
  sigma: number,
): Highlights {
  const { grid, planes } = window;
  const n = grid.cols * grid.rows;
  const marked = new Uint8Array(n);
  const seenAt = (cell: number): LogTriple => [
    planes[0][cell]!,
    planes[1][cell]!,
    planes[2][cell]!,
  ];
  const bodies = Array.from({ length: n }, (_, cell) => expected(cell));
  const noise = cellNoise(window, bodies, (cell, body) => body[0] - planes[0][cell]!);
  const tintNoise = cellNoise(window, bodies, (cell, body) => -lossOfTint(seenAt(cell), body));
  for (let cell = 0; cell < n; cell++) {
    if (grid.clipped[cell]) {
      marked[cell] = 1;
      continue;
    }
    const body = bodies[cell];
    if (!body) continue;
    const seen = seenAt(cell);
    const brighter = seen[0] - body[0];
    if (brighter < 0.3 * BRIGHTER || !isBodyPlusLamp(seen, body)) continue;
    const chance = Math.max(NOISE_TIMES * sigma, CELL_NOISE_TIMES * noise(body[0]));
    if (brighter > Math.max(BRIGHTER, chance)) marked[cell] = 1;
    const saturation = Math.hypot(body[1], body[2]);
    if (saturation > SATURATED) {
      const loss = lossOfTint(seen, body);
      const byChance = Math.max(chance, CELL_NOISE_TIMES * tintNoise(body[0]));
      if (loss > MIRRORED * saturation && loss > byChance) marked[cell] = 1;
    }
  }
  return spread(cv, marked, grid.cols, grid.rows, widest);
}

/** How far the log ratios of the channels have moved from the body's own towards neutral, ln. */
function lossOfTint(seen: LogTriple, body: LogTriple): number {
  const saturation = Math.max(1e-6, Math.hypot(body[1], body[2]));
  return -((seen[1] - body[1]) * body[1] + (seen[2] - body[2]) * body[2]) / saturation;
}

/**
 * Standard deviation of what a cell shows, by how much light its body sends back: from the cells that stray
 * the way no highlight does, which only brightens and only pulls towards neutral. The darker a body, and
 * the darker a channel of it, the noisier a camera's logarithm.
 * @param astray how far a cell has strayed from its body that other way, ln
 */
function cellNoise(
  { usable }: LogWindow,
  bodies: readonly (LogTriple | undefined)[],
  astray: (cell: number, body: LogTriple) => number,
): (bodyLight: number) => number {
  const below = new Map<number, number[]>();
  const stepOf = (bodyLight: number) => Math.round(bodyLight / NOISE_STEP);
  bodies.forEach((body, cell) => {
    if (!body || !usable[cell]) return;
    const by = astray(cell, body);
    if (by <= 0) return;
    const step = stepOf(body[0]);
    const known = below.get(step);
    if (known) known.push(by);
    else below.set(step, [by]);
  });
  const sigmas = new Map<number, number>();
  for (const [step, values] of below) {
    // The median of half a normal distribution is 0.6745 of its deviation.
    if (values.length >= NOISE_CELLS) sigmas.set(step, median(values) / 0.6745);
  }
  return (bodyLight) => sigmas.get(stepOf(bodyLight)) ?? 0;
}

/**
 * Is the light seen some of the body's own plus some of the lamp's (equal in all channels relative to
 * the tile)? A brighter thing of another colour is not a highlight. Least squares of C = m·B + g.
 */
export function isBodyPlusLamp(seen: LogTriple, body: LogTriple): boolean {
  const C = relativeRgb(seen);
  const B = relativeRgb(body);
  const mean = (v: readonly number[]) => (v[0]! + v[1]! + v[2]!) / 3;
  const [meanC, meanB] = [mean(C), mean(B)];
  let cb = 0;
  let bb = 1e-4 * meanB ** 2;
  for (let k = 0; k < 3; k++) {
    cb += (C[k]! - meanC) * (B[k]! - meanB);
    bb += (B[k]! - meanB) ** 2;
  }
  const m = Math.min(1.25, Math.max(0, cb / bb));
  const g = meanC - m * meanB;
  const miss = Math.hypot(...C.map((v, k) => v - m * B[k]! - g)) / meanC;
  return g > 0 && miss < COLOUR_MISS;
}
const COLOUR_MISS = 0.05;

/** Drops specks, then lets each image fade out over its own half-width. */
function spread(
  cv: OpenCv,
  marked: Uint8Array,
  cols: number,
  rows: number,
  widest: number,
): Highlights {
  const image = new Uint8Array(marked.length);
  const clear = new Float32Array(marked.length).fill(1);
  const binary = cv.matFromArray(rows, cols, cv.CV_8UC1, marked);
  const labels = new cv.Mat();
  try {
    const count = cv.connectedComponents(binary, labels, 8, cv.CV_32SC1);
    const cells: number[][] = Array.from({ length: count }, () => []);
    labels.data32S.forEach((label, cell) => {
      if (label > 0) cells[label]!.push(cell);
    });
    for (const blob of cells) {
      if (blob.length < LEAST_CELLS) continue;
      for (const cell of blob) image[cell] = 1;
    }
    for (const blob of cells) {
      if (blob.length < LEAST_CELLS) continue;
      const own = new Uint8Array(marked.length);
      for (const cell of blob) own[cell] = 255;
      const reach = Math.min(widest, GLARE_REACH * halfWidth(cv, own, cols, rows) + 1.5);
      fade(clear, distanceWithin(cv, own, { cols, rows }, 'off'), reach);
    }
  } finally {
    binary.delete();
    labels.delete();
  }
  return { image, clear };
}

function fade(clear: Float32Array, distance: Float32Array, reach: number): void {
  for (let cell = 0; cell < clear.length; cell++) {
    const d = distance[cell]!;
    if (d >= 1.6 * reach) continue;
    clear[cell] = Math.min(clear[cell]!, d <= reach ? 0 : (d - reach) / (0.6 * reach));
  }
}

function halfWidth(cv: OpenCv, own: Uint8Array, cols: number, rows: number): number {
  return Math.max(...distanceWithin(cv, own, { cols, rows }, 'on'));
}
