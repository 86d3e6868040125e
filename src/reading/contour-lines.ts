/** Lines of equal value on a field of pixels, by marching squares with straight interpolation. */
import { contours } from 'd3-contour';
import type { PixelPolygon } from './types.ts';

/** Most cells along a side: lines finer than this are not seen. */
const MOST_CELLS = 240;

/**
 * Closed lines round all that exceeds `threshold`, holes included; positions in the field's own pixels.
 * @param values row by row; NaN: nothing is known, the line passes round it
 */
export function contourLines(
  values: Float32Array,
  width: number,
  height: number,
  threshold: number,
): PixelPolygon[] {
  const step = Math.max(1, Math.ceil(Math.max(width, height) / MOST_CELLS));
  const cols = Math.floor(width / step);
  const rows = Math.floor(height / step);
  if (cols < 2 || rows < 2) return [];
  const cells = Array.from({ length: cols * rows }, (_, cell) => {
    let sum = 0;
    let count = 0;
    for (let dy = 0; dy < step; dy++) {
      const from = (Math.floor(cell / cols) * step + dy) * width + (cell % cols) * step;
      for (let dx = 0; dx < step; dx++) {
        const v = values[from + dx]!;
        if (Number.isNaN(v)) continue;
        sum += v;
        count++;
      }
    }
    // Half a cell known is a cell known.
    return 2 * count >= step * step ? sum / count : NaN;
  });
  const { coordinates } = contours().size([cols, rows]).contour(cells, threshold);
  return coordinates
    .flat()
    .map((ring) => ring.slice(0, -1).map(([x, y]) => ({ x: x! * step, y: y! * step })));
}
