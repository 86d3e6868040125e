/** A picture that cannot be trusted gives no number: each reason, with its remedy. */
import { describe, expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { refusal } from '../../src/reading/refusals.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import { edgeWidth } from '../../src/reading/sharpness.ts';
import type {
  EncodedPicture,
  ReadingResult,
  RefusalReason,
  Regions,
} from '../../src/reading/types.ts';
import {
  benchThings,
  DAB_CIRCLE,
  deltaE2000,
  disc,
  GLAZE_LAB,
  normalDistribution,
  PIECE_CORNERS,
  polygon,
  REGIONS,
  shoot,
  TILE_CORNERS,
  TILE_LAB,
  turnedRectangle,
  type BenchWish,
  type Shot,
  type Thing,
  type Triple,
} from './reading-scene.ts';

const cv = nodeOpenCv();
const reading = (shot: Shot, regions: Partial<Regions> = {}): ReadingResult =>
  read(cv, shoot(shot), { ...REGIONS, ...regions }, DEFAULT_SETTINGS);
const reasons = (result: ReadingResult) =>
  result.ok ? ['read'] : result.refused.map((r) => r.reason);

const DAB_LAB: Triple = [64, -4, 12];
const bench = (wish: BenchWish = {}) => benchThings({ dabLab: DAB_LAB, ...wish });
const spot =
  (x: number, y: number, peak: number, width: number) =>
  (px: number, py: number): number =>
    peak * Math.exp(-((px - x) ** 2 + (py - y) ** 2) / (2 * width * width));
/** A dab on the tile, or on a card: here, on the tile. */
const onTile = { x: 380, y: 115, radius: 20 };
const beside = (lab: Triple): Thing[] => [
  ...bench(),
  { lab, cover: disc(onTile.x, onTile.y, onTile.radius) },
];
/** All of the bench out of focus. */
const blurred = (soft: number): Thing[] => [
  { lab: GLAZE_LAB, cover: polygon(PIECE_CORNERS, soft) },
  { lab: DAB_LAB, cover: disc(DAB_CIRCLE.x, DAB_CIRCLE.y, DAB_CIRCLE.radius, soft) },
  { lab: TILE_LAB, cover: polygon(TILE_CORNERS, soft) },
];

test('no tile found where nothing is light enough to be one: too dark is said beside missing', () => {
  const white: Triple = [94, 0, 1];
  const shot = (gain: number): Shot => ({
    things: bench(),
    backgroundLab: white,
    gain: [gain, gain, gain],
  });
  expect(reasons(reading(shot(0.06)))).toEqual(['tile-missing', 'tile-dark']);
  const dim = [0.2, 0.2, 0.2] as const;
  expect(reasons(reading({ things: bench({ tile: 'none' }), gain: dim }))).toEqual([
    'tile-missing',
    'tile-dark',
  ]);
  expect(reasons(reading({ things: bench({ tile: 'none' }) }))).toEqual(['tile-missing']);
});

describe('long and narrow', () => {
  /** The inside of the piece, a shadow, or a stroke of dark paint: 20 px wide, 120 px long. */
  const strip = (x: number) => {
    const dark = {
      lab: [6, 1, 1] as Triple,
      cover: polygon(turnedRectangle({ x, y: 180 }, 20, 120)),
    };
    const dab = { x, y: 180, radius: 12 };
    return reasons(reading({ things: [...bench({ dabLab: GLAZE_LAB }), dark] }, { dab }));
  };
  test('where the piece ends it is no dab', () => {
    expect(strip(Math.max(...PIECE_CORNERS.map(({ x }) => x)) - 10)).toEqual(['dab-missing']);
  });
  test('with glaze on both sides it is a stroke, and read', () => {
    expect(strip(DAB_CIRCLE.x)).toEqual(['read']);
  });
});

test.each([0.5, 1, 3])('a circle of %f px is no blur of the picture', (radius) => {
  expect(reasons(reading({ things: bench() }, { dab: { ...DAB_CIRCLE, radius } }))).not.toContain(
    'picture-blurred',
  );
});

test('a picture in black and white gives no colours', () => {
  const picture = shoot({ things: bench() });
  const grey = picture.rgba.slice();
  for (let at = 0; at < grey.length; at += 4) grey.fill(picture.rgba[at + 1]!, at, at + 3);
  const readIn = (rgba: EncodedPicture['rgba']) =>
    reasons(read(cv, { ...picture, rgba }, REGIONS, DEFAULT_SETTINGS));
  expect(readIn(grey)).toEqual(['picture-grey']);
  // One code of one pixel is colour: whoever took it, it was no black-and-white picture.
  grey[4 * 1000] = grey[4 * 1000]! - 1;
  expect(readIn(grey)).toEqual(['read']);
});

test('the bench of these tests is read when nothing is wrong with it', () => {
  const result = reading({ things: bench() });
  expect(reasons(result)).toEqual(['read']);
  if (!result.ok) return;
  expect(Math.abs(result.difference.deltaE00 - deltaE2000(GLAZE_LAB, DAB_LAB))).toBeLessThan(0.2);
});

describe('refused, for this reason', () => {
  const cases: readonly [string, RefusalReason, Shot, Partial<Regions>?][] = [
    ['no tile in the picture', 'tile-missing', { things: bench({ tile: 'none' }) }],
    [
      'a tile given that is no area',
      'tile-missing',
      { things: bench() },
      {
        tile: [
          { x: 5, y: 5 },
          { x: 9, y: 9 },
          { x: 13, y: 13 },
        ],
      },
    ],
    ['overexposed', 'tile-clipped', { things: bench(), gain: [1.4, 1.4, 1.4] }],
    ['red clipped by a warm lamp', 'tile-clipped', { things: bench(), gain: [1.3, 0.9, 0.5] }],
    ['underexposed', 'tile-dark', { things: bench(), gain: [0.08, 0.08, 0.08] }],
    [
      'a shadow across the tile',
      'tile-uneven',
      {
        things: bench().map((t) =>
          t.lab === TILE_LAB ? { ...t, light: (x: number) => (x > 380 ? 0.5 : 1) } : t,
        ),
      },
      { tile: TILE_CORNERS },
    ],
    [
      'the lamp mirrored on the dab',
      'dab-highlight',
      { things: bench(), glare: spot(158, 176, 1, 8) },
    ],
    ...(
      [
        [0.05, 12],
        [0.1, 12],
        [0.8, 20],
      ] as const
    ).map(([peak, width]): [string, RefusalReason, Shot] => [
      `a soft gleam of ${peak}, ${width} px wide, on a dab of the glaze's colour`,
      'dab-highlight',
      { things: bench({ dabLab: GLAZE_LAB }), glare: spot(158, 176, peak, width) },
    ]),
    [
      'a dab too bright for the camera',
      'dab-clipped',
      {
        things: bench({ dabLab: [96, 0, 2] }).map((t) =>
          t.lab[0] === 96 ? { ...t, light: () => 1.8 } : t,
        ),
      },
    ],
    [
      'a dab black in the picture',
      'dab-dark',
      { things: bench({ dabLab: [0.5, 0, 0] }), gain: [0.4, 0.4, 0.4] },
    ],
    [
      'no dab in the picture',
      'dab-missing',
      { things: bench() },
      { dab: { x: -9, y: 60, radius: 9 } },
    ],
    [
      'a dab of 8 pixels',
      'dab-small',
      { things: bench({ dabRadius: 4 }) },
      { dab: { ...DAB_CIRCLE, radius: 4 } },
    ],
    [
      'a dab that is no dab but the bench',
      'ring-unusable',
      { things: bench() },
      { dab: { x: 60, y: 346, radius: 10 } },
    ],
    ...[0.4, 0.6].map((dim): [string, RefusalReason, Shot] => [
      `on the edge between two sides of the piece, one lit ${dim} of the other`,
      'dab-missing',
      { things: bench({ dabLab: GLAZE_LAB, light: (x, y) => (x + 0.3 * y > 206 ? 1 : dim) }) },
    ]),
    [
      'an outline of the tile that was dragged over the dab',
      'tile-covers',
      { things: bench() },
      {
        tile: [
          { x: DAB_CIRCLE.x - 60, y: DAB_CIRCLE.y - 60 },
          { x: DAB_CIRCLE.x + 60, y: DAB_CIRCLE.y - 60 },
          { x: DAB_CIRCLE.x + 60, y: DAB_CIRCLE.y + 60 },
          { x: DAB_CIRCLE.x - 60, y: DAB_CIRCLE.y + 60 },
        ],
      },
    ],
    ['a picture of 100 by 90', 'picture-small', { width: 100, height: 90, things: bench() }],
    ['out of focus', 'picture-blurred', { things: blurred(24) }],
    ['far out of focus', 'picture-blurred', { things: blurred(45) }],
    [
      'beside the piece: a dab of 6 pixels',
      'dab-small',
      { things: beside(DAB_LAB) },
      { dab: { ...onTile, radius: 3 }, dabOn: 'tile' },
    ],
    [
      'beside the piece: glare on the dab',
      'dab-clipped',
      { things: beside(DAB_LAB), glare: spot(380, 115, 4, 5) },
      { dab: onTile, dabOn: 'tile', tile: TILE_CORNERS },
    ],
    [
      'beside the piece: glare on the glaze',
      'glaze-clipped',
      { things: beside(DAB_LAB), glare: spot(150, 280, 4, 14) },
      { dab: onTile, dabOn: 'tile' },
    ],
  ];
  test.each(cases)('%s: %s', (_, reason, shot, regions) => {
    const result = reading(shot, regions);
    expect(reasons(result)).toContain(reason);
    if (result.ok) return;
    for (const { message, remedy } of result.refused) {
      expect(message).toMatch(/^[A-Z].*\.$/);
      expect(remedy).toMatch(/^[A-Z].*\.$/);
      // Never a number that could be taken for a reading.
      expect(message).not.toMatch(/\d/);
    }
  });

  test('the tile stays with the refusal, to be seen and dragged', () => {
    const result = reading({ things: bench(), gain: [1.4, 1.4, 1.4] });
    expect(result.ok).toBe(false);
    expect(result.tile?.polygon).toHaveLength(4);
  });

  test('every reason has words of its own', () => {
    const all = [
      'tile-missing',
      'tile-clipped',
      'tile-dark',
      'tile-uneven',
      'tile-covers',
      'dab-clipped',
      'dab-dark',
      'dab-highlight',
      'dab-missing',
      'dab-small',
      'ring-unusable',
      'glaze-clipped',
      'coloured-reflection',
      'moving',
      'lamp-changed',
      'picture-small',
      'picture-grey',
      'picture-blurred',
    ] as const satisfies readonly RefusalReason[];
    const texts = all.map(refusal);
    expect(new Set(texts.map((t) => t.message)).size).toBe(all.length);
    expect(new Set(texts.map((t) => t.remedy)).size).toBe(all.length);
    expect(texts.map((t) => t.reason)).toEqual(all);
  });
});

describe('read all the same', () => {
  const truth = deltaE2000(GLAZE_LAB, DAB_LAB);
  test.each<[string, Shot]>([
    ['the lamp mirrored beside the dab', { things: bench(), glare: spot(215, 165, 1.5, 6) }],
    ['a warm lamp', { things: bench(), gain: [0.85, 0.7, 0.42] }],
    ['a dim one', { things: bench(), gain: [0.4, 0.4, 0.4] }],
    [
      'a lamp that falls off across the piece',
      {
        things: bench({ light: (x, y) => Math.exp((150 - x) / 400 + (180 - y) / 900) }),
      },
    ],
    [
      'a piece that curves away',
      {
        things: bench({ light: (x) => Math.sqrt(1 - ((x - 150) / 170) ** 2) }),
      },
    ],
    ['a little out of focus', { things: blurred(8) }],
    ['a noisy picture', { things: bench(), noise: 4 }],
  ])('%s', (_, shot) => {
    const result = reading(shot);
    expect(reasons(result)).toEqual(['read']);
    if (!result.ok) return;
    const { deltaE00, interval95 } = result.difference;
    expect(Math.abs(deltaE00 - truth)).toBeLessThan(0.35);
    expect(interval95[0]).toBeLessThan(truth);
    expect(interval95[1]).toBeGreaterThan(truth);
  });
});

test.each([2, 3, 4, 6])('a dab of L* %i is dark, not a highlight: read, or too dark', (L) => {
  for (const glazeLab of [GLAZE_LAB, [30, 2, 4], [15, 0, 0]] as const) {
    for (const gain of [0.8, 0.5]) {
      const dabLab: Triple = [L, 0, 0];
      const result = reading({
        things: benchThings({ glazeLab, dabLab }),
        gain: [gain, gain, gain],
        noise: 1.5,
      });
      if (!result.ok) {
        expect(reasons(result), `on L* ${glazeLab[0]}, gain ${gain}`).toEqual(['dab-dark']);
        continue;
      }
      const truth = deltaE2000(glazeLab, dabLab);
      expect(result.difference.interval95[0]).toBeLessThan(truth);
      expect(result.difference.interval95[1]).toBeGreaterThan(truth);
    }
  }
});

test('a gleam on the dab, sharp or soft: refused, or read within 0.9', () => {
  const truth = deltaE2000(GLAZE_LAB, DAB_LAB);
  let refused = 0;
  for (const peak of [0.08, 0.25, 0.8]) {
    for (const width of [4, 8, 13]) {
      const result = reading({ things: bench(), glare: spot(158, 176, peak, width) });
      if (!result.ok) refused++;
      else
        expect(Math.abs(result.difference.deltaE00 - truth), `${peak}, ${width} px`).toBeLessThan(
          0.9,
        );
    }
  }
  expect(refused).toBeGreaterThan(3);
});

describe('sharpness, from the tile’s edges', () => {
  // A Gaussian blur of deviation σ has a 10–90 % width of 2 × 1.2816 σ (quantiles of the normal
  // distribution).
  test.each([1, 2, 4, 7])('a blur of σ = %i px', (sigma) => {
    // An edge as wide as the picture: its cover tells how deep inside a place lies, px.
    const wide = polygon(TILE_CORNERS, 2000);
    const depth = (x: number, y: number) => 2000 * (wide(x, y) - 0.5);
    const picture = shoot({
      things: [{ lab: TILE_LAB, cover: (x, y) => normalDistribution(depth(x, y) / sigma) }],
    });
    const width = edgeWidth(picture, TILE_CORNERS, 30);
    expect(width! / (2 * 1.2816 * sigma)).toBeGreaterThan(0.9);
    expect(width! / (2 * 1.2816 * sigma)).toBeLessThan(1.15);
  });
});
