import { describe, expect, test } from 'vitest';
import { scanForDisc } from '../../src/reading/disc-scan.ts';
import type { LogWindow } from '../../src/reading/log-window.ts';
import { normals } from './reading-scene.ts';

const SIZE = 100;
/** Of one pixel: as large as the step, so that no pixel tells glaze from dab. */
const NOISE = 0.1;
const DAB = { x: 52, y: 47, radius: 14 };
const POINTED = { x: 50, y: 50, radius: 9 };

type Field = (x: number, y: number) => number;

/** Light by a field, noise independent in every pixel, a step on the dab. */
function windowOf(seed: number, step: number, field: Field = () => 0): LogWindow {
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
const TRUST = new Float32Array(SIZE * SIZE).fill(1);
const scan = (window: LogWindow) => scanForDisc(window, POINTED, TRUST);

describe('a dab drowned in noise, larger than and beside the circle pointed at', () => {
  test.each([1, 2, 3])('is found where it is (%i)', (seed) => {
    const disc = scan(windowOf(seed, 0.1));
    expect(disc).toBeDefined();
    expect(Math.hypot(disc!.x - DAB.x, disc!.y - DAB.y)).toBeLessThan(3);
    expect(disc!.radius / DAB.radius).toBeGreaterThan(0.8);
    expect(disc!.radius / DAB.radius).toBeLessThan(1.25);
  });
  test('also where the light slopes and bends', () => {
    const bent: Field = (x, y) => 0.01 * (x - 50) - 0.0003 * (y - 40) ** 2;
    const disc = scan(windowOf(4, 0.1, bent));
    expect(Math.hypot(disc!.x - DAB.x, disc!.y - DAB.y)).toBeLessThan(3);
  });
});

test.each([11, 12, 13, 14, 15, 16])('where nothing is, nothing is found (%i)', (seed) => {
  expect(scan(windowOf(seed, 0))).toBeUndefined();
});

test('the shoulder of a globe is no dab', () => {
  const globe: Field = (x, y) =>
    Math.log(Math.sqrt(Math.max(0.05, 1 - ((x - 50) ** 2 + (y - 50) ** 2) / 70 ** 2)));
  for (const seed of [21, 22, 23]) expect(scan(windowOf(seed, 0, globe))).toBeUndefined();
});

test('a step that every pixel shows is none that noise has drowned', () => {
  expect(scan(windowOf(31, 1.5))).toBeUndefined();
});
