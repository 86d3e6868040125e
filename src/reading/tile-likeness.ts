/** How much a four-sided field of a reduced picture is like a plain white tile. */
import { encodedFromLinear } from '../colour/srgb.ts';
import { insidePolygon, polygonArea, shrunk } from './picture.ts';
import { median, robustSigma } from './robust.ts';
import type { ReducedPicture } from './tile-candidates.ts';
import type { PixelCircle, PixelPolygon } from './types.ts';

/** ln G, ln R/G, ln B/G of linear light. */
export type Log = readonly [green: number, redToGreen: number, blueToGreen: number];

/** Places, in reduced pixels, that lie on the field and are none of it. */
export type Without = (x: number, y: number) => boolean;

/** Blocks that a field is looked at in: enough for medians, and each the mean of many pixels. */
const BLOCKS = 900;
/** Change of code, as a share, that is an edge and not noise, inside a field. */
const INNER_EDGE = 0.05;
/** The same in codes of 255: in a dark picture noise makes larger shares. */
const INNER_EDGE_CODES = 5;
/** Noise of ln light, times the code of 255 it is seen at: a dark picture is a noisy one. */
const NOISE_CODES = 5;
/**
 * Light round a field, ln, over its own, from which it is not the field that is white: on two sides, or on
 * one unless it is darker by as much on the others. There the piece may lean on it.
 */
const BRIGHTER_ROUND = 0.15;

export interface Likeness {
  /** How much the field is like a tile; 0: not at all. */
  readonly weight: number;
  /** Its own light and colour. */
  readonly log: Log;
}
export const NOT_A_TILE: Likeness = { weight: 0, log: [0, 0, 0] };

/** Its outline is judged elsewhere. */
export function tileLikeness(
  reduced: ReducedPicture,
  polygon: PixelPolygon,
  glaze: Log | undefined,
  without: Without | undefined,
): Likeness {
  const area = polygonArea(polygon);
  const { inside, rim, round, edges } = samples(reduced, polygon, area, without);
  if (inside.length < 20) return NOT_A_TILE;
  const channels = [0, 1, 2].map((k) => inside.map((p) => p.log[k]!));
  const log = channels.map((values) => median(values)) as unknown as Log;
  const spread = robustSigma(channels[1]!, log[1]) + robustSigma(channels[2]!, log[2]);
  const contrasts = round.flatMap((side, i) =>
    side.length > 3 && rim[i]!.length > 3
      ? [median(rim[i]!) - median(side.map(([green]) => green))]
      : [],
  );
  if (contrasts.length < 3) return NOT_A_TILE;
  const [contrast, next] = contrasts.sort((p, q) => p - q) as [number, number];
  if (contrast < -BRIGHTER_ROUND && next < BRIGHTER_ROUND) return NOT_A_TILE;
  const noise = NOISE_CODES / (255 * encodedFromLinear(Math.exp(log[0])) + 1);
  const weight =
    wholeness(reduced, polygon) *
    (glaze && liesOnGlaze(round, glaze) ? 0.1 : 1) *
    // On something as white it may lie, but what stands out is the likelier.
    (0.3 + 0.7 * Math.min(1, Math.max(0, contrast) / 0.35)) *
    Math.exp(-unevenness(inside) / (0.06 + noise / 2)) *
    // A dab laid on it may be larger than was pointed at.
    (without ? 1 : Math.exp(-edges / 0.01)) *
    (1 / (1 + (Math.hypot(log[1], log[2]) / 0.5) ** 2)) ** 2 *
    Math.exp(-spread / (0.08 + noise)) *
    (area / (reduced.width * reduced.height)) ** 0.25 *
    (Math.exp(log[0]) / reduced.top);
  return { weight, log };
}

interface Place {
  readonly x: number;
  readonly y: number;
  readonly log: Log;
}
interface Samples {
  readonly inside: readonly Place[];
  /** Log light just within each side, and colour some way beyond it. */
  readonly rim: readonly (readonly number[])[];
  readonly round: readonly (readonly Log[])[];
  /** Share of the inside that is edge. */
  readonly edges: number;
}

function samples(
  reduced: ReducedPicture,
  polygon: PixelPolygon,
  area: number,
  without: Without | undefined,
): Samples {
  const { width, height, smallest, change } = reduced;
  const [middle, inner, near, far] = [0.6, 0.84, 1.12, 1.3].map((s) => shrunk(polygon, s)) as [
    PixelPolygon,
    PixelPolygon,
    PixelPolygon,
    PixelPolygon,
  ];
  const side = Math.max(1, Math.round(Math.sqrt(area / BLOCKS)));
  const xs = far.map((p) => p.x);
  const ys = far.map((p) => p.y);
  const inside: Place[] = [];
  const rim: number[][] = [[], [], [], []];
  const round: Log[][] = [[], [], [], []];
  let edges = 0;
  const bottom = Math.min(height - 1, Math.max(...ys));
  const right = Math.min(width - 1, Math.max(...xs));
  for (let y = Math.max(0, Math.floor(Math.min(...ys))); y <= bottom; y += side) {
    for (let x = Math.max(0, Math.floor(Math.min(...xs))); x <= right; x += side) {
      const i = y * width + x;
      if (without?.(x, y)) continue;
      if (insidePolygon(inner, x, y)) {
        const log = logOver(reduced, x, y, side);
        inside.push({ x, y, log });
        if (change[i]! > Math.max(INNER_EDGE, INNER_EDGE_CODES / (smallest[i]! + 4))) edges++;
        if (!insidePolygon(middle, x, y)) rim[nearestSide(polygon, x, y)]!.push(log[0]);
      } else if (insidePolygon(far, x, y) && !insidePolygon(near, x, y)) {
        round[nearestSide(polygon, x, y)]!.push(logOver(reduced, x, y, side));
      }
    }
  }
  return { inside, rim, round, edges: edges / Math.max(1, inside.length) };
}

/** Deviation of log light from a plane: the lamp is near, and one side of a tile is brighter. */
function unevenness(places: readonly Place[]): number {
  const n = places.length;
  const mean = (of: (p: Place) => number) => places.reduce((sum, p) => sum + of(p), 0) / n;
  const x0 = mean((p) => p.x);
  const y0 = mean((p) => p.y);
  const z0 = mean((p) => p.log[0]);
  let [xx, xy, yy, xz, yz] = [1e-9, 0, 1e-9, 0, 0];
  for (const { x, y, log } of places) {
    xx += (x - x0) ** 2;
    xy += (x - x0) * (y - y0);
    yy += (y - y0) ** 2;
    xz += (x - x0) * (log[0] - z0);
    yz += (y - y0) * (log[0] - z0);
  }
  const det = xx * yy - xy * xy;
  if (!(det > 0)) return Infinity;
  const alongX = (xz * yy - yz * xy) / det;
  const alongY = (yz * xx - xz * xy) / det;
  // A slope is no unevenness, but a steep one is no lamp on a tile.
  const slope = Math.hypot(alongX, alongY) * Math.sqrt(n);
  return (
    robustSigma(places.map(({ x, y, log }) => log[0] - alongX * (x - x0) - alongY * (y - y0))) +
    0.05 * slope
  );
}

/** A tile lies whole in the picture; what the picture's edge cuts is more likely paper, or the piece. */
function wholeness({ width, height }: ReducedPicture, polygon: PixelPolygon): number {
  const alongOneEdge = Math.max(
    polygon.filter((p) => p.x < 2).length,
    polygon.filter((p) => p.y < 2).length,
    polygon.filter((p) => p.x > width - 4).length,
    polygon.filter((p) => p.y > height - 4).length,
  );
  // A corner may reach the picture's edge; a side along it is a cut.
  return [1, 0.25][alongOneEdge] ?? 0;
}

/** What glaze surrounds on all sides is the lamp mirrored in it, not a tile. */
function liesOnGlaze(round: readonly (readonly Log[])[], glaze: Log): boolean {
  return round.every((side) => {
    if (side.length < 4) return false;
    const [green, red, blue] = [0, 1, 2].map((k) => median(side.map((log) => log[k]!)));
    return (
      Math.hypot(red! - glaze[1], blue! - glaze[2]) < 0.06 && Math.abs(green! - glaze[0]) < 0.5
    );
  });
}

/** Log of the mean light of a block of side × side pixels round (x, y). */
function logOver(reduced: ReducedPicture, x: number, y: number, side: number): Log {
  const { width, height, r, g, b } = reduced;
  const back = side >> 1;
  const [left, right] = [Math.max(0, x - back), Math.min(width, x - back + side)];
  const [top, bottom] = [Math.max(0, y - back), Math.min(height, y - back + side)];
  let [red, green, blue] = [0, 0, 0];
  for (let row = top; row < bottom; row++) {
    for (let i = row * width + left; i < row * width + right; i++) {
      red += r[i]!;
      green += g[i]!;
      blue += b[i]!;
    }
  }
  const log = (sum: number) => Math.log(Math.max(1e-4, sum / ((right - left) * (bottom - top))));
  return [log(green), log(red) - log(green), log(blue) - log(green)];
}

/** Median colour inside a circle of the picture. */
export function logInCircle(reduced: ReducedPicture, circle: PixelCircle): Log | undefined {
  const { width, height, scale } = reduced;
  const [cx, cy, radius] = [circle.x / scale, circle.y / scale, circle.radius / scale + 0.5];
  const logs: Log[] = [];
  for (let y = Math.max(0, Math.floor(cy - radius)); y < Math.min(height, cy + radius); y++) {
    for (let x = Math.max(0, Math.floor(cx - radius)); x < Math.min(width, cx + radius); x++) {
      if (Math.hypot(x - cx, y - cy) <= radius) logs.push(logOver(reduced, x, y, 1));
    }
  }
  if (logs.length === 0) return undefined;
  return [0, 1, 2].map((k) => median(logs.map((log) => log[k]!))) as unknown as Log;
}

function nearestSide(polygon: PixelPolygon, x: number, y: number): number {
  let best = 0;
  let least = Infinity;
  for (let i = 0; i < 4; i++) {
    const p = polygon[i]!;
    const q = polygon[(i + 1) % 4]!;
    const length = Math.hypot(q.x - p.x, q.y - p.y);
    const distance = Math.abs((q.x - p.x) * (y - p.y) - (q.y - p.y) * (x - p.x)) / length;
    if (distance < least) {
      least = distance;
      best = i;
    }
  }
  return best;
}
