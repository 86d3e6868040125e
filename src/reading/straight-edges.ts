/**
 * Straight edges of a reduced picture, faint ones too: neighbours at which light changes in one and the
 * same direction belong to one edge, however little it changes there (line support regions: Burns, Hanson
 * and Riseman 1986).
 */
import type { PixelPoint } from './types.ts';

/** How a picture changes from pixel to pixel, row by row: along x and y, and the length of both, as shares. */
export interface Changes {
  readonly width: number;
  readonly height: number;
  readonly change: Float32Array;
  readonly alongX: Float32Array;
  readonly alongY: Float32Array;
}

export interface StraightEdge {
  readonly from: PixelPoint;
  readonly to: PixelPoint;
  readonly length: number;
  /** Sum of the changes along it. */
  readonly strength: number;
}

/** Least change, as a share of the code, and how many times that of the median pixel: above noise. */
const LEAST_CHANGE = 0.006;
const OVER_MEDIAN = 1.6;
/** Cosine between directions of change that are the same. */
const SAME_DIRECTION = Math.cos(Math.PI / 8);
/** The same where a straight edge had run on into a curved one (Grompone von Gioi and others 2010, “LSD”). */
const NARROW_DIRECTION = Math.cos(Math.PI / 16);
/** Least length of an edge, and the least share of its rectangle that it fills. */
const LEAST_LENGTH = 7;
const LEAST_FILL = 0.45;
/** Steps of change by which places are taken, the largest first. */
const STEPS = 256;
const FULL_STEP = 0.2;

/** Edges, the strongest first. */
export function straightEdges({ width, height, change, alongX, alongY }: Changes): StraightEdge[] {
  const n = width * height;
  const least = Math.max(LEAST_CHANGE, OVER_MEDIAN * medianOf(change));
  const isFree = new Uint8Array(n);
  const starts: number[][] = Array.from({ length: STEPS }, () => []);
  for (let i = 0; i < n; i++) {
    if (change[i]! < least) continue;
    isFree[i] = 1;
    starts[Math.min(STEPS - 1, Math.floor((change[i]! / FULL_STEP) * STEPS))]!.push(i);
  }
  const around = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
  const grown = (start: number, sameDirection: number): number[] => {
    isFree[start] = 0;
    const region = [start];
    // Sum of the unit vectors of its directions.
    let sumX = alongX[start]! / change[start]!;
    let sumY = alongY[start]! / change[start]!;
    // It grows while it is walked through.
    for (const i of region) {
      for (const by of around) {
        const j = i + by;
        if (!isFree[j]) continue;
        const [x, y] = [alongX[j]! / change[j]!, alongY[j]! / change[j]!];
        const along = x * sumX + y * sumY;
        if (along < 0 || along * along < sameDirection ** 2 * (sumX * sumX + sumY * sumY)) continue;
        isFree[j] = 0;
        region.push(j);
        sumX += x;
        sumY += y;
      }
    }
    return region;
  };
  const edges: StraightEdge[] = [];
  for (const start of starts.reverse().flat()) {
    if (!isFree[start]) continue;
    const region = grown(start, SAME_DIRECTION);
    if (region.length < LEAST_LENGTH) continue;
    let edge = asEdge(region, change, width);
    if (!edge) {
      for (const i of region) isFree[i] = 1;
      edge = asEdge(grown(start, NARROW_DIRECTION), change, width);
    }
    if (edge) edges.push(edge);
  }
  return edges.sort((p, q) => q.strength - p.strength);
}

/** The long axis of a region, when it fills a narrow rectangle. */
function asEdge(
  region: readonly number[],
  change: Float32Array,
  width: number,
): StraightEdge | undefined {
  if (region.length < LEAST_LENGTH) return undefined;
  let [sum, sx, sy] = [0, 0, 0];
  for (const i of region) {
    const w = change[i]!;
    sum += w;
    sx += w * (i % width);
    sy += w * Math.floor(i / width);
  }
  const [cx, cy] = [sx / sum, sy / sum];
  let [xx, xy, yy] = [0, 0, 0];
  for (const i of region) {
    const w = change[i]!;
    const [dx, dy] = [(i % width) - cx, Math.floor(i / width) - cy];
    xx += w * dx * dx;
    xy += w * dx * dy;
    yy += w * dy * dy;
  }
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  const [ux, uy] = [Math.cos(angle), Math.sin(angle)];
  let [first, last, left, right] = [0, 0, 0, 0];
  for (const i of region) {
    const [dx, dy] = [(i % width) - cx, Math.floor(i / width) - cy];
    const t = dx * ux + dy * uy;
    const s = dy * ux - dx * uy;
    first = Math.min(first, t);
    last = Math.max(last, t);
    left = Math.min(left, s);
    right = Math.max(right, s);
  }
  const length = last - first;
  const across = right - left + 1;
  if (length < LEAST_LENGTH || across > 0.35 * length + 2) return undefined;
  if (region.length < LEAST_FILL * (length + 1) * across) return undefined;
  return {
    from: { x: cx + first * ux, y: cy + first * uy },
    to: { x: cx + last * ux, y: cy + last * uy },
    length,
    strength: sum,
  };
}

function medianOf(values: Float32Array): number {
  const counts = new Uint32Array(1001);
  for (const v of values) counts[Math.min(1000, Math.floor(v * 5000))]!++;
  let left = values.length / 2;
  for (let step = 0; step < 1000; step++) {
    left -= counts[step]!;
    if (left < 0) return step / 5000;
  }
  return 0.2;
}
