/**
 * The tile among the things of a real bench: turned, tilted, with a glossy rim and a shadow, on paper as
 * white as itself, under a hand, beside other white things. Pictures are drawn here, with flat colours.
 */
import { describe, expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { shrunk } from '../../src/reading/picture.ts';
import { readTile } from '../../src/reading/tile.ts';
import { edgeQuads } from '../../src/reading/edge-quads.ts';
import { straightEdges } from '../../src/reading/straight-edges.ts';
import { reducedPicture, wellShaped } from '../../src/reading/tile-candidates.ts';
import { findTile } from '../../src/reading/tile-finder.ts';
import type { EncodedPicture, PixelPoint, PixelPolygon } from '../../src/reading/types.ts';
import { runScene } from '../evaluate/one-scene.ts';
import {
  disc,
  linearOf,
  polygon,
  shoot,
  TILE_LAB,
  turnedRectangle,
  type Thing,
  type Triple,
} from './reading-scene.ts';

const cv = nodeOpenCv();
const PAPER: Triple = [95, 0.5, -2];
const BENCHES: Record<string, Triple> = {
  dark: [15, 0, 0],
  grey: [50, 0, 0],
  wood: [58, 12, 26],
  pale: [84, 0, 3],
};
const ON_PIECE = { x: 110, y: 210, radius: 20 };
const piece: Thing = { lab: [62, -8, 16], cover: disc(110, 210, 85) };

const moved = (corners: PixelPolygon, x: number, y: number) =>
  corners.map((p) => ({ x: p.x + x, y: p.y + y }));
const darker = ([L, a, b]: Triple): Triple => [0.72 * L, 0.72 * a, 0.72 * b];

/** Rounded corners: each corner cut off twice. */
function rounded(corners: PixelPolygon, by: number): PixelPoint[] {
  return corners.flatMap((corner, i) => {
    const along = (other: PixelPoint, way: number) => {
      const length = Math.hypot(other.x - corner.x, other.y - corner.y);
      return {
        x: corner.x + (way * (other.x - corner.x)) / length,
        y: corner.y + (way * (other.y - corner.y)) / length,
      };
    };
    const before = corners[(i + 3) % 4]!;
    const after = corners[(i + 1) % 4]!;
    const [a, b, c, d] = [
      along(before, by),
      along(before, 0.4 * by),
      along(after, 0.4 * by),
      along(after, by),
    ];
    return [
      a,
      { x: (a.x + 3 * b.x) / 4, y: (a.y + 3 * b.y) / 4 },
      { x: (d.x + 3 * c.x) / 4, y: (d.y + 3 * c.y) / 4 },
      d,
    ];
  });
}

/** A glazed tile lit from the top left: its shadow, its bevel, its face. */
function glazed(corners: PixelPolygon, liesOn: Triple, light?: Thing['light']): Thing[] {
  const middle = shrunk(corners, 0)[0]!;
  const face = shrunk(corners, 0.955);
  const bevel = (x: number, y: number) => 0.92 + 0.004 * (middle.x - x + (middle.y - y));
  return [
    { lab: darker(liesOn), cover: polygon(moved(corners, 4, 5), 6) },
    { lab: TILE_LAB, cover: polygon(rounded(corners, 6)), light: bevel },
    { lab: TILE_LAB, cover: polygon(rounded(face, 5)), ...(light ? { light } : {}) },
  ];
}

function missedBy(found: PixelPolygon | undefined, corners: readonly PixelPoint[]): number {
  if (found?.length !== 4) return Infinity;
  return Math.max(
    ...corners.map((c) => Math.min(...found.map((p) => Math.hypot(p.x - c.x, p.y - c.y)))),
  );
}

/** Refused, or the light read is that on the tile: 0.8 of what it sends back, as the pictures are lit. */
function readsTheLight(picture: EncodedPicture, found: PixelPolygon | undefined): boolean {
  if (!found) return true;
  const { fault, linearRgb } = readTile(picture, found);
  const expected = linearOf(TILE_LAB).map((v) => 0.8 * v);
  return (
    fault !== undefined || linearRgb.every((v, k) => Math.abs(Math.log(v / expected[k]!)) < 0.02)
  );
}

describe.each(Object.entries(BENCHES))('on a %s bench', (_, backgroundLab) => {
  test('turned and tilted', () => {
    for (let degrees = 0; degrees < 90; degrees += 9) {
      for (const taper of [0, 0.3]) {
        const corners = turnedRectangle({ x: 345, y: 150 }, 130, 115, degrees, taper);
        const picture = shoot({
          backgroundLab,
          things: [piece, ...glazed(corners, backgroundLab)],
          seed: degrees + 1,
          noise: 2,
        });
        const missed = missedBy(findTile(cv, picture, [ON_PIECE]), corners);
        expect(missed, `${degrees}°, taper ${taper}`).toBeLessThan(6);
      }
    }
  });

  test('wholly and partly on paper whiter than itself: found, or refused, never the paper', () => {
    let found = 0;
    for (const degrees of [0, 12, 33, 71]) {
      for (const [x, y, width, height] of [
        [345, 150, 240, 270],
        [400, 130, 150, 250],
        [345, 250, 260, 210],
      ] as const) {
        const corners = turnedRectangle({ x: 345, y: 150 }, 120, 105, degrees, 0.1);
        const sheet: Thing = {
          lab: PAPER,
          cover: polygon(turnedRectangle({ x, y }, width, height, 4)),
        };
        const picture = shoot({
          backgroundLab,
          things: [piece, sheet, ...glazed(corners, PAPER)],
          seed: degrees + 1,
        });
        const polygon_ = findTile(cv, picture, [ON_PIECE]);
        if (polygon_) found++;
        expect(
          readsTheLight(picture, polygon_),
          `${degrees}°, sheet ${width} by ${height} at ${x}, ${y}`,
        ).toBe(true);
      }
    }
    expect(found).toBeGreaterThan(6);
  });

  test('half under a hand: refused, or the light is read from what shows', () => {
    const corners = turnedRectangle({ x: 345, y: 150 }, 130, 115, 15);
    let refused = 0;
    for (const angle of [0, 60, 120, 180, 240, 300]) {
      for (const away of [0, 35, 60]) {
        const turn = (angle * Math.PI) / 180;
        const x = 345 + (away + 110) * Math.cos(turn);
        const y = 150 + (away + 110) * Math.sin(turn);
        const picture = shoot({
          backgroundLab,
          things: [
            piece,
            ...glazed(corners, backgroundLab),
            { lab: [66, 16, 18], cover: disc(x, y, 110, 4) },
          ],
        });
        const found = findTile(cv, picture, [ON_PIECE]);
        if (!found) refused++;
        expect(readsTheLight(picture, found), `hand from ${angle}°, ${away} px off`).toBe(true);
      }
    }
    expect(refused).toBeGreaterThan(3);
  });

  test('running out of the picture: refused, or the light is read from what shows', () => {
    for (const [x, y] of [
      [430, 150],
      [470, 150],
      [345, 30],
      [345, 345],
      [470, 350],
    ] as const) {
      const corners = turnedRectangle({ x, y }, 130, 115, 8);
      const picture = shoot({ backgroundLab, things: [piece, ...glazed(corners, backgroundLab)] });
      expect(readsTheLight(picture, findTile(cv, picture, [ON_PIECE])), `${x}, ${y}`).toBe(true);
    }
  });
});

/** A lamp near the top left: its light on the bench, on the tile and on the piece, 1 at the tile. */
const nearLamp = (x: number, y: number): number =>
  1.15 / (1 + ((x - 120) ** 2 + (y - 60) ** 2) / 420 ** 2);

describe('on a table as white as the tile, a lamp near by', () => {
  const table: Triple = [92.5, 0, 2];
  const everywhere: Thing = { lab: table, cover: () => 1, light: nearLamp };

  /** Its bevel light towards the lamp and dark away from it, a thin shadow with a gap where a thing lies. */
  const whiteOnWhite = (corners: PixelPolygon): Thing[] => {
    const [from, to] = [corners[2]!, corners[3]!];
    const gap = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
    return [
      {
        lab: darker(darker(table)),
        cover: polygon(moved(corners, 2.5, 3), 3),
        light: nearLamp,
      },
      { lab: table, cover: disc(gap.x, gap.y, 14), light: nearLamp },
      {
        lab: TILE_LAB,
        cover: polygon(rounded(corners, 3)),
        light: (x, y) => 1.12 * nearLamp(x, y),
      },
      { lab: TILE_LAB, cover: polygon(rounded(shrunk(corners, 0.97), 3)), light: nearLamp },
    ];
  };
  const glazes: Record<string, Triple> = { coloured: [62, -8, 16], white: [91, 0, 2] };

  test.each(Object.entries(glazes))('beside a %s piece', (_, lab) => {
    for (let degrees = 0; degrees < 90; degrees += 15) {
      const corners = turnedRectangle({ x: 345, y: 150 }, 130, 115, degrees, 0.1);
      const picture = shoot({
        things: [
          everywhere,
          { lab: darker(table), cover: disc(118, 220, 86, 12), light: nearLamp },
          { ...piece, lab, light: nearLamp },
          ...whiteOnWhite(corners),
        ],
        seed: degrees + 1,
      });
      expect(missedBy(findTile(cv, picture, [ON_PIECE]), corners), `${degrees}°`).toBeLessThan(6);
    }
  });

  test('its outline may have gaps that what it encloses runs out of', () => {
    const corners = turnedRectangle({ x: 240, y: 170 }, 150, 130, 12);
    const [a, b] = [corners[0]!, corners[1]!];
    const along = (t: number) => ({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
    const picture = shoot({
      things: [
        everywhere,
        { lab: darker(table), cover: polygon(shrunk(corners, 1.02), 1.5), light: nearLamp },
        { lab: TILE_LAB, cover: polygon(corners), light: nearLamp },
        // Two gaps in the outline, through which what is enclosed runs out.
        ...[0.35, 0.75].map((t): Thing => {
          const { x, y } = along(t);
          return { lab: TILE_LAB, cover: disc(x, y, 9), light: nearLamp };
        }),
      ],
      noise: 0.5,
    });
    const quads = edgeQuads(straightEdges(reducedPicture(cv, picture)), wellShaped);
    expect(Math.min(...quads.map((q) => missedBy(q.polygon, corners)))).toBeLessThan(4);
    expect(missedBy(findTile(cv, picture), corners)).toBeLessThan(4);
  });

  test('without a tile there is none', () => {
    for (const lab of Object.values(glazes)) {
      const window_: Thing = {
        lab: [100, 0, 0],
        cover: polygon(turnedRectangle({ x: 90, y: 180 }, 40, 46, 10), 4),
      };
      const things = [everywhere, { ...piece, lab, light: nearLamp }, window_];
      expect(findTile(cv, shoot({ things }), [ON_PIECE])).toBeUndefined();
    }
  });
});

describe('among other white things', () => {
  const corners = turnedRectangle({ x: 345, y: 120 }, 110, 100, 20, 0.1);
  const others: Record<string, Thing[]> = {
    'a cup': [
      { lab: [92, 0, 2], cover: disc(330, 280, 60) },
      { lab: [70, 0, 4], cover: disc(330, 280, 48, 6) },
    ],
    'a folded towel': [
      {
        lab: [88, 0, 2],
        cover: polygon(turnedRectangle({ x: 330, y: 285 }, 190, 100, -8), 5),
        light: (x, y) => 0.85 + 0.12 * Math.sin(x / 3) * Math.sin(y / 4),
      },
    ],
    'a sheet of paper that runs out of the picture': [
      { lab: PAPER, cover: polygon(turnedRectangle({ x: 430, y: 330 }, 260, 140, -12)) },
    ],
    'a grey card of its size': [
      { lab: [72, 0, 0], cover: polygon(turnedRectangle({ x: 330, y: 280 }, 120, 100, 5)) },
    ],
    'a window mirrored in the piece': [
      {
        lab: [100, 0, 0],
        cover: polygon(turnedRectangle({ x: 90, y: 180 }, 40, 46, 10), 4),
      },
    ],
  };
  test.each(Object.entries(others))('%s', (_, things) => {
    for (const backgroundLab of [BENCHES['grey']!, BENCHES['wood']!]) {
      const picture = shoot({
        backgroundLab,
        things: [piece, ...things, ...glazed(corners, backgroundLab)],
      });
      const on = [
        { x: 120, y: 230, radius: 18 },
        { x: 130, y: 260, radius: 8 },
      ];
      expect(missedBy(findTile(cv, picture, on), corners)).toBeLessThan(5);
    }
  });
});

test('a tile and a sheet as white and of its size: the one that casts a shadow is the tile', () => {
  const corners = turnedRectangle({ x: 330, y: 100 }, 110, 100, 8);
  const sheet: Thing = {
    lab: [93, 1, -3],
    cover: polygon(turnedRectangle({ x: 335, y: 260 }, 115, 104, -14)),
  };
  for (const backgroundLab of [BENCHES['grey']!, BENCHES['wood']!, BENCHES['dark']!]) {
    const deep = glazed(corners, backgroundLab).map((thing, i) =>
      i === 0 ? { ...thing, lab: darker(darker(backgroundLab)) } : thing,
    );
    const picture = shoot({ backgroundLab, things: [piece, sheet, ...deep] });
    expect(missedBy(findTile(cv, picture, [ON_PIECE]), corners)).toBeLessThan(5);
  }
});

test('two white things as like as two tiles, one darker: neither is taken, the person says which', () => {
  const one = turnedRectangle({ x: 330, y: 100 }, 110, 100, 8);
  const other = turnedRectangle({ x: 335, y: 260 }, 110, 100, -14);
  const pair = (lab: Triple) =>
    shoot({
      backgroundLab: BENCHES['grey']!,
      things: [
        piece,
        ...glazed(one, BENCHES['grey']!),
        ...glazed(other, BENCHES['grey']!).map((t) => (t.lab === TILE_LAB ? { ...t, lab } : t)),
      ],
    });
  expect(findTile(cv, pair([88, 2, 6]))).toBeUndefined();
  // Two tiles alike: either tells the light.
  const alike = findTile(cv, pair(TILE_LAB));
  expect(Math.min(missedBy(alike, one), missedBy(alike, other))).toBeLessThan(5);
});

describe('close quarters', () => {
  const bed = BENCHES['wood']!;

  test('two corners reach two edges of the picture: it is whole all the same', () => {
    const corners = turnedRectangle({ x: 78, y: 282 }, 110, 110, 45);
    const away: Thing = { lab: [62, -8, 16], cover: disc(345, 150, 85) };
    const picture = shoot({
      backgroundLab: bed,
      things: [away, { lab: TILE_LAB, cover: polygon(corners) }],
    });
    const on = [{ x: 345, y: 150, radius: 20 }];
    expect(missedBy(findTile(cv, picture, on), corners)).toBeLessThan(4);
  });

  test('a piece leans on it that throws back more light than it does', () => {
    for (const degrees of [0, 8, 16]) {
      const corners = turnedRectangle({ x: 345, y: 150 }, 130, 115, degrees);
      const leaning: Thing = { lab: [97, 1, 4], cover: disc(200, 165, 85), light: () => 1.15 };
      const picture = shoot({
        backgroundLab: bed,
        things: [...glazed(corners, bed), leaning],
        gain: [0.6, 0.6, 0.6],
      });
      const found = findTile(cv, picture, [{ x: 190, y: 170, radius: 20 }]);
      expect(found, `${degrees}°`).toBeDefined();
      const { linearRgb } = readTile(picture, found!);
      linearOf(TILE_LAB).forEach((v, k) =>
        expect(Math.abs(Math.log(linearRgb[k]! / (0.6 * v)))).toBeLessThan(0.02),
      );
    }
  });

  test('a straight edge that runs on into a curved one is seen as far as it is straight', () => {
    const lab: Triple = [90, 0, 2];
    const things = [
      { lab, cover: polygon(turnedRectangle({ x: 175, y: 150 }, 150, 100, 0)) },
      { lab, cover: disc(250, 140, 60) },
    ];
    const picture = shoot({ backgroundLab: bed, things });
    const lower = straightEdges(reducedPicture(cv, picture)).filter(({ from, to }) =>
      [from, to].every((p) => Math.abs(p.y - 200) < 2),
    );
    expect(Math.max(...lower.map(({ length }) => length))).toBeGreaterThan(140);
  });
});

test('noise on dim grey paper draws no tile', async () => {
  const { fault, refused } = (await runScene(30_000_001, 'tune')).outcome;
  expect(fault).toBe('tile-missing');
  expect(refused).toEqual(['tile-missing']);
});
