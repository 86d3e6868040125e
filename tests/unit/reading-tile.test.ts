import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { readTile } from '../../src/reading/tile.ts';
import { findTile } from '../../src/reading/tile-finder.ts';
import type { EncodedPicture, PixelPoint, PixelPolygon } from '../../src/reading/types.ts';
import {
  disc,
  linearOf,
  polygon,
  shoot,
  TILE_CORNERS,
  TILE_LAB,
  turnedRectangle,
  uniforms,
  type Shot,
  type Thing,
  type Triple,
} from './reading-scene.ts';

const cv = nodeOpenCv();
const tile = (corners: PixelPolygon, light?: Thing['light']): Thing => ({
  lab: TILE_LAB,
  cover: polygon(corners),
  ...(light ? { light } : {}),
});
const piece: Thing = {
  lab: [70, -6, 14],
  cover: polygon(turnedRectangle({ x: 120, y: 190 }, 180, 240)),
};
/** Whiter than the tile, and round. */
const saucer: Thing = { lab: [95, 0, 1], cover: disc(340, 290, 48) };

function missedBy(found: PixelPolygon | undefined, corners: readonly PixelPoint[]): number {
  if (found?.length !== 4) return Infinity;
  return Math.max(
    ...corners.map((c) => Math.min(...found.map((p) => Math.hypot(p.x - c.x, p.y - c.y)))),
  );
}

describe('finding the tile', () => {
  const backgrounds: Record<string, Triple> = {
    dark: [12, 0, 0],
    grey: [45, 0, 0],
    wood: [55, 12, 25],
    light: [80, 1, 4],
  };
  test.each(Object.entries(backgrounds))(
    'turned by 0 to 90°, tilted or not, a white round piece beside it: %s bench',
    (_, backgroundLab) => {
      for (const [i, degrees] of [0, 17, 30, 45, 62, 75, 90].entries()) {
        const taper = i % 2 === 0 ? 0.22 : 0;
        const corners = turnedRectangle({ x: 350, y: 115 }, 120, 100, degrees, taper);
        const picture = shoot({
          backgroundLab,
          things: [piece, saucer, tile(corners)],
          seed: degrees + 1,
        });
        const missed = missedBy(findTile(cv, picture), corners);
        expect(missed, `${degrees}°, taper ${taper}`).toBeLessThan(3);
      }
    },
  );

  test('in a large picture to a few pixels, by warm light, small in the frame', () => {
    const corners = turnedRectangle({ x: 1040, y: 240 }, 130, 120, 12);
    const picture = shoot({
      width: 1440,
      height: 960,
      gain: [0.85, 0.7, 0.45],
      things: [{ lab: [55, 20, 25], cover: disc(500, 500, 380) }, tile(corners)],
    });
    expect(missedBy(findTile(cv, picture), corners)).toBeLessThan(6);
  });

  test('16-bit pictures too', () => {
    const picture = shoot({ maxCode: 65535, things: [piece, tile(TILE_CORNERS)] });
    expect(missedBy(findTile(cv, picture), TILE_CORNERS)).toBeLessThan(3);
  });

  test('a lamp that falls off across it does not hide it', () => {
    const light = (x: number, y: number) => Math.exp(-(x - 380 + (y - 110)) / 500);
    const picture = shoot({ things: [piece, tile(TILE_CORNERS, light)] });
    expect(missedBy(findTile(cv, picture), TILE_CORNERS)).toBeLessThan(3);
  });

  test('a field that holds a place on the piece is not the tile', () => {
    const whitePiece: Thing = { ...piece, lab: [95, 0, 2] };
    const picture = shoot({ things: [whitePiece, tile(TILE_CORNERS)] });
    const onPiece = [{ x: 120, y: 190, radius: 10 }];
    expect(missedBy(findTile(cv, picture, onPiece), TILE_CORNERS)).toBeLessThan(3);
  });

  test.each<[string, Shot]>([
    ['an empty bench', { things: [] }],
    ['only a round piece', { things: [{ ...saucer, cover: disc(240, 180, 110) }] }],
    ['a black picture', { things: [], backgroundLab: [0, 0, 0], noise: 0 }],
    ['a white picture', { things: [], backgroundLab: [100, 0, 0], gain: [3, 3, 3] }],
    ['nothing but noise', { things: [], backgroundLab: [50, 0, 0], noise: 40 }],
  ])('%s: none', (_, shot) => {
    expect(findTile(cv, shoot(shot))).toBeUndefined();
  });

  test('tiny pictures, and pictures of anything at all, do not make it fall over', () => {
    const size = fc.integer({ min: 1, max: 70 });
    fc.assert(
      fc.property(size, size, fc.integer(), fc.integer({ min: 1, max: 255 }), (w, h, seed, top) => {
        const uniform = uniforms(seed);
        const rgba = Uint8Array.from({ length: w * h * 4 }, () => Math.floor(uniform() * top));
        const found = findTile(cv, { width: w, height: h, rgba, maxCode: 255, frames: 1 });
        for (const p of found ?? []) {
          expect(p.x >= 0 && p.y >= 0 && p.x <= w && p.y <= h).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe('reading the tile', () => {
  const gain: Triple = [0.8, 0.72, 0.6];
  const read = (shot: Omit<Shot, 'things'>, light?: Thing['light'], on: readonly Thing[] = []) =>
    readTile(shoot({ ...shot, things: [tile(TILE_CORNERS, light), ...on] }), TILE_CORNERS);
  const expected = linearOf(TILE_LAB).map((v, k) => v * gain[k]!);
  const misread = ({ linearRgb }: { linearRgb: readonly number[] }) =>
    Math.max(...linearRgb.map((v, k) => Math.abs(v / expected[k]! - 1)));

  test('gives the light on it, channel by channel, and its encoded level', () => {
    const light = read({ gain });
    expect(light.fault).toBeUndefined();
    expect(misread(light)).toBeLessThan(0.003);
    // IEC 61966-2-1: the brightest channel, encoded.
    const brightest = Math.max(...expected);
    expect(light.level).toBeCloseTo(1.055 * brightest ** (1 / 2.4) - 0.055, 2);
    expect(light.gradient).toBeLessThan(0.01);
  });

  test('a near lamp’s gradient is measured, and the mean is that of the middle', () => {
    // ln light falls by 0.2 over 120 px, the tile's width; 0.16 over the 0.8 of it that is read.
    const light = read({ gain }, (x) => Math.exp((-0.2 * (x - 380)) / 120));
    expect(light.fault).toBeUndefined();
    expect(light.gradient).toBeGreaterThan(0.12);
    expect(light.gradient).toBeLessThan(0.24);
    expect(misread(light)).toBeLessThan(0.01);
  });

  test('a speck, a thread and a small glare do not move it', () => {
    const light = read({ gain }, undefined, [
      { lab: [20, 5, 5], cover: disc(360, 100, 6) },
      { lab: [30, 0, 0], cover: polygon(turnedRectangle({ x: 390, y: 120 }, 90, 2.5, 30)) },
      { lab: [100, 0, 0], cover: disc(400, 130, 5), light: () => 3 },
    ]);
    expect(light.fault).toBeUndefined();
    expect(misread(light)).toBeLessThan(0.01);
  });

  test.each<[string, string, Omit<Shot, 'things'>, Thing['light']?]>([
    ['overexposed', 'tile-clipped', { gain: [1.5, 1.5, 1.5] }],
    ['clipped in one channel by a warm lamp', 'tile-clipped', { gain: [1.4, 0.9, 0.5] }],
    ['a third of it in glare', 'tile-clipped', { gain }, (x: number) => (x > 395 ? 2.5 : 1)],
    ['underexposed', 'tile-dark', { gain: [0.1, 0.1, 0.1] }],
    ['black', 'tile-dark', { gain: [0, 0, 0] }],
    ['half in shadow', 'tile-uneven', { gain }, (x: number) => (x > 380 ? 0.5 : 1)],
  ])('%s: %s', (_, fault, shot, light) => {
    expect(read(shot, light).fault).toBe(fault);
  });

  test('too small or outside the picture: missing', () => {
    const picture: EncodedPicture = shoot({ things: [] });
    for (const at of [
      { x: 100, y: 100, side: 3 },
      { x: -80, y: -80, side: 40 },
      { x: 600, y: 500, side: 60 },
    ]) {
      const corners = turnedRectangle(at, at.side, at.side);
      expect(readTile(picture, corners).fault).toBe('tile-missing');
    }
  });

  test('is no brighter for what lies on it and is left out', () => {
    const dab: Thing = { lab: [30, 20, 10], cover: disc(380, 110, 30) };
    const picture = shoot({ gain, things: [tile(TILE_CORNERS), dab] });
    const without = (x: number, y: number) => Math.hypot(x - 380, y - 110) < 34;
    const light = readTile(picture, TILE_CORNERS, without);
    expect(light.fault).toBeUndefined();
    expect(misread(light)).toBeLessThan(0.003);
  });
});
