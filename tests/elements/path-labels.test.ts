/** Names in the picture of the way: none on another, none outside, each still naming one thing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  boxAbout,
  column,
  meets,
  overlap,
  placeLabels,
  shortNames,
  type Box,
  type Label,
} from '../../src/ui/elements/colour-path/labels.ts';

const within: Box = { left: 40, top: 8, right: 340, bottom: 308 };
const label = (text: string, x: number, y: number, towards = 0, reach = Infinity): Label => ({
  text,
  x,
  y,
  towards,
  gap: 4,
  reach,
});
/** Tips of as many pulls from one place, at random lengths and angles. */
const bundle = fc.record({
  x: fc.integer({ min: 60, max: 320 }),
  y: fc.integer({ min: 30, max: 290 }),
  arms: fc.array(
    fc.record({
      angle: fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
      length: fc.integer({ min: 18, max: 70 }),
      name: fc.string({ unit: 'grapheme', minLength: 4, maxLength: 12 }),
    }),
    { minLength: 16, maxLength: 16 },
  ),
});

describe('placed names', () => {
  test('sixteen about one dab: all are there, none on another, none outside', () => {
    fc.assert(
      fc.property(bundle, ({ x, y, arms }) => {
        const tips = arms.map(({ angle, length, name }) =>
          label(name, x + length * Math.cos(angle), y + length * Math.sin(angle), angle),
        );
        const taken = [boxAbout(x, y, 18, 18), ...tips.map((tip) => boxAbout(tip.x, tip.y, 7, 7))];
        const placed = placeLabels(tips, { within, taken, lines: [] });
        expect(placed).toHaveLength(16);
        for (const [index, { box }] of placed.entries()) {
          const others = [...taken, ...placed.slice(0, index).map((other) => other.box)];
          expect(others.filter((other) => overlap(box, other))).toEqual([]);
          expect(Math.min(box.left - within.left, within.right - box.right)).toBeGreaterThan(-1e-9);
          expect(Math.min(box.top - within.top, within.bottom - box.bottom)).toBeGreaterThan(-1e-9);
        }
      }),
      { numRuns: 60 },
    );
  });
  test('sixteen wide names on one line: the last find room anywhere', () => {
    const arms = [
      [18, '⺁⺁⺁ '],
      [18, '     '],
      [63, ' ⺁⺁⺁'],
      [18, '   ⺁⺁⺁⺁⺁⺁⺁  '],
      [26, '   ⺁⺁⺁  ⺁'],
      [34, '⺁À⺁⺁⺁ ⺁ ⺁⺁ '],
      [59, '    '],
      [18, '  ⺁ ⺁⺁⺁⺁⺁ Ṹ'],
      [18, '⺁ ⺁⺁⺁⺁⺁⺁⺁'],
      [18, '⺁ ⺁     ⺁⺁⺁'],
      [32, '⺁ ⺁⺁⺁⺁⺁⺁⺁⺁'],
      [18, ' 𝅘𝅥𝅮   ⺁⺁ ⺁Ố'],
      [59, '    '],
      [18, '⺁⺁⺁À⺁⺁⺁ ⺁⺁'],
      [29, '    '],
      [64, '⺁⺁⺁⺁⺁ ⺁⺁ Ṥ '],
    ] as const;
    const tips = arms.map(([length, name]) => label(name, 69 + length, 248));
    const taken = [boxAbout(69, 248, 18, 18), ...tips.map((tip) => boxAbout(tip.x, tip.y, 7, 7))];
    const placed = placeLabels(tips, { within, taken, lines: [] });
    expect(placed).toHaveLength(16);
    expect(placed.at(-1)!.leader).toBeDefined();
  });
  test('one alone stands where it points, without a line', () => {
    const [placed] = placeLabels([label('PB 28', 100, 100)], { within, taken: [], lines: [] });
    expect(placed!.leader).toBeUndefined();
    expect(placed!.box.left).toBeCloseTo(104, 9);
    expect(placed!.y).toBe(100);
  });
  test('one that is pushed far off has a line back to what it names', () => {
    const taken = [boxAbout(100, 100, 90, 70)];
    const [placed] = placeLabels([label('PB 28', 100, 100)], { within, taken, lines: [] });
    const { x0, y0, x1, y1 } = placed!.leader!;
    expect(Math.hypot(x0 - 100, y0 - 100)).toBeCloseTo(4, 9);
    expect(overlap(boxAbout(x1, y1, 1, 1), placed!.box)).toBe(true);
  });
  test('one that may not stand apart is left out where there is no room', () => {
    const taken = [boxAbout(100, 100, 200, 200)];
    const room = { within, taken, lines: [] };
    expect(placeLabels([label('7', 100, 100, 0, 14)], room)).toEqual([]);
  });
});

test('a line meets a box that it passes through, touches none that it ends before', () => {
  const box = boxAbout(0, 0, 10, 10);
  expect(meets({ x0: -20, y0: -20, x1: 20, y1: 20 }, box)).toBe(true);
  expect(meets({ x0: -20, y0: 0, x1: -6, y1: 0 }, box)).toBe(false);
  expect(meets({ x0: -20, y0: 9, x1: 20, y1: 9 }, box)).toBe(false);
  expect(meets({ x0: 1, y0: 1, x1: 2, y1: 2 }, box)).toBe(true);
});

test('a column keeps its order, its distances and its ends', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -50, max: 400 }), { minLength: 1, maxLength: 16 }),
      (wanted) => {
        const heights = column(
          wanted.toSorted((a, b) => a - b),
          20,
          300,
        );
        for (const [index, y] of heights.entries()) {
          expect(y).toBeGreaterThanOrEqual(20 + 7.5 - 1e-9);
          expect(y).toBeLessThanOrEqual(300 - 7.5 + 1e-9);
          if (index > 0) expect(y - heights[index - 1]!).toBeGreaterThanOrEqual(15 - 1e-9);
        }
      },
    ),
  );
});

describe('short names', () => {
  test('leave a Colour Index name as it is, and number what reads the same when cut', () => {
    const long = 'Manganumbra, zyprisch, gebrannt'.padEnd(120, ' und geschlämmt');
    const names = shortNames(['PBk 11', long, `${long}, fein`, 'cobalt blue deep'], 12);
    expect(names[0]).toBe('PBk 11');
    expect(names[3]).toMatch(/^cobalt blu.?…$/);
    expect(new Set(names).size).toBe(4);
    for (const name of names) expect(name.length).toBeLessThanOrEqual(12);
  });
  test('name sixteen paints apart', () => {
    const names = Array.from({ length: 16 }, () => 'x'.repeat(120));
    expect(new Set(shortNames(names, 12)).size).toBe(16);
  });
});
