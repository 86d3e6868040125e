/**
 * Moves the sides of a rough quadrilateral onto the steepest fall of light near them, so that its
 * corners are the tile's own even where one side of it is lit less than the other.
 */
import { polygonArea } from './picture.ts';
import { median } from './robust.ts';
import type { PixelPoint, PixelPolygon } from './types.ts';

/** A plane of log light, row by row. */
export interface LightPlane {
  readonly width: number;
  readonly height: number;
  readonly log: Float32Array;
}

/** Places along a side that are searched, and how far to each side of it, as a share of its length. */
const PLACES = 17;
const SEARCH = 0.22;
/** Least fall, ln, across two pixels that is an edge. */
const LEAST_FALL = 0.05;

export function onSteepestEdges(plane: LightPlane, quad: PixelPolygon): PixelPolygon {
  let sides = quad;
  for (const reach of [1, 0.4]) {
    const lines = sides.map((p, i) => moved(plane, p, sides[(i + 1) % 4]!, reach));
    const corners = lines.map((line, i) => crossing(lines[(i + 3) % 4]!, line));
    if (corners.some((c) => c === undefined)) return sides;
    const next = corners as PixelPolygon;
    const growth = polygonArea(next) / polygonArea(sides);
    if (!(growth > 0.6 && growth < 1.7)) return sides;
    sides = next;
  }
  return sides;
}

/**
 * Share of the places along the least sharp side at which light changes within a few pixels, one way
 * all along it: falls, as a rule, or into the narrow shadow of a tile on white paper, or over its
 * bevel. A shadow that fades across a sheet of paper does not.
 */
export function sharpSides(plane: LightPlane, quad: PixelPolygon): number {
  const shares = quad.map((_, i) => {
    const shareSharp = (isDeep: boolean): number => {
      const changes = placesAlong(plane, quad, i, SHARP_MARGIN, (beyond, length) => {
        const [near, deep] = [Math.min(6, length / 6), Math.min(12, length / 3)];
        const from = isDeep ? -deep : 0;
        let fall = 0;
        let rise = 0;
        for (let r = from - 2; r <= from + 2; r++) {
          const change = beyond(r + 1) - beyond(r - 1);
          fall = Math.max(fall, -change);
          rise = Math.max(rise, change);
        }
        // Steeper than the shading further in, which may slope the same way.
        const shading = (2 * Math.abs(beyond(-deep) - beyond(-near))) / (deep - near);
        const least = LEAST_CHANGE + 2 * shading;
        return { falls: fall > least, rises: rise > least };
      });
      const falls = changes.filter((one) => one.falls).length;
      const rises = changes.filter((one) => one.rises).length;
      return Math.max(falls, rises) / PLACES;
    };
    // In a dark picture noise alone is as sharp in places: what it does further in does not count here.
    const byNoise = shareSharp(true);
    return byNoise < 1 ? Math.max(0, (shareSharp(false) - byNoise) / (1 - byNoise)) : 0;
  });
  return Math.min(...shares);
}
/** Share of a side left out at each of its ends. */
const SHARP_MARGIN = 0.1;
const MARGIN = 0.15;
/** Least change, ln, across two pixels of a sharp side. */
const LEAST_CHANGE = 0.025;

/**
 * How dark the strip beyond its darkest side is against what lies further off, there and all round, ln
 * light: a tile has thickness and casts a shadow, a sheet of paper lies flat. Shading that goes on in one
 * direction makes no strip, nor does a lamp mirrored in a piece.
 */
export function shadowBeyond(plane: LightPlane, quad: PixelPolygon): number {
  const bed: number[] = [];
  const sides = quad.map((_, i) =>
    placesAlong(plane, quad, i, MARGIN, (beyond, length) => {
      let least = Infinity;
      for (let r = 2; r < Math.max(4, SHADOW_NEAR * length); r++) {
        least = Math.min(least, beyond(r));
      }
      const far = beyond(SHADOW_FAR * length);
      bed.push(far);
      return { least, far };
    }),
  );
  const round = median(bed);
  return Math.max(
    ...sides.map((places) => median(places.map(({ least, far }) => Math.min(far, round) - least))),
  );
}
/** Beyond a side, in its lengths: where a shadow falls, and where it has ended. */
const SHADOW_NEAR = 0.25;
const SHADOW_FAR = 0.5;

/**
 * Largest difference between what lies just within a side and the face further in, ln light: a side drawn
 * beyond a tile, along its shadow or the foot of its edge, takes in a strip of these.
 */
export function stripWithin(plane: LightPlane, quad: PixelPolygon): number {
  return Math.max(
    ...quad.map((_, i) => {
      const steps = placesAlong(
        plane,
        quad,
        i,
        MARGIN,
        (beyond, length) => beyond(-RIM) - beyond(-Math.max(3 * RIM, 0.1 * length)),
      );
      return Math.abs(median(steps));
    }),
  );
}
/** Within a side, px, where a rounded edge has ended. */
const RIM = 3;

/** What is seen along side `i` but for its ends; `beyond(r)` is the log light r px outwards of it. */
function placesAlong<T>(
  plane: LightPlane,
  quad: PixelPolygon,
  i: number,
  margin: number,
  seen: (beyond: (r: number) => number, length: number) => T,
): T[] {
  const [p, q] = [quad[i]!, quad[(i + 1) % 4]!];
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  const out = { x: (q.y - p.y) / length, y: -(q.x - p.x) / length };
  return Array.from({ length: PLACES }, (_, k) => {
    const t = margin + ((1 - 2 * margin) * k) / (PLACES - 1);
    const [x, y] = [p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)];
    return seen((r) => at(plane, x + r * out.x, y + r * out.y), length);
  });
}

type Line = readonly [PixelPoint, PixelPoint];

/** The side from p to q (inside on its right, y down, going clockwise), moved onto its edge. */
function moved(plane: LightPlane, p: PixelPoint, q: PixelPoint, reach: number): Line {
  // Light falls from a tile to what it lies on; where it does not, it may rise, to whiter paper.
  return along(plane, p, q, reach, 1) ?? along(plane, p, q, reach, -1) ?? [p, q];
}

function along(
  plane: LightPlane,
  p: PixelPoint,
  q: PixelPoint,
  reach: number,
  way: 1 | -1,
): Line | undefined {
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  const out = { x: (q.y - p.y) / length, y: -(q.x - p.x) / length };
  const search = Math.max(3, reach * SEARCH * length);
  const found: { t: number; offset: number }[] = [];
  for (let i = 0; i < PLACES; i++) {
    const t = 0.12 + (0.76 * i) / (PLACES - 1);
    const x = p.x + t * (q.x - p.x);
    const y = p.y + t * (q.y - p.y);
    let steepest = LEAST_FALL;
    let offset = NaN;
    for (let r = -search; r <= search; r += 0.5) {
      const inner = at(plane, x + (r - 1) * out.x, y + (r - 1) * out.y);
      const outer = at(plane, x + (r + 1) * out.x, y + (r + 1) * out.y);
      // The nearer of two like edges: a shadow beyond the tile falls as steeply.
      const fall = way * (inner - outer) * (1 - (0.35 * Math.abs(r)) / search);
      if (fall > steepest) {
        steepest = fall;
        offset = r;
      }
    }
    if (!Number.isNaN(offset)) found.push({ t, offset });
  }
  if (found.length < PLACES / 3) return undefined;
  // Theil and Sen's slope: up to a quarter of the places may have met something else.
  const slopes: number[] = [];
  for (let i = 0; i < found.length; i++) {
    for (let j = i + 3; j < found.length; j++) {
      slopes.push((found[j]!.offset - found[i]!.offset) / (found[j]!.t - found[i]!.t));
    }
  }
  const slope = slopes.length > 0 ? median(slopes) : 0;
  const base = median(found.map((f) => f.offset - slope * f.t));
  const shifted = (c: PixelPoint, by: number) => ({ x: c.x + by * out.x, y: c.y + by * out.y });
  return [shifted(p, base), shifted(q, base + slope)];
}

function at({ width, height, log }: LightPlane, x: number, y: number): number {
  const cx = Math.min(width - 1.001, Math.max(0, x));
  const cy = Math.min(height - 1.001, Math.max(0, y));
  const x0 = Math.floor(cx);
  const y0 = Math.floor(cy);
  const fx = cx - x0;
  const fy = cy - y0;
  const i = y0 * width + x0;
  return (
    (1 - fy) * ((1 - fx) * log[i]! + fx * log[i + 1]!) +
    fy * ((1 - fx) * log[i + width]! + fx * log[i + width + 1]!)
  );
}

function crossing([a, b]: Line, [c, d]: Line): PixelPoint | undefined {
  const ux = b.x - a.x;
  const uy = b.y - a.y;
  const vx = d.x - c.x;
  const vy = d.y - c.y;
  const turn = ux * vy - uy * vx;
  if (Math.abs(turn) < 1e-9) return undefined;
  const s = ((c.x - a.x) * vy - (c.y - a.y) * vx) / turn;
  return { x: a.x + s * ux, y: a.y + s * uy };
}
