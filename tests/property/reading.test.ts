/** Whatever the picture and wherever the person points: an answer, never a fall. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { readBlendMap } from '../../src/reading/blend-map.ts';
import { read } from '../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import type { EncodedPicture } from '../../src/reading/types.ts';
import { uniforms } from '../unit/reading-scene.ts';

const cv = nodeOpenCv();

/** Squares of any colours and one of a light grey that may serve as a tile; some noise, some clipping. */
const bench = fc
  .record({
    width: fc.oneof(fc.integer({ min: 1, max: 260 }), fc.integer({ min: 180, max: 260 })),
    height: fc.oneof(fc.integer({ min: 1, max: 220 }), fc.integer({ min: 150, max: 220 })),
    deep: fc.boolean(),
    seed: fc.integer(),
    noise: fc.constantFrom(0, 2, 8, 60),
    glaze: fc.tuple(fc.nat(255), fc.nat(255), fc.nat(255)),
    squares: fc.array(
      fc.record({
        x: fc.integer({ min: -20, max: 220 }),
        y: fc.integer({ min: -20, max: 220 }),
        side: fc.integer({ min: 1, max: 120 }),
        code: fc.tuple(fc.nat(255), fc.nat(255), fc.nat(255)),
      }),
      { maxLength: 4 },
    ),
    white: fc.record({
      x: fc.integer({ min: 0, max: 180 }),
      y: fc.integer({ min: 0, max: 150 }),
      side: fc.integer({ min: 20, max: 60 }),
      code: fc.integer({ min: 150, max: 255 }),
    }),
  })
  .map(({ width, height, deep, seed, noise, glaze, squares, white }) => {
    const maxCode = deep ? 65535 : 255;
    const rgba = new (deep ? Uint16Array : Uint8Array)(width * height * 4).fill(maxCode);
    const uniform = uniforms(seed);
    const all = [...squares, { ...white, code: [white.code, white.code, white.code] }];
    for (let i = 0; i < width * height; i++) {
      const [x, y] = [i % width, Math.floor(i / width)];
      const on = all.findLast((s) => x >= s.x && x < s.x + s.side && y >= s.y && y < s.y + s.side);
      for (let k = 0; k < 3; k++) {
        const code = (on?.code ?? glaze)[k]! + noise * (uniform() - 0.5);
        rgba[4 * i + k] = (Math.max(0, Math.min(255, code)) * maxCode) / 255;
      }
    }
    const { x, y, side } = white;
    const picture: EncodedPicture = { width, height, rgba, maxCode, frames: 1 };
    const corners = [
      { x, y },
      { x: x + side, y },
      { x: x + side, y: y + side },
      { x, y: y + side },
    ];
    return { picture, corners };
  });
const place = fc.oneof(
  fc.double({ min: 30, max: 180, noNaN: true }),
  fc.double({ min: -50, max: 270, noNaN: true }),
);
const radius = fc.oneof(
  fc.double({ min: 6, max: 30, noNaN: true }),
  fc.double({ min: 0.1, max: 150, noNaN: true }),
);
const circle = fc.record({ x: place, y: place, radius });
const polygon = fc.array(fc.record({ x: place, y: place }), { minLength: 3, maxLength: 7 });

test('a reading is a number with its interval, or refusals with remedies', () => {
  const outcomes = new Set<string>();
  fc.assert(
    fc.property(
      bench,
      fc.record({
        glaze: circle,
        dab: circle,
        dabOn: fc.constantFrom('piece' as const, 'tile' as const),
        tile: fc.oneof(fc.constant('corners' as const), fc.constant(undefined), polygon),
      }),
      ({ picture, corners }, { tile, ...places }) => {
        const given = tile === 'corners' ? corners : tile;
        const regions = given ? { ...places, tile: given } : places;
        const result = read(cv, picture, regions, DEFAULT_SETTINGS);
        outcomes.add(result.ok ? 'read' : result.refused[0]!.reason);
        if (result.ok) {
          const { deltaE00, interval95, covariance } = result.difference;
          for (const v of [deltaE00, ...interval95, ...covariance.flat(), ...result.glazeLab]) {
            expect(Number.isFinite(v)).toBe(true);
          }
          expect(interval95[0]).toBeLessThanOrEqual(interval95[1]);
        } else {
          expect(result.refused.length).toBeGreaterThan(0);
          for (const { remedy } of result.refused) expect(remedy).not.toBe('');
        }
      },
    ),
    { numRuns: 150, seed: 12 },
  );
  expect(outcomes).toContain('read');
  expect(outcomes.size).toBeGreaterThan(5);
});

test('so is a blend map', () => {
  const outcomes = new Set<string>();
  fc.assert(
    fc.property(
      bench,
      fc.oneof(circle, polygon),
      fc.oneof(fc.constant('corners' as const), fc.constant(undefined), polygon),
      fc.option(circle, { nil: undefined }),
      ({ picture, corners }, area, tile, glaze) => {
        const given = tile === 'corners' ? corners : tile;
        const request = {
          area,
          ...(given ? { tile: given } : {}),
          ...(glaze ? { glaze } : {}),
        };
        const map = readBlendMap(cv, picture, request, DEFAULT_SETTINGS);
        outcomes.add(map.ok ? 'read' : map.refused[0]!.reason);
        if (map.ok) {
          expect(map.deltaE00).toHaveLength(map.crop.width * map.crop.height);
          for (const v of [...map.glazeLab, map.worst.deltaE00, map.worst.x, map.worst.y]) {
            expect(Number.isFinite(v)).toBe(true);
          }
          for (const { acceptable, imperceptible } of [map.above, map.glazeAbove]) {
            expect(acceptable).toBeGreaterThanOrEqual(0);
            expect(acceptable).toBeLessThanOrEqual(imperceptible);
            expect(imperceptible).toBeLessThanOrEqual(1);
          }
        } else expect(map.refused.length).toBeGreaterThan(0);
      },
    ),
    { numRuns: 600, seed: 12 },
  );
  expect(outcomes).toContain('read');
  expect(outcomes.size).toBeGreaterThan(5);
});
