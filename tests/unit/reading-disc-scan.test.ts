import { describe, expect, test } from 'vitest';
import { scanForDisc } from '../../src/reading/disc-scan.ts';
import type { LogWindow } from '../../src/reading/log-window.ts';
import { DAB, drowned, POINTED, TRUST, type Field } from './drowned-dab.ts';

const scan = (window: LogWindow) => scanForDisc(window, POINTED, TRUST);

describe('a dab drowned in noise, larger than and beside the circle pointed at', () => {
  test.each([1, 2, 3])('is found where it is (%i)', (seed) => {
    const disc = scan(drowned(seed, 0.1));
    expect(disc).toBeDefined();
    expect(Math.hypot(disc!.x - DAB.x, disc!.y - DAB.y)).toBeLessThan(3);
    expect(disc!.radius / DAB.radius).toBeGreaterThan(0.8);
    expect(disc!.radius / DAB.radius).toBeLessThan(1.25);
  });
  test('also where the light slopes and bends', () => {
    const bent: Field = (x, y) => 0.01 * (x - 50) - 0.0003 * (y - 40) ** 2;
    const disc = scan(drowned(4, 0.1, bent));
    expect(Math.hypot(disc!.x - DAB.x, disc!.y - DAB.y)).toBeLessThan(3);
  });
});

test.each([11, 12, 13, 14, 15, 16])('where nothing is, nothing is found (%i)', (seed) => {
  expect(scan(drowned(seed, 0))).toBeUndefined();
});

test('the shoulder of a globe is no dab', () => {
  const globe: Field = (x, y) =>
    Math.log(Math.sqrt(Math.max(0.05, 1 - ((x - 50) ** 2 + (y - 50) ** 2) / 70 ** 2)));
  for (const seed of [21, 22, 23]) expect(scan(drowned(seed, 0, globe))).toBeUndefined();
});

test('a step that every pixel shows is none that noise has drowned', () => {
  expect(scan(drowned(31, 1.5))).toBeUndefined();
});
