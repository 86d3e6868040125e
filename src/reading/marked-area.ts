/** An area the person marks on the piece, and how far places lie from its outline. */
import { insidePolygon, polygonArea, polygonCentre } from './picture.ts';
import type { PixelCircle, PixelPoint, PixelPolygon } from './types.ts';

/** In picture px. A polygon may have any number of corners and need not be convex. */
export type MarkedArea = PixelCircle | PixelPolygon;

export interface AreaShape {
  readonly centre: PixelPoint;
  /** Radius of a circle of the same area, px. */
  readonly radius: number;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly holds: (x: number, y: number) => boolean;
  /** Distance to the outline, px; negative inside. */
  readonly distance: (x: number, y: number) => number;
}

const isCircle = (area: MarkedArea): area is PixelCircle => 'radius' in area;

export function shapeOf(area: MarkedArea): AreaShape {
  if (isCircle(area)) {
    const { x, y, radius } = area;
    const distance = (px: number, py: number) => Math.hypot(px - x, py - y) - radius;
    return {
      centre: { x, y },
      radius,
      left: x - radius,
      top: y - radius,
      right: x + radius,
      bottom: y + radius,
      holds: (px, py) => distance(px, py) <= 0,
      distance,
    };
  }
  const xs = area.map((p) => p.x);
  const ys = area.map((p) => p.y);
  const holds = (x: number, y: number) => insidePolygon(area, x, y);
  return {
    centre: polygonCentre(area),
    radius: Math.sqrt(polygonArea(area) / Math.PI),
    left: Math.min(...xs),
    top: Math.min(...ys),
    right: Math.max(...xs),
    bottom: Math.max(...ys),
    holds,
    distance: (x, y) => {
      let least = Infinity;
      area.forEach((p, i) => {
        least = Math.min(least, toSegment(x, y, p, area[(i + 1) % area.length]!));
      });
      return holds(x, y) ? -least : least;
    },
  };
}

function toSegment(x: number, y: number, p: PixelPoint, q: PixelPoint): number {
  const dx = q.x - p.x;
  const dy = q.y - p.y;
  const squared = dx * dx + dy * dy;
  const along = squared === 0 ? 0 : ((x - p.x) * dx + (y - p.y) * dy) / squared;
  const t = Math.max(0, Math.min(1, along));
  return Math.hypot(x - p.x - t * dx, y - p.y - t * dy);
}
