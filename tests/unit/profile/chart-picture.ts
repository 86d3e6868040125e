/** A photograph of an invented chart, drawn from its reference colours: sRGB codes, perspective, light. */
import { xyzD65FromLab } from '../../../src/colour/cielab.ts';
import { encodedFromLinear, linearSrgbFromXyzD65 } from '../../../src/colour/srgb.ts';
import { labD65, type LabD65 } from '../../../src/colour/spaces.ts';
import type { ReferencePatch } from '../../../src/reading/profile/cgats.ts';
import type { EncodedPicture, PixelPoint } from '../../../src/reading/types.ts';

/** Invented: eighteen colours all round the circle and six greys from light to dark. */
export const CHART: readonly ReferencePatch[] = [
  ...Array.from({ length: 18 }, (_, i): LabD65 => {
    const hue = (i * 7 * 20 * Math.PI) / 180;
    const chroma = 18 + 5 * (i % 4);
    return labD65(38 + 9 * (i % 5), chroma * Math.cos(hue), chroma * Math.sin(hue));
  }),
  ...[94, 80, 66, 51, 37, 22].map((L) => labD65(L, 0.2, -0.4)),
].map((lab, i) => ({ name: `P${String(i + 1)}`, lab }));

export interface Shot {
  /** Where the chart's board has its corners, px, from its own top left, round it. */
  readonly board: readonly [PixelPoint, PixelPoint, PixelPoint, PixelPoint];
  readonly mirrored?: boolean;
  /** Light at a place of the board, 0–1 each way, as a factor. */
  readonly light?: (u: number, v: number) => number;
  /** What the camera makes of a code 0–1; sRGB's own when absent. */
  readonly render?: (code: number) => number;
  readonly hidden?: (x: number, y: number) => boolean;
  /** Code of the board between the patches, 0–1. */
  readonly boardCode?: number;
}

const WIDTH = 960;
const HEIGHT = 720;
/** The board is 6.6 × 4.6 patches' pitch; a patch fills 0.84 of its pitch. */
const MARGIN = 0.3;
const PATCH = 0.84;

export function chartPicture(shot: Shot): EncodedPicture {
  const rgba = new Uint8Array(WIDTH * HEIGHT * 4);
  const inverse = boardOf(shot.board);
  const linear = CHART.map(({ lab }) => linearSrgbFromXyzD65(xyzD65FromLab(lab)));
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const codes = codesAt(x, y, shot, inverse, linear);
      // Grain that is the same each time, ±1 code.
      const grain = ((x * 7919 + y * 104729 + ((x * y) % 31)) % 3) - 1;
      const at = (y * WIDTH + x) * 4;
      codes.forEach((code, k) => (rgba[at + k] = Math.max(0, Math.round(255 * code) + grain)));
      rgba[at + 3] = 255;
    }
  }
  return { width: WIDTH, height: HEIGHT, rgba, maxCode: 255, frames: 1 };
}

function codesAt(
  x: number,
  y: number,
  shot: Shot,
  inverse: (x: number, y: number) => readonly [number, number],
  linear: readonly (readonly number[])[],
): readonly number[] {
  const [u0, v] = inverse(x + 0.5, y + 0.5);
  const u = shot.mirrored ? 1 - u0 : u0;
  const render = shot.render ?? ((code: number) => code);
  if (shot.hidden?.(x, y)) return [0.45, 0.4, 0.38].map(render);
  if (u < 0 || u > 1 || v < 0 || v > 1) return [0.4, 0.4, 0.4].map(render);
  const [col, row] = [u * (6 + 2 * MARGIN) - MARGIN, v * (4 + 2 * MARGIN) - MARGIN];
  const [i, j] = [Math.floor(col), Math.floor(row)];
  const onPatch =
    i >= 0 &&
    i < 6 &&
    j >= 0 &&
    j < 4 &&
    Math.abs(col - i - 0.5) < PATCH / 2 &&
    Math.abs(row - j - 0.5) < PATCH / 2;
  const light = shot.light?.(u, v) ?? 0.9;
  if (!onPatch) return Array<number>(3).fill(render(shot.boardCode ?? 0.12));
  return linear[j * 6 + i]!.map((value) =>
    render(Math.min(1, encodedFromLinear(Math.max(0, value) * light))),
  );
}

/** Pixels → the board's own 0–1: the projective map inverted. */
function boardOf(corners: Shot['board']): (x: number, y: number) => readonly [number, number] {
  const [p, q, r, s] = corners;
  // Heckbert 1989, “Fundamentals of Texture Mapping”, section 2.2.3: square to quadrilateral.
  const [dx1, dx2, sx] = [q.x - r.x, s.x - r.x, p.x - q.x + r.x - s.x];
  const [dy1, dy2, sy] = [q.y - r.y, s.y - r.y, p.y - q.y + r.y - s.y];
  const d = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / d;
  const h = (dx1 * sy - sx * dy1) / d;
  const [a, b, c] = [q.x - p.x + g * q.x, s.x - p.x + h * s.x, p.x];
  const [e, f, k] = [q.y - p.y + g * q.y, s.y - p.y + h * s.y, p.y];
  return (x, y) => {
    // (a − g x) u + (b − h x) v = x − c; the same for y.
    const [m11, m12, n1] = [a - g * x, b - h * x, x - c];
    const [m21, m22, n2] = [e - g * y, f - h * y, y - k];
    const det = m11 * m22 - m12 * m21;
    return [(n1 * m22 - n2 * m12) / det, (m11 * n2 - m21 * n1) / det];
  };
}

/** Where the field of patches has its corners in the picture of a board. */
export function fieldCorners(board: Shot['board']): readonly PixelPoint[] {
  const [p, q, r, s] = board;
  const [dx1, dx2, sx] = [q.x - r.x, s.x - r.x, p.x - q.x + r.x - s.x];
  const [dy1, dy2, sy] = [q.y - r.y, s.y - r.y, p.y - q.y + r.y - s.y];
  const d = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / d;
  const h = (dx1 * sy - sx * dy1) / d;
  const [left, top] = [MARGIN / (6 + 2 * MARGIN), MARGIN / (4 + 2 * MARGIN)];
  return [
    [left, top],
    [1 - left, top],
    [1 - left, 1 - top],
    [left, 1 - top],
  ].map(([u, v]) => {
    const w = g * u! + h * v! + 1;
    return {
      x: ((q.x - p.x + g * q.x) * u! + (s.x - p.x + h * s.x) * v! + p.x) / w,
      y: ((q.y - p.y + g * q.y) * u! + (s.y - p.y + h * s.y) * v! + p.y) / w,
    };
  });
}
