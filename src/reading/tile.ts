/**
 * The tile as reference: what the lamp gives, in the camera's linear light, and whether it can be
 * trusted.
 */
import { encodedFromLinear, linearFromEncoded } from '../colour/srgb.ts';
import { clippedCode, insidePolygon, linearGrid, polygonArea, shrunk } from './picture.ts';
import { biweight, median, robustSigma } from './robust.ts';
import type { EncodedPicture, PixelPolygon, RefusalReason } from './types.ts';

export interface TileLight {
  /** Linear light of the tile in each channel, robust mean over its middle, 0–1. */
  readonly linearRgb: readonly [number, number, number];
  /** Robust mean of the brightest channel as encoded, share of full range. */
  readonly level: number;
  /** Change of ln(light) across the tile, from one edge to the other, the larger direction. */
  readonly gradient: number;
  /** Change of ln(light) along the picture's x and y, per px: which way the lamp stands. */
  readonly logSlopePerPx: { readonly x: number; readonly y: number };
  /** Standard uncertainty of ln(light) of each channel, from the tile's own pixels. */
  readonly logUncertainty: number;
  readonly fault?: Extract<
    RefusalReason,
    'tile-clipped' | 'tile-dark' | 'tile-uneven' | 'tile-missing'
  >;
}

/** Share of the tile, from its centre, that is read: clear of bevels and rounded corners. */
const MIDDLE = 0.8;
/** More clipped pixels than this, as a share, and the rest cannot be trusted either. */
const CLIPPED_SHARE = 0.12;
/** Encoded level under which noise and flare rule. */
const DARK_LEVEL = 0.4;
/** The same as linear light. */
export const DARK_LIGHT = linearFromEncoded(DARK_LEVEL);
/** Residual unevenness, after a plane in ln(light), that no clean tile shows. */
const UNEVEN = 0.12;

/**
 * Reads the tile inside `polygon` (picture px).
 * @param without a region on the tile that is not tile (a dab laid on it)
 */
export function readTile(
  picture: EncodedPicture,
  polygon: PixelPolygon,
  without?: (x: number, y: number) => boolean,
): TileLight {
  const middle = shrunk(polygon, MIDDLE);
  const xs = middle.map((p) => p.x);
  const ys = middle.map((p) => p.y);
  const step = Math.max(1, Math.floor(Math.sqrt(polygonArea(middle) / 2500)));
  const grid = linearGrid(
    picture,
    Math.min(...xs),
    Math.min(...ys),
    Math.max(...xs),
    Math.max(...ys),
    step,
  );
  const cells: number[] = [];
  let clipped = 0;
  const centre = { x: (grid.cols - 1) / 2, y: (grid.rows - 1) / 2 };
  for (let cell = 0; cell < grid.cols * grid.rows; cell++) {
    const x = grid.x0 + ((cell % grid.cols) + 0.5) * step;
    const y = grid.y0 + (Math.floor(cell / grid.cols) + 0.5) * step;
    if (!insidePolygon(middle, x, y) || without?.(x, y)) continue;
    if (grid.clipped[cell]) clipped++;
    cells.push(cell);
  }
  if (cells.length < 16) return missing();
  const whole = cells.length;
  const clear = cells.filter((cell) => !grid.clipped[cell] && !clippedBeside(grid, cell));
  if (clipped > CLIPPED_SHARE * whole || clear.length < 0.6 * whole) {
    return { ...missing(), level: 1, fault: 'tile-clipped' };
  }
  // A plane in ln(light): the lamp is near, so one side of the tile is brighter.
  const green = clear.map((cell) => Math.log(Math.max(1e-5, grid.g[cell]!)));
  const at = clear.map((cell) => [
    ((cell % grid.cols) - centre.x) / Math.max(1, grid.cols),
    (Math.floor(cell / grid.cols) - centre.y) / Math.max(1, grid.rows),
  ]);
  const plane = robustPlane(at, green);
  const weights = plane.weights;
  const mean = (plane_: Float32Array) => {
    let sum = 0;
    let total = 0;
    clear.forEach((cell, i) => {
      sum += weights[i]! * plane_[cell]!;
      total += weights[i]!;
    });
    return sum / total;
  };
  const linearRgb = [mean(grid.r), mean(grid.g), mean(grid.b)] as const;
  const level = encodedFromLinear(Math.max(...linearRgb));
  const used = weights.filter((w) => w > 0.1).length;
  const light: TileLight = {
    linearRgb,
    level,
    gradient: Math.hypot(plane.slopeX, plane.slopeY),
    logSlopePerPx: {
      x: plane.slopeX / (Math.max(1, grid.cols) * step),
      y: plane.slopeY / (Math.max(1, grid.rows) * step),
    },
    logUncertainty: plane.sigma / Math.sqrt(Math.max(1, used / 8)),
  };
  if (level >= clippedCode(255) / 255 - 0.012) return { ...light, fault: 'tile-clipped' };
  if (level < DARK_LEVEL) return { ...light, fault: 'tile-dark' };
  if (plane.sigma > UNEVEN || used < 0.5 * whole) return { ...light, fault: 'tile-uneven' };
  return light;
}

function missing(): TileLight {
  return {
    linearRgb: [0, 0, 0],
    level: 0,
    gradient: 0,
    logSlopePerPx: { x: 0, y: 0 },
    logUncertainty: Infinity,
    fault: 'tile-missing',
  };
}

function clippedBeside(
  grid: { cols: number; rows: number; clipped: Uint8Array },
  cell: number,
): boolean {
  const x = cell % grid.cols;
  const y = Math.floor(cell / grid.cols);
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const nx = x + dx;
      const ny = y + dy;
      if (nx < 0 || ny < 0 || nx >= grid.cols || ny >= grid.rows) continue;
      if (grid.clipped[ny * grid.cols + nx]) return true;
    }
  }
  return false;
}

/** Robust plane z = c + sx·x + sy·y by iterated biweight. */
function robustPlane(
  at: number[][],
  z: number[],
): { slopeX: number; slopeY: number; sigma: number; weights: Float64Array } {
  const weights = new Float64Array(z.length).fill(1);
  let c = median(z);
  let sx = 0;
  let sy = 0;
  let sigma = 0;
  for (let pass = 0; pass < 8; pass++) {
    const residuals = z.map((v, i) => v - c - sx * at[i]![0]! - sy * at[i]![1]!);
    sigma = Math.max(1e-4, robustSigma(residuals));
    residuals.forEach((e, i) => (weights[i] = biweight(e / sigma, 4.7)));
    let w0 = 0;
    let wx = 0;
    let wy = 0;
    let wxx = 0;
    let wxy = 0;
    let wyy = 0;
    let wz = 0;
    let wxz = 0;
    let wyz = 0;
    z.forEach((v, i) => {
      const w = weights[i]!;
      const x = at[i]![0]!;
      const y = at[i]![1]!;
      w0 += w;
      wx += w * x;
      wy += w * y;
      wxx += w * x * x;
      wxy += w * x * y;
      wyy += w * y * y;
      wz += w * v;
      wxz += w * x * v;
      wyz += w * y * v;
    });
    const mx = wx / w0;
    const my = wy / w0;
    const vxx = wxx / w0 - mx * mx;
    const vyy = wyy / w0 - my * my;
    const vxy = wxy / w0 - mx * my;
    const cxz = wxz / w0 - (mx * wz) / w0;
    const cyz = wyz / w0 - (my * wz) / w0;
    const det = vxx * vyy - vxy * vxy;
    if (!(det > 1e-12)) break;
    sx = (cxz * vyy - cyz * vxy) / det;
    sy = (cyz * vxx - cxz * vxy) / det;
    c = wz / w0 - sx * mx - sy * my;
  }
  return { slopeX: sx, slopeY: sy, sigma, weights };
}
