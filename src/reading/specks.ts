/**
 * Iron specks, pinholes, crazing: what stands out of the glaze cell by cell. It is the ground that is
 * matched, and specks in every block pull every block's mean, so that no robust field could let go of them.
 */
import { median, robustSigma } from './robust.ts';

/** Deviations of a cell's noise, and least share of the light, from which it is no noise. */
const NOISE_TIMES = 4;
const LEAST = 0.04;
/** Where more of a square than this is dark, it lies over an edge. */
const MOST_DARK = 0.3;

/**
 * @param squares cells of each small square
 * @param cols cells along a row of the grid
 * @param light per cell, linear: noise is even in it, and skewed in its logarithm
 * @param which `dark` where bright ones may be glare, which must be seen
 * @returns the cells that are specks and, since the lens has blurred them, their neighbours
 */
export function specksIn(
  squares: readonly (readonly number[])[],
  cols: number,
  light: (cell: number) => number,
  which: 'dark' | 'all',
): ReadonlySet<number> {
  const strays = squares.map((cells) => {
    const lights = cells.map(light);
    const middle = median(lights);
    return lights.map((v) => (which === 'dark' ? 1 - v / middle : Math.abs(v / middle - 1)));
  });
  const most = Math.max(LEAST, NOISE_TIMES * robustSigma(strays.flat(), 0));
  const specks = new Set<number>();
  squares.forEach((cells, i) => {
    const found = cells.filter((_, j) => strays[i]![j]! > most);
    if (which === 'dark' && found.length > MOST_DARK * cells.length) return;
    for (const cell of found) {
      for (let row = -cols; row <= cols; row += cols) {
        for (let col = -1; col <= 1; col++) specks.add(cell + row + col);
      }
    }
  });
  return specks;
}
