/** Marking a sprayed area: the outline from a tap or from a line drawn round it. Pure; picture px. */
import type { PixelPoint, PixelPolygon } from '../../reading/types.ts';
import { insidePicture, middleOf, type ViewRect } from './view-rect.ts';

/**
 * Corners of an outline that a tap places, and the most that a drawn one keeps: close up on a phone, each
 * must be a target of its own.
 */
const ROUND = 8;
const MOST = 10;
/** How much of what lies round the outline a close-up shows, in widths of the outline. */
const ROOM = 1.8;

/** A round outline about a place, for a start. */
export function roundOutline({ x, y }: PixelPoint, radius: number): PixelPolygon {
  return Array.from({ length: ROUND }, (_, i) => {
    const angle = (2 * Math.PI * (i + 0.5)) / ROUND;
    return { x: x + radius * Math.cos(angle), y: y + radius * Math.sin(angle) };
  });
}

/**
 * The outline that a drawn line means: closed, with the few corners that say most of its shape
 * (Visvalingam and Whyatt 1993: the corner that spans the least triangle goes first).
 */
export function drawnOutline(line: PixelPolygon): PixelPolygon {
  const corners = [...line];
  while (corners.length > MOST) {
    let least = 0;
    let leastArea = Infinity;
    for (let i = 0; i < corners.length; i += 1) {
      const area = triangle(
        corners[(i + corners.length - 1) % corners.length]!,
        corners[i]!,
        corners[(i + 1) % corners.length]!,
      );
      if (area < leastArea) [least, leastArea] = [i, area];
    }
    corners.splice(least, 1);
  }
  return corners;
}

const triangle = (a: PixelPoint, b: PixelPoint, c: PixelPoint): number =>
  Math.abs((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)) / 2;

/** How far a line reaches from its beginning: a tap is a short one. */
export function reachOf(line: PixelPolygon): number {
  const [first] = line;
  return Math.max(0, ...line.map((p) => Math.hypot(p.x - first!.x, p.y - first!.y)));
}

export function withCorner(outline: PixelPolygon, index: number, to: PixelPoint): PixelPolygon {
  return outline.map((corner, i) => (i === index ? to : corner));
}

export function nearestCorner(outline: PixelPolygon, { x, y }: PixelPoint): number {
  const away = outline.map((corner) => Math.hypot(corner.x - x, corner.y - y));
  return away.indexOf(Math.min(...away));
}

/** The whole outline moved so that its middle is there, as far as the picture reaches. */
export function movedOutline(
  outline: PixelPolygon,
  to: PixelPoint,
  width: number,
  height: number,
): PixelPolygon {
  const middle = middleOf(outline);
  return outline.map((p) =>
    insidePicture({ x: p.x + to.x - middle.x, y: p.y + to.y - middle.y }, width, height),
  );
}

/** Larger or smaller about its middle. */
export function scaledOutline(
  outline: PixelPolygon,
  by: number,
  width: number,
  height: number,
): PixelPolygon {
  const middle = middleOf(outline);
  return outline.map((p) =>
    insidePicture(
      { x: middle.x + by * (p.x - middle.x), y: middle.y + by * (p.y - middle.y) },
      width,
      height,
    ),
  );
}

/** The outline with the glaze round it, close up. */
export function closeUpOf(outline: PixelPolygon): ViewRect {
  const xs = outline.map((p) => p.x);
  const ys = outline.map((p) => p.y);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const side = ROOM * Math.max(right - left, bottom - top);
  return { x: (left + right - side) / 2, y: (top + bottom - side) / 2, width: side, height: side };
}
