/** A window in which noise drowns a dab: every pixel's noise is as large as the step. */
import type { LogWindow } from '../../src/reading/log-window.ts';
import { normals } from './reading-scene.ts';

const SIZE = 100;
/** Of one pixel: as large as the step, so that no pixel tells glaze from dab. */
const NOISE = 0.1;
export const DAB = { x: 52, y: 47, radius: 14 };
export const POINTED = { x: 50, y: 50, radius: 9 };

export type Field = (x: number, y: number) => number;

/** Light by a field, noise independent in every pixel, a step on the dab. */
export function drowned(seed: number, step: number, field: Field = () => 0): LogWindow {
  const normal = normals(seed);
  const n = SIZE * SIZE;
  const planes = [new Float32Array(n), new Float32Array(n), new Float32Array(n)] as const;
  for (let cell = 0; cell < n; cell++) {
    const [x, y] = [(cell % SIZE) + 0.5, Math.floor(cell / SIZE) + 0.5];
    const onDab = Math.hypot(x - DAB.x, y - DAB.y) < DAB.radius;
    for (const plane of planes) plane[cell] = NOISE * normal() + (onDab ? step : 0);
    planes[0][cell]! += field(x, y);
  }
  const light = new Float32Array(n).fill(0.5);
  return {
    grid: {
      x0: 0,
      y0: 0,
      step: 1,
      cols: SIZE,
      rows: SIZE,
      r: light,
      g: light,
      b: light,
      clipped: new Uint8Array(n),
    },
    planes,
    tileLinearRgb: [1, 1, 1],
    usable: new Uint8Array(n).fill(1),
  };
}
export const TRUST = new Float32Array(SIZE * SIZE).fill(1);
