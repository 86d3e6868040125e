/**
 * The light on the bench before anything is read: how evenly it falls, whether a second light of
 * another colour mixes in, and whether what surrounds the piece is grey. For guidance in setting up;
 * a reading makes its own judgement.
 */
import { labFromXyzD65 } from '../colour/cielab.ts';
import { linearRgb } from '../colour/spaces.ts';
import { xyzD65FromLinearSrgb } from '../colour/srgb.ts';
import {
  centreX,
  centreY,
  clearCells,
  insidePolygon,
  linearGrid,
  polygonArea,
  shrunk,
} from './picture.ts';
import { median } from './robust.ts';
import type { EncodedPicture, PixelPolygon } from './types.ts';

export interface LightCheck {
  /** Change of ln(light) across the tile, from one edge to the other, the larger direction; ≥ 0. */
  readonly gradient: number;
  /** The same for ln(red/green) and ln(blue/green), the larger: one lamp alone gives next to none. */
  readonly colourShift: number;
  /** The rim of the picture against the tile: CIELAB chroma C*ab and L*, the tile taken as white, D65/2°. */
  readonly surround: { readonly chroma: number; readonly lightness: number };
}

/** Clear of the tile's bevels and rounded corners. */
const MIDDLE = 0.8;
/** The rim of the picture that counts as surround, as a share of its shorter side. */
const RIM = 0.06;
const FEWEST_CELLS = 50;

/**
 * @param tile corners of the tile, picture px
 * @returns undefined when too little of the tile can be read: too small, clipped or black
 */
export function checkLight(picture: EncodedPicture, tile: PixelPolygon): LightCheck | undefined {
  const middle = shrunk(tile, MIDDLE);
  const xs = middle.map(({ x }) => x);
  const ys = middle.map(({ y }) => y);
  const step = Math.max(1, Math.floor(Math.sqrt(polygonArea(middle) / 2500)));
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const grid = linearGrid(picture, left, top, right, bottom, step);
  const cells = clearCells(grid).filter((cell) =>
    insidePolygon(middle, centreX(grid, cell), centreY(grid, cell)),
  );
  if (cells.length < FEWEST_CELLS) return undefined;
  const across = (of: (cell: number) => number) =>
    Math.max(
      change(cells, (cell) => (centreX(grid, cell) - left) / (right - left), of),
      change(cells, (cell) => (centreY(grid, cell) - top) / (bottom - top), of),
    );
  const { r, g, b } = grid;
  const white = [r, g, b].map((channel) => median(cells.map((cell) => channel[cell]!)));
  return {
    gradient: across((cell) => Math.log(g[cell]!)),
    colourShift: Math.max(
      across((cell) => Math.log(r[cell]! / g[cell]!)),
      across((cell) => Math.log(b[cell]! / g[cell]!)),
    ),
    surround: surroundOf(picture, tile, white as [number, number, number]),
  };
}

/** The change of a value over the whole of 0–1, from the medians of its outer thirds. */
function change(
  cells: readonly number[],
  where: (cell: number) => number,
  of: (cell: number) => number,
): number {
  const low = cells.filter((cell) => where(cell) < 1 / 3);
  const high = cells.filter((cell) => where(cell) > 2 / 3);
  const apart = (value: (cell: number) => number) =>
    median(high.map(value)) - median(low.map(value));
  return Math.abs(apart(of) / apart(where));
}

function surroundOf(
  picture: EncodedPicture,
  tile: PixelPolygon,
  white: readonly [number, number, number],
): LightCheck['surround'] {
  const { width, height } = picture;
  const rim = RIM * Math.min(width, height);
  const step = Math.max(1, Math.floor(rim / 4));
  const grid = linearGrid(picture, 0, 0, width, height, step);
  const cells = clearCells(grid).filter((cell) => {
    const [x, y] = [centreX(grid, cell), centreY(grid, cell)];
    const isRim = Math.min(x, y, width - x, height - y) < rim;
    return isRim && !insidePolygon(tile, x, y);
  });
  const share = (channel: Float32Array, k: number) =>
    cells.length === 0 ? 0 : median(cells.map((cell) => channel[cell]!)) / white[k]!;
  const relative = linearRgb(share(grid.r, 0), share(grid.g, 1), share(grid.b, 2));
  const [L, a, b] = labFromXyzD65(xyzD65FromLinearSrgb(relative)) as readonly number[] as [
    number,
    number,
    number,
  ];
  return { lightness: L, chroma: Math.hypot(a, b) };
}
