/** What lies in a circle, as it is seen. */
import { logTriple, type LogTriple } from './log-window.ts';
import { centreX, centreY, insideCircle, linearGrid } from './picture.ts';
import { median } from './robust.ts';
import type { TileLight } from './tile.ts';
import type { EncodedPicture, PixelCircle } from './types.ts';

/** Robust log colour of what lies in a circle, relative to the tile. */
export function circleLog(
  picture: EncodedPicture,
  circle: PixelCircle,
  tile: TileLight,
): LogTriple | undefined {
  const { x, y, radius } = circle;
  const grid = linearGrid(picture, x - radius, y - radius, x + radius, y + radius, 1);
  const values: [number[], number[], number[]] = [[], [], []];
  for (let cell = 0; cell < grid.cols * grid.rows; cell++) {
    if (grid.clipped[cell] || !insideCircle(circle, centreX(grid, cell), centreY(grid, cell))) {
      continue;
    }
    values[0].push(grid.r[cell]!);
    values[1].push(grid.g[cell]!);
    values[2].push(grid.b[cell]!);
  }
  if (values[0].length < 5) return undefined;
  const [r, g, b] = values.map((v, k) => median(v) / tile.linearRgb[k]!);
  return logTriple(r!, g!, b!);
}
