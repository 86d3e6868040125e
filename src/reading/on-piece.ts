/** A dab on the glaze: the ring of glaze round it, one field of light under both. */
import type { OpenCv } from './opencv.ts';
import { conclude, reject, type Read } from './conclude.ts';
import { findDabOutline, type DabOutline } from './dab-outline.ts';
import { logTriple, logWindow, type LogTriple, type LogWindow } from './log-window.ts';
import { centreX, centreY, insideCircle, linearGrid } from './picture.ts';
import { median } from './robust.ts';
import { fitShadingField, type Block, type FieldFit } from './shading-field.ts';
import type { TileLight } from './tile.ts';
import type {
  EncodedPicture,
  PixelCircle,
  ReadingEvidence,
  ReadingSettings,
  Regions,
} from './types.ts';

/** Least radius of a dab, px: 20 px across can be read, less than 12 cannot. */
const LEAST_RADIUS = 6;
/** Share of the dab that may be clipped. */
const CLIPPED_SHARE = 0.01;
/** Linear light, share of range, under which the dab is noise. */
const DARK = 0.0015;
/** Width of the ring as a share of the dab's radius, and least width in px. */
const RING_WIDTH = 1.3;
const LEAST_RING_WIDTH = 14;

export function readOnPiece(
  cv: OpenCv,
  picture: EncodedPicture,
  regions: Regions,
  settings: ReadingSettings,
  tile: TileLight,
): Read {
  const glazeHint = circleLog(picture, regions.glaze, tile);
  const found = outline(cv, picture, regions.dab, glazeHint, tile);
  if (!found) return reject('ring-unusable');
  const { window, dab } = found;
  if (dab.radius < LEAST_RADIUS) return reject('dab-small');
  const state = dabState(window, dab);
  if (state.clippedShare > CLIPPED_SHARE) {
    return state.evenlyBright ? reject('dab-clipped') : reject('dab-highlight', 'dab-clipped');
  }
  if (state.light < DARK) return reject('dab-dark');
  if (dab.seen && dab.softness > 0.7 * dab.radius) return reject('picture-blurred');
  const layout = blocksOf(window, dab);
  const fit = fitShadingField(layout.blocks);
  if (!fit) return reject('ring-unusable');
  const glare = highlightOnDab(layout.blocks, fit);
  if (glare) return reject('dab-highlight');
  return conclude(
    {
      glaze: fit.glaze,
      step: fit.step,
      covariances: { noise: fit.noise, shading: fit.shading, texture: fit.texture },
      turn: TURN,
    },
    settings,
    evidenceOf(window, dab, layout, fit),
    warningsOf(tile, dab),
  );
}

/** Standard uncertainty of the light on the piece against the tile, ln: how it is turned. */
const TURN = 0.12;

/** Robust log colour of what lies in a circle, relative to the tile. */
export function circleLog(
  picture: EncodedPicture,
  circle: PixelCircle,
  tile: TileLight,
): LogTriple | undefined {
  const { x, y, radius } = circle;
  const grid = linearGrid(picture, x - radius, y - radius, x + radius, y + radius, 1);
  const values: [number[], number[], number[]] = [[], [], []];
  for (let cell = 0; cell < grid.cols * grid.rows; cell++) {
    if (grid.clipped[cell] || !insideCircle(circle, centreX(grid, cell), centreY(grid, cell))) {
      continue;
    }
    values[0].push(grid.r[cell]!);
    values[1].push(grid.g[cell]!);
    values[2].push(grid.b[cell]!);
  }
  if (values[0].length < 5) return undefined;
  const [r, g, b] = values.map((v, k) => Math.max(1e-5, median(v)) / tile.linearRgb[k]!);
  return logTriple(r!, g!, b!);
}

function outline(
  cv: OpenCv,
  picture: EncodedPicture,
  pointed: PixelCircle,
  glaze: LogTriple | undefined,
  tile: TileLight,
): { window: LogWindow; dab: DabOutline } | undefined {
  let circle = pointed;
  let best: { window: LogWindow; dab: DabOutline } | undefined;
  for (let attempt = 0; attempt < 3; attempt++) {
    const window = logWindow(picture, circle, 4.5 * circle.radius + 12, tile.linearRgb);
    const dab =
      findDabOutline(cv, window, circle, glaze) ?? findDabOutline(cv, window, circle, undefined);
    if (!dab) break;
    best = { window, dab };
    if (dab.runsOut) {
      circle = { ...circle, radius: circle.radius * 1.8 };
    } else if (
      dab.seen &&
      (dab.radius > 1.35 * circle.radius ||
        Math.hypot(dab.centre.x - circle.x, dab.centre.y - circle.y) > 0.35 * circle.radius)
    ) {
      // Much larger than, or off, the pointed-at circle: look again from its own middle.
      circle = { ...dab.centre, radius: Math.max(circle.radius, dab.radius) };
    } else break;
  }
  return best;
}

interface DabState {
  readonly clippedShare: number;
  readonly evenlyBright: boolean;
  readonly light: number;
}

function dabState({ grid }: LogWindow, dab: DabOutline): DabState {
  let cells = 0;
  let clipped = 0;
  const light: number[] = [];
  dab.mask.forEach((on, cell) => {
    if (!on) return;
    cells++;
    if (grid.clipped[cell]) clipped++;
    light.push(Math.max(grid.r[cell]!, grid.g[cell]!, grid.b[cell]!));
  });
  const middle = median(light);
  return { clippedShare: clipped / Math.max(1, cells), evenlyBright: middle > 0.85, light: middle };
}

export interface BlockLayout {
  readonly blocks: readonly Block[];
  /** Cells of each block. */
  readonly cells: readonly (readonly number[])[];
  readonly inner: number;
  readonly outer: number;
}

/** Small blocks of like cells on the dab's core and in the ring. */
function blocksOf(window: LogWindow, dab: DabOutline): BlockLayout {
  const { grid, usable } = window;
  const { step, cols, rows } = grid;
  const margin = Math.min(0.4 * dab.radius, dab.softness + 1);
  const inner = dab.seen ? margin + 0.5 : 0.4 * dab.radius;
  const width = Math.max(RING_WIDTH * dab.radius, LEAST_RING_WIDTH);
  const outer = dab.radius + inner + width;
  const side = Math.max(1, Math.round(Math.sqrt(dab.radius / step) / 1.4));
  const blocks: Block[] = [];
  const cellsOf: number[][] = [];
  for (let top = 0; top < rows; top += side) {
    for (let left = 0; left < cols; left += side) {
      for (const onDab of [false, true]) {
        const cells: number[] = [];
        let trust = 0;
        for (let y = top; y < Math.min(rows, top + side); y++) {
          for (let x = left; x < Math.min(cols, left + side); x++) {
            const cell = y * cols + x;
            if (!usable[cell]) continue;
            const belongs = onDab
              ? dab.inside[cell]! * step > margin
              : dab.outside[cell]! * step > inner && dab.outside[cell]! * step < inner + width;
            if (!belongs) continue;
            cells.push(cell);
            trust += onDab ? 1 : dab.glazeTrust[cell]!;
          }
        }
        const fill = cells.length / side ** 2;
        if (fill < 0.5) continue;
        trust /= cells.length;
        if (trust < 0.05) continue;
        blocks.push({
          x: (mean(cells, (c) => centreX(grid, c)) - dab.centre.x) / outer,
          y: (mean(cells, (c) => centreY(grid, c)) - dab.centre.y) / outer,
          log: logTriple(
            mean(cells, (c) => grid.r[c]!),
            mean(cells, (c) => grid.g[c]!),
            mean(cells, (c) => grid.b[c]!),
          ),
          onDab,
          fill,
          trust,
        });
        cellsOf.push(cells);
      }
    }
  }
  return {
    blocks: relativeToTile(blocks, window),
    cells: cellsOf,
    inner: dab.radius + inner,
    outer,
  };
}

const mean = (cells: readonly number[], value: (cell: number) => number): number => {
  let sum = 0;
  for (const cell of cells) sum += value(cell);
  return sum / cells.length;
};

/** The window's planes are relative to the tile; blocks, averaged in linear light, follow. */
function relativeToTile(blocks: readonly Block[], { grid, planes }: LogWindow): Block[] {
  const cell = grid.r.findIndex((r, i) => r > 0.01 && grid.g[i]! > 0.01 && grid.b[i]! > 0.01);
  const own = logTriple(grid.r[cell]!, grid.g[cell]!, grid.b[cell]!);
  const shift = own.map((v, k) => planes[k as 0 | 1 | 2][cell]! - v);
  return blocks.map((b) => ({
    ...b,
    log: b.log.map((v, k) => v + shift[k]!) as unknown as LogTriple,
  }));
}

/** Share of the dab's blocks thrown out for brightness, from which it is the lamp that is seen. */
const GLARE_SHARE = 0.04;

function highlightOnDab(blocks: readonly Block[], fit: FieldFit): boolean {
  let dab = 0;
  let bright = 0;
  blocks.forEach((block, i) => {
    if (!block.onDab) return;
    dab++;
    if (fit.weights[i]! < 0.05 && fit.residuals[i]! > 4 * fit.sigma) bright++;
  });
  return bright > GLARE_SHARE * dab;
}

function evidenceOf(
  window: LogWindow,
  dab: DabOutline,
  layout: BlockLayout,
  fit: FieldFit,
): ReadingEvidence {
  const { grid } = window;
  const used = new Uint8Array(grid.cols * grid.rows);
  layout.blocks.forEach((block, i) => {
    const mark = fit.weights[i]! < 0.1 ? 3 : block.onDab ? 2 : 1;
    for (const cell of layout.cells[i]!) used[cell] = mark;
  });
  return {
    dabOutline: dab.polygon,
    ring: {
      inner: { ...dab.centre, radius: layout.inner },
      outer: { ...dab.centre, radius: layout.outer },
    },
    mask: {
      x: grid.x0,
      y: grid.y0,
      width: grid.cols,
      height: grid.rows,
      step: grid.step,
      used,
    },
  };
}

function warningsOf(tile: TileLight, dab: DabOutline): string[] {
  const warnings: string[] = [];
  if (tile.level > 0.93)
    warnings.push('The tile is nearly too bright: lower the exposure a little.');
  if (tile.level < 0.6) warnings.push('The tile is rather dark: raise the exposure.');
  if (tile.gradient > 0.25) warnings.push('The tile is lit unevenly: move the lamp further away.');
  if (!dab.seen) {
    warnings.push('The dab cannot be told from the glaze; the circle you pointed at was read.');
  }
  return warnings;
}
