/**
 * Four-sided fields drawn by straight edges alone: of a tile on something as white only its bevel, a thin
 * shadow and its far side stand out, in pieces, and no cut at a level closes them in.
 */
import { polygonArea } from './picture.ts';
import type { StraightEdge } from './straight-edges.ts';
import type { PixelPoint, PixelPolygon } from './types.ts';

export interface EdgeQuad {
  readonly polygon: PixelPolygon;
  readonly area: number;
  /** Share of its outline along which there is an edge, 0–1. */
  readonly drawn: number;
}

/** Edges that are joined, and lines of them that sides are taken from: the strongest. */
const MOST_EDGES = 160;
const MOST_LINES = 70;
/** Pieces of one line: directions within this, radians, ends this near to it, px. */
const SAME_LINE = 0.07;
const BESIDE_LINE = 1.7;
/** Gap between pieces of one line, as a share of what there is of it. */
const GAP = 0.6;
/** A corner lies this far from the end of a side, as a share of the side, and px. */
const BEYOND_END = 0.35;
const BEFORE_END = 0.2;
const NEAR_END = 5;
/** Corners looked at, at each end of a line. */
const MOST_CORNERS = 10;

interface Line extends StraightEdge {
  /** Unit vector along it. */
  readonly ux: number;
  readonly uy: number;
}
interface Corner {
  readonly other: number;
  /** Which end of the other line lies there. */
  readonly end: 0 | 1;
  readonly point: PixelPoint;
}

/** Quadrilaterals of four lines, or of three where the far ends of two are as far off, the best drawn first. */
export function edgeQuads(
  edges: readonly StraightEdge[],
  isWanted: (polygon: PixelPolygon) => boolean,
): EdgeQuad[] {
  const lines = joined(edges.slice(0, MOST_EDGES)).slice(0, MOST_LINES);
  const corners = cornersOf(lines);
  const quads: EdgeQuad[] = [];
  const add = (points: PixelPoint[], sides: readonly (Line | undefined)[]) => {
    if (!isWanted(points)) return;
    quads.push({ polygon: points, area: polygonArea(points), drawn: drawn(points, sides) });
  };
  lines.forEach((base, i) => {
    for (const a of corners[i]![0]) {
      for (const b of corners[i]![1]) {
        if (a.other === b.other) continue;
        const [left, right] = [lines[a.other]!, lines[b.other]!];
        let isClosed = false;
        for (const c of corners[a.other]![1 - a.end]!) {
          if (c.other === i || c.other === b.other) continue;
          const d = corners[b.other]![1 - b.end]!.find(
            ({ other, end }) => other === c.other && end !== c.end,
          );
          if (!d) continue;
          isClosed = true;
          // Each quadrilateral is met from each of its sides.
          if (Math.min(a.other, b.other, c.other) > i) {
            add([a.point, c.point, d.point, b.point], [left, lines[c.other]!, right, base]);
          }
        }
        if (isClosed) continue;
        const farLeft = a.end === 0 ? left.to : left.from;
        const farRight = b.end === 0 ? right.to : right.from;
        const [p, q] = [distance(a.point, farLeft), distance(b.point, farRight)];
        if (Math.max(p, q) > 1.5 * Math.min(p, q)) continue;
        add([a.point, farLeft, farRight, b.point], [left, undefined, right, base]);
      }
    }
  });
  return quads.sort((p, q) => q.drawn * Math.sqrt(q.area) - p.drawn * Math.sqrt(p.area));
}

const distance = (p: PixelPoint, q: PixelPoint) => Math.hypot(p.x - q.x, p.y - q.y);

function asLine(from: PixelPoint, to: PixelPoint, length: number, strength: number): Line {
  const whole = distance(from, to);
  return { from, to, length, strength, ux: (to.x - from.x) / whole, uy: (to.y - from.y) / whole };
}

/** Edges that go on where others end make one line. `length` stays that of what there is of it. */
function joined(edges: readonly StraightEdge[]): Line[] {
  const left = edges.map((e) => asLine(e.from, e.to, e.length, e.strength));
  const lines: Line[] = [];
  while (left.length > 0) {
    let line = left.shift()!;
    for (let i = 0; i < left.length; i++) {
      const longer = longerBy(line, left[i]!);
      if (!longer) continue;
      line = longer;
      left.splice(i, 1);
      i = -1;
    }
    lines.push(line);
  }
  return lines.sort((p, q) => q.strength - p.strength);
}

function longerBy(line: Line, piece: Line): Line | undefined {
  if (Math.abs(line.ux * piece.uy - line.uy * piece.ux) > SAME_LINE) return undefined;
  const at = (p: PixelPoint) => {
    const [dx, dy] = [p.x - line.from.x, p.y - line.from.y];
    return { t: dx * line.ux + dy * line.uy, s: dy * line.ux - dx * line.uy, p };
  };
  const whole = distance(line.from, line.to);
  const [a, b] = [at(piece.from), at(piece.to)];
  if (Math.max(Math.abs(a.s), Math.abs(b.s)) > BESIDE_LINE) return undefined;
  const gap = Math.max(Math.min(a.t, b.t) - whole, -Math.max(a.t, b.t));
  if (gap > GAP * (line.length + piece.length)) return undefined;
  const ends = [{ t: 0, p: line.from }, { t: whole, p: line.to }, a, b].sort((p, q) => p.t - q.t);
  const covered =
    gap > 0 ? line.length + piece.length : Math.max(line.length, ends[3]!.t - ends[0]!.t);
  return asLine(ends[0]!.p, ends[3]!.p, covered, line.strength + piece.strength);
}

/** For each line, at each of its ends, where others meet it as sides of a tile do. */
function cornersOf(lines: readonly Line[]): (readonly [Corner[], Corner[]])[] {
  const corners = lines.map(() => [[], []] as [Corner[], Corner[]]);
  lines.forEach((p, i) => {
    for (let j = i + 1; j < lines.length; j++) {
      const q = lines[j]!;
      const turn = p.ux * q.uy - p.uy * q.ux;
      if (Math.abs(turn) < 0.75) continue;
      const [dx, dy] = [q.from.x - p.from.x, q.from.y - p.from.y];
      const [t, s] = [(dx * q.uy - dy * q.ux) / turn, (dx * p.uy - dy * p.ux) / turn];
      const [endP, endQ] = [endAt(p, t), endAt(q, s)];
      if (endP === undefined || endQ === undefined) continue;
      const point = { x: p.from.x + t * p.ux, y: p.from.y + t * p.uy };
      if (corners[i]![endP].length < MOST_CORNERS)
        corners[i]![endP].push({ other: j, end: endQ, point });
      if (corners[j]![endQ].length < MOST_CORNERS)
        corners[j]![endQ].push({ other: i, end: endP, point });
    }
  });
  return corners;
}

/** Which end of the line a corner `t` px along it belongs to. */
function endAt(line: Line, t: number): 0 | 1 | undefined {
  const whole = distance(line.from, line.to);
  const end = t < whole / 2 ? 0 : 1;
  const beyond = end === 0 ? -t : t - whole;
  if (beyond > Math.max(NEAR_END, BEYOND_END * whole)) return undefined;
  return -beyond > Math.max(NEAR_END, BEFORE_END * whole) ? undefined : end;
}

/** Share of the outline that has an edge; sides[i] runs from point i to the next. */
function drawn(points: readonly PixelPoint[], sides: readonly (Line | undefined)[]): number {
  let [all, edge] = [0, 0];
  points.forEach((p, i) => {
    const length = distance(p, points[(i + 1) % 4]!);
    all += length;
    edge += Math.min(length, sides[i]?.length ?? 0);
  });
  return edge / all;
}
