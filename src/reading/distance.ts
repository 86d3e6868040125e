/** Distances over a grid of cells, by OpenCV. */
import type { OpenCv } from './opencv.ts';

/**
 * Distance, in cells, of each cell of the wanted kind to the nearest of the other kind; 0 for the others.
 * @param mask a value a cell, row by row; 0 is off, anything else on
 * @param wanted whether it is the cells that are on, or those that are off, whose distance is asked
 */
export function distanceWithin(
  cv: OpenCv,
  mask: Uint8Array,
  { cols, rows }: { readonly cols: number; readonly rows: number },
  wanted: 'on' | 'off',
): Float32Array {
  const source = cv.matFromArray(
    rows,
    cols,
    cv.CV_8UC1,
    mask.map((v) => ((v !== 0) === (wanted === 'on') ? 255 : 0)),
  );
  const result = new cv.Mat();
  try {
    cv.distanceTransform(source, result, cv.DIST_L2, 5);
    return Float32Array.from(result.data32F);
  } finally {
    source.delete();
    result.delete();
  }
}
