/** Which part of the picture the viewfinder shows, in picture pixels. Pure. */
import type { PixelCircle, PixelPoint, PixelPolygon } from '../../reading/types.ts';

export interface ViewRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The smallest rectangle of the box's shape that holds `rect`, about the same middle. */
export function fitView(rect: ViewRect, boxWidth: number, boxHeight: number): ViewRect {
  if (boxWidth <= 0 || boxHeight <= 0) return rect;
  const scale = Math.max(rect.width / boxWidth, rect.height / boxHeight);
  const width = boxWidth * scale;
  const height = boxHeight * scale;
  return {
    x: rect.x + (rect.width - width) / 2,
    y: rect.y + (rect.height - height) / 2,
    width,
    height,
  };
}

/** Dab, glaze and the ring between them, close up: a square of seven dab radii, or what holds both. */
export function closeUpRect(dab: PixelCircle, glaze: PixelCircle | undefined): ViewRect {
  const reach = dab.radius * 3.5;
  let [left, right, top, bottom] = [dab.x - reach, dab.x + reach, dab.y - reach, dab.y + reach];
  if (glaze) {
    left = Math.min(left, glaze.x - 1.5 * glaze.radius);
    right = Math.max(right, glaze.x + 1.5 * glaze.radius);
    top = Math.min(top, glaze.y - 1.5 * glaze.radius);
    bottom = Math.max(bottom, glaze.y + 1.5 * glaze.radius);
  }
  return { x: left, y: top, width: right - left, height: bottom - top };
}

export function middleOf(polygon: PixelPolygon): PixelPoint {
  const n = Math.max(1, polygon.length);
  return {
    x: polygon.reduce((sum, p) => sum + p.x, 0) / n,
    y: polygon.reduce((sum, p) => sum + p.y, 0) / n,
  };
}

/** Keeps a point on the picture. */
export function insidePicture(point: PixelPoint, width: number, height: number): PixelPoint {
  return {
    x: Math.min(Math.max(point.x, 0), width),
    y: Math.min(Math.max(point.y, 0), height),
  };
}
