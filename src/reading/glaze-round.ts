/**
 * The sound glaze round a marked area, and the field of its light carried on under the area: what the
 * glaze would look like there.
 */
import { circleLog } from './circle-log.ts';
import { logTriple, logWindow, type LogTriple, type LogWindow } from './log-window.ts';
import type { AreaShape } from './marked-area.ts';
import { centreX, centreY } from './picture.ts';
import { median } from './robust.ts';
import type { Block } from './field-terms.ts';
import { fitGlazeField } from './shading-field.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, PixelCircle, PixelPoint } from './types.ts';

export interface GlazeRound {
  /** Log colour of the glaze at the area's centre, relative to the tile. */
  readonly glaze: LogTriple;
  /** ln of the light at a place of the picture, px, over that at the area's centre. */
  readonly logShading: (x: number, y: number) => number;
  /** The area's centre, and how far from it the field is known, px. */
  readonly centre: PixelPoint;
  readonly reach: number;
  /** Mean log colour of the glaze on each side of the area, in the light of the area's centre. */
  readonly sides: readonly LogTriple[];
  /** Is this place of the picture, px, one of sound glaze that the field was fitted to? */
  readonly isGlaze: (x: number, y: number) => boolean;
}

/** Blocks of the ring, on a grid of squares of `pitch` px from (x0, y0). */
interface Ring {
  readonly x0: number;
  readonly y0: number;
  readonly pitch: number;
  readonly across: number;
  readonly blocks: readonly (Block & { readonly square: number })[];
}

/** Sprayed paint thins out over its outline: share of the radius left between it and the ring. */
const GAP = 0.15;
const LEAST_GAP = 4;
/** Width of the ring as a share of the radius, and least, px. */
const WIDTH = 0.9;
const LEAST_WIDTH = 16;
/** Blocks along the radius. */
const BLOCKS = 7;
/** Half as much is believed of glaze this many radii away. */
const HALF_BELIEVED = 0.6;
/** How far the ratios and the light of a block of glaze may stray, ln. */
const SAME_RATIO = 0.06;
const SAME_LIGHT = 0.6;
/** Eighths of the ring, of eight, that must hold glaze, and blocks in each. */
const LEAST_SIDES = 4;
const LEAST_BLOCKS = 2;

/** How far from its centre the ring round an area reaches, px. */
export function ringReach({ centre, radius, left, top, right, bottom }: AreaShape): number {
  const furthest = Math.hypot(
    Math.max(centre.x - left, right - centre.x),
    Math.max(centre.y - top, bottom - centre.y),
  );
  return Math.max(radius, Math.min(furthest, 3 * radius)) + gap(radius) + width(radius);
}
const gap = (radius: number) => Math.max(LEAST_GAP, GAP * radius);
const width = (radius: number) => Math.max(LEAST_WIDTH, WIDTH * radius);

/**
 * @param hint a patch of sound glaze the person pointed at; absent: most of the ring is taken for glaze
 * @returns undefined when too little of the ring is glaze
 */
export function readGlazeRound(
  picture: EncodedPicture,
  shape: AreaShape,
  tile: TileLight,
  hint?: PixelCircle,
): GlazeRound | undefined {
  const reach = ringReach(shape);
  const window = logWindow(picture, { ...shape.centre, radius: reach }, reach, tile.linearRgb);
  const ring = ringOf(window, shape, reach);
  const pointed = hint && circleLog(picture, hint, tile);
  const expected = pointed ?? middleOf(ring.blocks);
  const trusted = ring.blocks
    .map((b) => ({ ...b, trust: likeness(b.log, expected) }))
    .filter((b) => b.trust > 0.05);
  const fit = fitGlazeField(trusted);
  if (!fit || !surrounds(trusted, fit.weights)) return undefined;
  const { centre } = shape;
  const kept = trusted.filter((_, i) => fit.weights[i]! > 0.1);
  const squares = new Set(kept.map((b) => b.square));
  return {
    glaze: fit.glaze,
    logShading: (x, y) =>
      fit.glazeAt((x - centre.x) / reach, (y - centre.y) / reach)[0] - fit.glaze[0],
    centre,
    reach,
    sides: sideMeans(
      kept.map(({ x, y, log }) => ({
        side: sideOf(x, y),
        log: [log[0] - fit.glazeAt(x, y)[0] + fit.glaze[0], log[1], log[2]],
      })),
    ),
    isGlaze: (x, y) => {
      const col = Math.floor((x - ring.x0) / ring.pitch);
      const row = Math.floor((y - ring.y0) / ring.pitch);
      return col >= 0 && col < ring.across && squares.has(row * ring.across + col);
    },
  };
}

function ringOf({ grid, usable, tileLinearRgb }: LogWindow, shape: AreaShape, reach: number): Ring {
  const { step, cols, rows } = grid;
  const side = Math.max(1, Math.round(shape.radius / step / BLOCKS));
  const [from, to] = [gap(shape.radius), gap(shape.radius) + width(shape.radius)];
  const across = Math.ceil(cols / side);
  const blocks: Ring['blocks'][number][] = [];
  for (let top = 0; top + side <= rows; top += side) {
    for (let left = 0; left + side <= cols; left += side) {
      const cells: number[] = [];
      for (let y = top; y < top + side; y++) {
        for (let x = left; x < left + side; x++) {
          if (usable[y * cols + x]) cells.push(y * cols + x);
        }
      }
      const fill = cells.length / side ** 2;
      if (fill < 0.5) continue;
      const mean = (value: (cell: number) => number) =>
        cells.reduce((sum, cell) => sum + value(cell), 0) / cells.length;
      const x = mean((cell) => centreX(grid, cell));
      const y = mean((cell) => centreY(grid, cell));
      const away = shape.distance(x, y);
      if (away < from || away > to) continue;
      const far = away / (HALF_BELIEVED * shape.radius);
      blocks.push({
        square: (top / side) * across + left / side,
        x: (x - shape.centre.x) / reach,
        y: (y - shape.centre.y) / reach,
        log: logTriple(
          mean((cell) => grid.r[cell]!) / tileLinearRgb[0],
          mean((cell) => grid.g[cell]!) / tileLinearRgb[1],
          mean((cell) => grid.b[cell]!) / tileLinearRgb[2],
        ),
        onDab: false,
        fill,
        nearness: 1 / (1 + far * far),
        trust: 1,
      });
    }
  }
  return { x0: grid.x0, y0: grid.y0, pitch: side * step, across, blocks };
}

/** The glaze when nobody pointed at it: the middle of the ring's colours. */
function middleOf(blocks: readonly Block[]): LogTriple {
  const middle = (k: 0 | 1 | 2) => median(blocks.map((b) => b.log[k]));
  return [middle(0), middle(1), middle(2)];
}

/** How much a block looks like the glaze, 0–1. */
function likeness(log: LogTriple, glaze: LogTriple): number {
  const off = Math.hypot(
    (log[0] - glaze[0]) / SAME_LIGHT,
    (log[1] - glaze[1]) / SAME_RATIO,
    (log[2] - glaze[2]) / SAME_RATIO,
  );
  return Math.exp(-0.5 * Math.max(0, off - 1) ** 2);
}

/** Which eighth of the ring a place lies in, 0–7. */
const sideOf = (x: number, y: number): number =>
  Math.floor((Math.atan2(y, x) / Math.PI + 1) * 4) % 8;

function surrounds(blocks: readonly Block[], weights: Float64Array): boolean {
  const held = new Float64Array(8);
  blocks.forEach((b, i) => {
    held[sideOf(b.x, b.y)]! += weights[i]!;
  });
  return held.filter((w) => w > LEAST_BLOCKS).length >= LEAST_SIDES;
}

function sideMeans(
  blocks: readonly { readonly side: number; readonly log: LogTriple }[],
): LogTriple[] {
  const means: LogTriple[] = [];
  for (let side = 0; side < 8; side++) {
    const own = blocks.filter((b) => b.side === side);
    if (own.length <= LEAST_BLOCKS) continue;
    const mean = (k: 0 | 1 | 2) => own.reduce((sum, b) => sum + b.log[k], 0) / own.length;
    means.push([mean(0), mean(1), mean(2)]);
  }
  return means;
}
