/** Small blocks of like cells on the dab's core and in the ring: what the shading field is fitted to. */
import { logTriple, type LogWindow } from './log-window.ts';
import type { DabOutline } from './outline-shape.ts';
import { centreX, centreY } from './picture.ts';
import type { Block } from './field-terms.ts';
import { specksIn } from './specks.ts';
import type { PixelCircle } from './types.ts';

/** Width of the ring as a share of the dab's radius, and least width in px. */
const RING_WIDTH = 0.9;
const LEAST_RING_WIDTH = 14;
/** Share of a square that must be glaze or dab, and that must be left of it without specks. */
const LEAST_FILL = 0.5;
const LEAST_GROUND = 0.4;
const NONE: ReadonlySet<number> = new Set();

/** Which cells count as dab and which as ring, all lengths in px. */
export interface Layout {
  /** Depth inside the outline from which a cell is surely dab. */
  readonly margin: number;
  /** Distance outside the outline from which a cell is surely glaze. */
  readonly gap: number;
  /** Width of the ring. */
  readonly width: number;
  /** Distance at which glaze counts half: the further off, the less a smooth field is believed. */
  readonly near: number;
  /** Side of a block. */
  readonly side: number;
}

export interface BlockLayout {
  readonly blocks: readonly Block[];
  /** Cells of each block. */
  readonly cells: readonly (readonly number[])[];
  readonly inner: number;
  readonly outer: number;
}

/** The soft edge is left out on both sides; where no edge was seen, what a hand's aim may miss. */
export function layoutOf({ grid }: LogWindow, dab: DabOutline): Layout {
  const margin = dab.seen ? Math.min(0.4 * dab.radius, dab.softness + 1) : 0.05 * dab.radius;
  return {
    margin,
    gap: dab.seen ? margin + 0.5 : 0.18 * dab.radius,
    width: Math.max(RING_WIDTH * dab.radius, LEAST_RING_WIDTH),
    near: 0.35 * dab.radius,
    side: Math.max(1, Math.round(dab.radius / grid.step / 5)) * grid.step,
  };
}

/** @param clear per cell, how free of glare, 0–1 */
export function blocksOf(
  window: LogWindow,
  dab: DabOutline,
  clear?: Float32Array,
  layout: Layout = layoutOf(window, dab),
): BlockLayout {
  const { grid, usable, tileLinearRgb } = window;
  const { step, cols, rows } = grid;
  const { margin, gap, width } = layout;
  const outer = dab.radius + gap + width;
  const side = Math.max(1, Math.round(layout.side / step));
  const squares: { readonly onDab: boolean; readonly all: readonly number[] }[] = [];
  for (let top = 0; top < rows; top += side) {
    for (let left = 0; left < cols; left += side) {
      for (const onDab of [false, true]) {
        const all: number[] = [];
        for (let y = top; y < Math.min(rows, top + side); y++) {
          for (let x = left; x < Math.min(cols, left + side); x++) {
            const cell = y * cols + x;
            if (!usable[cell]) continue;
            const outside = dab.outside[cell]! * step;
            const belongs = onDab
              ? dab.inside[cell]! * step > margin
              : outside > gap && outside < gap + width;
            if (belongs) all.push(cell);
          }
        }
        if (all.length >= LEAST_FILL * side ** 2) squares.push({ onDab, all });
      }
    }
  }
  // Not before it is known where glare is: beside it, glaze is dark.
  const specks = clear
    ? specksIn(
        squares.filter(({ onDab }) => !onDab).map(({ all }) => all),
        cols,
        (c) =>
          grid.r[c]! / tileLinearRgb[0] +
          grid.g[c]! / tileLinearRgb[1] +
          grid.b[c]! / tileLinearRgb[2],
        'dark',
      )
    : NONE;
  const blocks: Block[] = [];
  const cellsOf: (readonly number[])[] = [];
  for (const { onDab, all } of squares) {
    const cells = onDab ? all : all.filter((cell) => !specks.has(cell));
    const fill = cells.length / side ** 2;
    if (fill < LEAST_GROUND) continue;
    const trust = mean(cells, (c) => (onDab ? 1 : dab.glazeTrust[c]!) * (clear ? clear[c]! : 1));
    if (trust < 0.05) continue;
    const away = mean(cells, (c) => dab.outside[c]!) * step;
    blocks.push({
      // Its place is the square's, with or without specks: neighbours are told by it.
      x: (mean(all, (c) => centreX(grid, c)) - dab.centre.x) / outer,
      y: (mean(all, (c) => centreY(grid, c)) - dab.centre.y) / outer,
      log: logTriple(
        mean(cells, (c) => grid.r[c]!) / tileLinearRgb[0],
        mean(cells, (c) => grid.g[c]!) / tileLinearRgb[1],
        mean(cells, (c) => grid.b[c]!) / tileLinearRgb[2],
      ),
      onDab,
      fill,
      nearness: 1 / (1 + (away / layout.near) ** 2),
      trust,
    });
    cellsOf.push(cells);
  }
  return { blocks, cells: cellsOf, inner: dab.radius + gap, outer };
}

/** Blocks all over a window, whatever lies there, as places to lay a dab over. */
export function blocksRound(
  { grid, usable, planes }: LogWindow,
  /** Where positions are counted from, and what counts as 1, px. */
  { x: middleX, y: middleY, radius: unit }: PixelCircle,
  /** Side of a block, px. */
  side: number,
  trustOf: (cell: number) => number,
): Block[] {
  const cellsAcross = Math.max(1, Math.round(side / grid.step));
  const squares: number[][] = [];
  for (let top = 0; top + cellsAcross <= grid.rows; top += cellsAcross) {
    for (let left = 0; left + cellsAcross <= grid.cols; left += cellsAcross) {
      const cells: number[] = [];
      for (let y = top; y < top + cellsAcross; y++) {
        for (let x = left; x < left + cellsAcross; x++) {
          const cell = y * grid.cols + x;
          if (usable[cell]) cells.push(cell);
        }
      }
      if (cells.length >= 0.6 * cellsAcross ** 2) squares.push(cells);
    }
  }
  const specks = specksIn(squares, grid.cols, (cell) => Math.exp(planes[0][cell]!), 'all');
  const blocks: Block[] = [];
  for (const square of squares) {
    const cells = square.filter((cell) => !specks.has(cell));
    const fill = cells.length / cellsAcross ** 2;
    if (fill < LEAST_GROUND) continue;
    blocks.push({
      x: (mean(square, (c) => centreX(grid, c)) - middleX) / unit,
      y: (mean(square, (c) => centreY(grid, c)) - middleY) / unit,
      log: [
        mean(cells, (c) => planes[0][c]!),
        mean(cells, (c) => planes[1][c]!),
        mean(cells, (c) => planes[2][c]!),
      ],
      onDab: false,
      fill,
      nearness: 1,
      trust: mean(cells, trustOf),
    });
  }
  return blocks;
}

export const mean = (cells: readonly number[], value: (cell: number) => number): number => {
  let sum = 0;
  for (const cell of cells) sum += value(cell);
  return sum / cells.length;
};
