/**
 * A dab that no cell shows, but all of its cells together do: noise as large as the step drowns its
 * outline, and the eye still sees a disc. Discs of all sizes about the place pointed at are tried, a
 * quadratic field of light and a step fitted to the blocks in and round each (scan statistic: Kulldorff
 * 1997, Communications in Statistics – Theory and Methods 26), and the disc with the surest step is
 * taken, if it is sure beyond what the many discs tried make by chance and beyond what a fourth-order
 * curve of the piece would make.
 */
import { Matrix, inverse } from 'ml-matrix';
import { blocksRound } from './field-blocks.ts';
import { correlatedBlocks } from './field-correlation.ts';
import { blockNoise, type Noise } from './field-solve.ts';
import { COORDINATES, type Block } from './field-terms.ts';
import type { LogWindow } from './log-window.ts';
import { biweight, robustSigma } from './robust.ts';
import type { PixelCircle } from './types.ts';

/** Radii tried, in radii of the circle pointed at: a person points within the dab, or a little round it. */
const RADII = [0.75, 0.9, 1.05, 1.2, 1.4, 1.65, 1.9];
const MOST_RADIUS = 2.2;
const LEAST_RADIUS = 0.7;
/** Blocks a radius. */
const BLOCKS_PER_RADIUS = 4;
/** In the disc's radii: surely dab, surely glaze, and how far the glaze is looked at. */
const INSIDE = 0.88;
const OUTSIDE = 1.15;
const REACH = 1.9;
/** In radii of the circle pointed at: what lies there is never glaze. */
const NEVER_GLAZE = 0.5;
/** χ² of the step (three coordinates) with a quadratic field, and with a fourth-order term besides. */
const SURE = 60;
/** So sure a step drowns in no noise: whatever has no outline then is a reflection or an edge of the piece. */
const TOO_SURE = 2500;
const SURE_ON_A_CURVE = 50;
/** Errors that hang together over more blocks than this are clouds of the glaze, not noise. */
const CLOUDS = 1.5;
/** A step larger than this, ln, would have been seen as an outline. */
const MOST_STEP = 0.2;

/** @returns the disc; undefined when no step is sure */
export function scanForDisc(
  window: LogWindow,
  pointed: PixelCircle,
  glazeTrust: Float32Array,
): PixelCircle | undefined {
  const side = pointed.radius / BLOCKS_PER_RADIUS;
  const blocks = blocksRound(window, pointed, side, (cell) => glazeTrust[cell]!);
  const scene = { blocks, noise: blockNoise(blocks) };
  const best = surest(scene);
  if (!best || best.chiSquared < SURE || best.chiSquared > TOO_SURE) return undefined;
  if (Math.max(...best.clouds()) > CLOUDS || Math.abs(best.step[0]!) > MOST_STEP) return undefined;
  const curved = fitDisc(scene, best.disc, CURVED_TERMS);
  if (!curved || curved.chiSquared < SURE_ON_A_CURVE) return undefined;
  const { x, y, radius } = best.disc;
  return {
    x: pointed.x + x * pointed.radius,
    y: pointed.y + y * pointed.radius,
    radius: radius * pointed.radius,
  };
}

interface Scene {
  /** Positions in radii of the circle pointed at, from its middle. */
  readonly blocks: readonly Block[];
  readonly noise: Noise;
}
/** In radii of the circle pointed at, from its middle. */
type Disc = PixelCircle;

interface DiscFit {
  readonly disc: Disc;
  readonly step: readonly number[];
  readonly chiSquared: number;
  readonly clouds: () => readonly number[];
}

/** A coarse grid of places and sizes, then downhill by ever smaller steps. */
function surest(scene: Scene): DiscFit | undefined {
  let best: DiscFit | undefined;
  const attempt = (x: number, y: number, radius: number) => {
    const holdsTheMiddle = Math.hypot(x, y) + 0.4 < radius;
    if (radius < LEAST_RADIUS || radius > MOST_RADIUS || !holdsTheMiddle) return;
    const fit = fitDisc(scene, { x, y, radius }, TERMS);
    if (fit && fit.chiSquared > (best?.chiSquared ?? 0)) best = fit;
  };
  for (const radius of RADII) {
    const off = 0.3 * Math.max(1, radius - 0.3);
    for (const x of [-off, 0, off]) for (const y of [-off, 0, off]) attempt(x, y, radius);
  }
  for (let by = 0.2; best && by > 0.06; by /= 2) {
    for (let rounds = 0; rounds < 4; rounds++) {
      const { x, y, radius }: Disc = best.disc;
      const before: DiscFit = best;
      for (const d of [-by, by]) {
        attempt(x + d, y, radius);
        attempt(x, y + d, radius);
        attempt(x, y, radius + d);
      }
      if (best === before) break;
    }
  }
  return best;
}

const TERMS = 6;
const CURVED_TERMS = 7;
const PASSES = 3;
const CUT = 6;

/** Field and step by reweighted least squares; undefined with too few blocks on either side. */
function fitDisc({ blocks, noise }: Scene, disc: Disc, terms: number): DiscFit | undefined {
  const used: Block[] = [];
  const rows: number[][] = [];
  let onDab = 0;
  for (const block of blocks) {
    const x = (block.x - disc.x) / disc.radius;
    const y = (block.y - disc.y) / disc.radius;
    const away = Math.hypot(x, y);
    const inside = away < INSIDE;
    const outside = away > OUTSIDE && away < REACH;
    if (!inside && !outside) continue;
    if (outside && (block.trust < 0.3 || Math.hypot(block.x, block.y) < NEVER_GLAZE)) continue;
    onDab += inside ? 1 : 0;
    used.push(block);
    rows.push([...[1, x, y, x * x, x * y, y * y, away ** 4].slice(0, terms), inside ? 1 : 0]);
  }
  if (onDab < 4 || used.length - onDab < 15) return undefined;
  const m = terms + 1;
  let weights = new Float64Array(used.length).fill(1);
  const residuals = COORDINATES.map(() => new Float64Array(used.length));
  let sigmas: readonly number[] = noise;
  let covariance = new Matrix(m, m);
  let solution = new Matrix(m, 3);
  for (let pass = 0; pass < PASSES; pass++) {
    const normal = new Matrix(m, m);
    const right = new Matrix(m, 3);
    rows.forEach((row, i) => {
      for (let p = 0; p < m; p++) {
        const wp = weights[i]! * row[p]!;
        if (wp === 0) continue;
        for (let q = 0; q < m; q++) normal.set(p, q, normal.get(p, q) + wp * row[q]!);
        for (const k of COORDINATES) right.set(p, k, right.get(p, k) + wp * used[i]!.log[k]);
      }
    });
    for (let p = 0; p < m; p++) normal.set(p, p, normal.get(p, p) + 1e-9);
    covariance = inverse(normal);
    solution = covariance.mmul(right);
    for (const k of COORDINATES) {
      const column = solution.getColumn(k);
      rows.forEach((row, i) => {
        const fitted = row.reduce((sum, v, p) => sum + v * column[p]!, 0);
        residuals[k]![i] = used[i]!.log[k] - fitted;
      });
    }
    sigmas = COORDINATES.map((k) => Math.max(noise[k], robustSigma(residuals[k]!, 0)));
    weights = Float64Array.from(used, (_, i) =>
      biweight(Math.hypot(...COORDINATES.map((k) => residuals[k]![i]! / sigmas[k]!)), CUT),
    );
  }
  const step = solution.getRow(m - 1);
  const variance = covariance.get(m - 1, m - 1);
  return {
    disc,
    step,
    chiSquared: step.reduce((sum, d, k) => sum + d ** 2 / (sigmas[k]! ** 2 * variance), 0),
    clouds: () => correlatedBlocks(used, residuals, weights),
  };
}
