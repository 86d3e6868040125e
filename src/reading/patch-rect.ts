/** Rectangles of a frame, px. */
import type { PixelPoint, PixelPolygon } from './types.ts';

export interface PatchRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export const squareRound = ({ x, y }: PixelPoint, reach: number): PatchRect => ({
  x: x - reach,
  y: y - reach,
  width: 2 * reach,
  height: 2 * reach,
});

export function boundsOf(polygon: PixelPolygon, margin: number): PatchRect {
  const xs = polygon.map((p) => p.x);
  const ys = polygon.map((p) => p.y);
  const x = Math.min(...xs) - margin;
  const y = Math.min(...ys) - margin;
  return { x, y, width: Math.max(...xs) + margin - x, height: Math.max(...ys) + margin - y };
}

/** Centre of the bounds. */
export function centre(polygon: PixelPolygon): PixelPoint {
  const { x, y, width, height } = boundsOf(polygon, 0);
  return { x: x + width / 2, y: y + height / 2 };
}

/** Whole pixels, inside the frame. */
export function clamped(rect: PatchRect, width: number, height: number): PatchRect {
  const x = Math.max(0, Math.floor(rect.x));
  const y = Math.max(0, Math.floor(rect.y));
  return {
    x,
    y,
    width: Math.min(width, Math.ceil(rect.x + rect.width)) - x,
    height: Math.min(height, Math.ceil(rect.y + rect.height)) - y,
  };
}

/** True when `inner` lies in `outer`; of two equal ones the earlier holds the later. */
export function holds(outer: PatchRect, inner: PatchRect, outerIsEarlier: boolean): boolean {
  const inside =
    inner.x >= outer.x &&
    inner.y >= outer.y &&
    inner.x + inner.width <= outer.x + outer.width &&
    inner.y + inner.height <= outer.y + outer.height;
  const same = inner.width === outer.width && inner.height === outer.height;
  return inside && (!same || outerIsEarlier);
}
