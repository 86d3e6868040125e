import { describe, expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { readBlendMap, type BlendMap, type BlendMapRequest } from '../../src/reading/blend-map.ts';
import { contourLines } from '../../src/reading/contour-lines.ts';
import { shapeOf } from '../../src/reading/marked-area.ts';
import { insidePolygon, polygonArea } from '../../src/reading/picture.ts';
import { meanOverSquares } from '../../src/reading/pixel-means.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import {
  deltaE2000,
  disc,
  polygon,
  shoot,
  TILE_LAB,
  turnedRectangle,
  uniforms,
  type Shot,
  type Thing,
  type Triple,
} from './reading-scene.ts';

const cv = nodeOpenCv();
const GLAZE: Triple = [68, -6, 14];
/** Left half nearly right, right half plainly not. */
const NEAR: Triple = [66.75, -6, 14];
const FAR: Triple = [66, -4.2, 11.2];
const NEAR_DIFFERENCE = deltaE2000(GLAZE, NEAR);
const FAR_DIFFERENCE = deltaE2000(GLAZE, FAR);

const AREA = turnedRectangle({ x: 170, y: 180 }, 110, 110);
const PIECE = turnedRectangle({ x: 170, y: 180 }, 300, 320);
const TILE = turnedRectangle({ x: 440, y: 110 }, 120, 110, 8);
/** A curved piece in front of a near lamp. */
const light = (x: number, y: number) => Math.exp(-(x - 170) / 500 - ((y - 180) / 260) ** 2);

interface Spray {
  readonly left?: Triple;
  readonly right?: Triple;
  readonly on?: readonly Thing[];
  readonly shot?: Partial<Shot>;
  readonly noTile?: boolean;
}
function sprayed({ left = NEAR, right = FAR, on = [], shot = {}, noTile = false }: Spray = {}) {
  return shoot({
    width: 520,
    height: 380,
    things: [
      { lab: GLAZE, cover: polygon(PIECE), light },
      { lab: left, cover: polygon(turnedRectangle({ x: 142.5, y: 180 }, 55, 110)), light },
      { lab: right, cover: polygon(turnedRectangle({ x: 197.5, y: 180 }, 55, 110)), light },
      ...on,
      ...(noTile ? [] : [{ lab: TILE_LAB, cover: polygon(TILE) }]),
    ],
    ...shot,
  });
}
const mapOf = (spray?: Spray, request: Partial<BlendMapRequest> = {}) =>
  readBlendMap(cv, sprayed(spray), { area: AREA, ...request }, DEFAULT_SETTINGS);
function mapped(spray?: Spray, request?: Partial<BlendMapRequest>): BlendMap {
  const map = mapOf(spray, request);
  if (!map.ok) throw new Error(map.refused.map((r) => r.reason).join());
  return map;
}

/** Median over a rectangle of the picture. */
function medianIn({ deltaE00, crop }: BlendMap, x0: number, x1: number, y0 = 135, y1 = 225) {
  const values: number[] = [];
  for (let y = y0; y < y1; y++) {
    for (let x = x0; x < x1; x++) {
      const v = deltaE00[(y - crop.y) * crop.width + x - crop.x]!;
      if (!Number.isNaN(v)) values.push(v);
    }
  }
  return values.sort((p, q) => p - q)[values.length >> 1]!;
}
const missed = (map: BlendMap) => ({
  near: Math.abs(medianIn(map, 122, 160) - NEAR_DIFFERENCE),
  far: Math.abs(medianIn(map, 180, 218) - FAR_DIFFERENCE),
});

describe('a square sprayed half nearly right, half plainly not', () => {
  const map = mapped();

  test('the scene is what it says: about 1 on the left, about 3 on the right', () => {
    expect(NEAR_DIFFERENCE).toBeGreaterThan(0.9);
    expect(NEAR_DIFFERENCE).toBeLessThan(1.1);
    expect(FAR_DIFFERENCE).toBeGreaterThan(2.5);
    expect(FAR_DIFFERENCE).toBeLessThan(3.2);
  });
  test('both halves come out by their true difference, the light of a curved piece taken away', () => {
    expect(missed(map).near).toBeLessThan(0.15);
    expect(missed(map).far).toBeLessThan(0.15);
    expect(map.judged).toBe(1);
  });
  test('half of it is above 1.8, all but the fringe above 0.8; the glaze round it is below', () => {
    expect(Math.abs(map.above.acceptable - 0.5)).toBeLessThan(0.04);
    expect(map.above.imperceptible).toBeGreaterThan(0.94);
    expect(map.glazeAbove.acceptable).toBeLessThan(0.005);
    expect(map.glazeAbove.imperceptible).toBeLessThan(0.03);
  });
  test('as a whole it differs by what the mean of the two halves does, and it shows', () => {
    const mean = NEAR.map((v, k) => (v + FAR[k]!) / 2) as unknown as Triple;
    const { deltaE00, interval95, verdict, words } = map.whole;
    expect(Math.abs(deltaE00 - deltaE2000(GLAZE, mean))).toBeLessThan(0.2);
    expect(interval95[0]).toBeLessThan(deltaE2000(GLAZE, mean));
    expect(interval95[1]).toBeGreaterThan(deltaE2000(GLAZE, mean));
    expect(verdict.imperceptible).toBe('shows');
    expect(words).toContain('darker');
    expect(mapped({ left: GLAZE, right: GLAZE }).whole.verdict.acceptable).toBe('blends');
  });
  test('the line at 1.8 runs down the middle and round the right half', () => {
    expect(map.contours.acceptable).toHaveLength(1);
    const line = map.contours.acceptable[0]!;
    const xs = line.map((p) => p.x);
    expect(Math.abs(Math.min(...xs) - 170)).toBeLessThan(3);
    expect(Math.abs(Math.max(...xs) - 225)).toBeLessThan(3);
    expect(polygonArea(line) / (55 * 110)).toBeGreaterThan(0.9);
    expect(polygonArea(line) / (55 * 110)).toBeLessThan(1.08);
  });
  test('the worst place lies in the right half, and is about as bad as that half', () => {
    expect(map.worst.x).toBeGreaterThan(172);
    expect(insidePolygon(AREA, map.worst.x, map.worst.y)).toBe(true);
    expect(Math.abs(map.worst.deltaE00 - FAR_DIFFERENCE)).toBeLessThan(0.5);
  });
  test('how it differs there is said as it was made: darker, and weaker, for FAR is greyer', () => {
    expect(map.worst.words).toContain('darker');
    expect(map.worst.words.some((word) => word.endsWith('weaker'))).toBe(true);
  });
  test('the median lies between the halves; of one colour it is that colour’s difference', () => {
    expect(map.median).toBeGreaterThan(NEAR_DIFFERENCE - 0.15);
    expect(map.median).toBeLessThan(FAR_DIFFERENCE + 0.15);
    expect(Math.abs(mapped({ left: FAR }).median - FAR_DIFFERENCE)).toBeLessThan(0.15);
  });
  test('the map covers area and ring, the mask the area', () => {
    expect(map.deltaE00).toHaveLength(map.crop.width * map.crop.height);
    expect(map.inArea.reduce((sum, v) => sum + v, 0) / (110 * 110)).toBeCloseTo(1, 1);
    expect(map.crop.x).toBeLessThan(115 - 40);
  });
});

describe('the same in other pictures', () => {
  test('16 bits, averaged', () => {
    const map = mapped({ shot: { maxCode: 65535, noise: 0.2 } });
    expect(missed(map).near).toBeLessThan(0.15);
    expect(missed(map).far).toBeLessThan(0.15);
  });
  test('a noisy one: noise does not count as difference', () => {
    const map = mapped({ shot: { noise: 3 } });
    expect(missed(map).near).toBeLessThan(0.2);
    expect(missed(map).far).toBeLessThan(0.2);
    const equal = mapped({ left: GLAZE, right: GLAZE, shot: { noise: 3 } });
    expect(equal.above.acceptable).toBeLessThan(0.005);
    expect(equal.above.imperceptible).toBeLessThan(0.12);
  });
  test('equal colours: nothing above either threshold, no lines, no place that shows', () => {
    const map = mapped({ left: GLAZE, right: GLAZE });
    expect(medianIn(map, 122, 218)).toBeLessThan(0.35);
    expect(map.above.acceptable).toBe(0);
    expect(map.above.imperceptible).toBeLessThan(0.01);
    expect(map.contours).toEqual({ acceptable: [], imperceptible: [] });
    expect(map.worst.deltaE00).toBeLessThan(0.8);
  });
  test('a warm lamp, the area marked as a circle', () => {
    const map = mapped(
      { shot: { gain: [0.85, 0.7, 0.42] } },
      { area: { x: 170, y: 180, radius: 55 } },
    );
    expect(missed(map).near).toBeLessThan(0.2);
    expect(missed(map).far).toBeLessThan(0.2);
    expect(Math.abs(map.above.acceptable - 0.5)).toBeLessThan(0.04);
  });
  test('a band of other colour near by is no glaze', () => {
    const band: Thing = {
      lab: [40, 5, -30],
      cover: polygon(turnedRectangle({ x: 170, y: 275 }, 300, 34)),
      light,
    };
    const map = mapped({ on: [band] });
    expect(missed(map).near).toBeLessThan(0.15);
    expect(missed(map).far).toBeLessThan(0.15);
    expect(map.glazeAbove.acceptable).toBeLessThan(0.02);
  });
});

describe('what must not win', () => {
  test('a single wild pixel', () => {
    const pixel = (x: number, y: number) =>
      Math.floor(x) === 140 && Math.floor(y) === 170 ? 1 : 0;
    const { worst } = mapped({ on: [{ lab: [20, 30, 10], cover: pixel }] });
    expect(worst.x).toBeGreaterThan(172);
  });
  test('but a run in the paint does', () => {
    const { worst } = mapped({ on: [{ lab: [58, -2, 18], cover: disc(140, 200, 8), light }] });
    expect(Math.hypot(worst.x - 140, worst.y - 200)).toBeLessThan(6);
    expect(worst.deltaE00).toBeGreaterThan(5);
  });
  test('the lamp mirrored in it: left out, and said so', () => {
    const glare = (x: number, y: number) =>
      2 * Math.exp(-((x - 195) ** 2 + (y - 165) ** 2) / (2 * 5 ** 2));
    const map = mapped({ shot: { glare } });
    expect(map.judged).toBeLessThan(0.98);
    expect(map.judged).toBeGreaterThan(0.75);
    expect(missed(map).far).toBeLessThan(0.15);
    expect(map.worst.deltaE00).toBeLessThan(FAR_DIFFERENCE + 1);
    const { deltaE00, crop } = map;
    expect(deltaE00[(165 - crop.y) * crop.width + 195 - crop.x]).toBeNaN();
  });
});

describe('refused', () => {
  const spot = (peak: number, width: number) => (x: number, y: number) =>
    peak * Math.exp(-((x - 170) ** 2 + (y - 180) ** 2) / (2 * width * width));
  const checks: Thing = {
    lab: [60, -6, 14],
    cover: (x, y) => ((Math.floor(x / 16) + Math.floor(y / 16)) % 2) * polygon(PIECE)(x, y),
    light,
  };
  const cases: readonly [string, string, Spray, Partial<BlendMapRequest>?][] = [
    ['no tile', 'tile-missing', { noTile: true }],
    ['an overexposed tile', 'tile-clipped', { shot: { gain: [1.4, 1.4, 1.4] } }],
    ['an underexposed one', 'tile-dark', { shot: { gain: [0.1, 0.1, 0.1] } }],
    ['an area that leaves the picture', 'dab-missing', {}, { area: { x: 30, y: 180, radius: 50 } }],
    ['a tiny area', 'dab-small', {}, { area: { x: 170, y: 180, radius: 6 } }],
    [
      'an area of no width',
      'dab-small',
      {},
      {
        area: [
          { x: 120, y: 150 },
          { x: 200, y: 150 },
          { x: 160, y: 150 },
        ],
      },
    ],
    ['glare all over it', 'dab-highlight', { shot: { glare: spot(0.6, 22) } }],
    ['a broad gleam over area and glaze', 'ring-unusable', { shot: { glare: spot(0.3, 60) } }],
    ['a glaze of bold checks', 'ring-unusable', { on: [checks] }],
    [
      'too bright for the camera',
      'dab-clipped',
      { on: [{ lab: [99, 0, 0], cover: disc(170, 180, 60), light: () => 2 }] },
    ],
    ['black in the picture', 'dab-dark', { on: [{ lab: [0.3, 0, 0], cover: disc(170, 180, 60) }] }],
    [
      'no glaze left round it',
      'ring-unusable',
      {},
      { area: turnedRectangle({ x: 170, y: 180 }, 280, 300), glaze: { x: 170, y: 335, radius: 3 } },
    ],
  ];
  test.each(cases)('%s: %s', (_, reason, spray, request) => {
    const map = mapOf(spray, request);
    expect(map.ok ? 'read' : map.refused.map((r) => r.reason)).toEqual([reason]);
    if (map.ok) return;
    for (const { message, remedy } of map.refused) {
      expect(message).toMatch(/^[A-Z].*\.$/);
      expect(remedy).toMatch(/^[A-Z].*\.$/);
    }
  });
});

describe('its parts', () => {
  test('means over squares are means over the pixels that count', () => {
    const [width, height, by] = [17, 11, 2];
    const uniform = uniforms(5);
    const values = Float32Array.from({ length: width * height }, uniform);
    const counts = Uint8Array.from({ length: width * height }, () => (uniform() < 0.8 ? 1 : 0));
    const means = values.slice();
    meanOverSquares([means], counts, width, height, by);
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        let [sum, count] = [0, 0];
        for (let v = Math.max(0, y - by); v <= Math.min(height - 1, y + by); v++) {
          for (let u = Math.max(0, x - by); u <= Math.min(width - 1, x + by); u++) {
            if (!counts[v * width + u]) continue;
            sum += values[v * width + u]!;
            count++;
          }
        }
        expect(means[y * width + x]).toBeCloseTo(
          count > 0 ? sum / count : values[y * width + x]!,
          5,
        );
      }
    }
  });

  test.each([
    [100, 80],
    [900, 700],
  ])('lines of a cone are circles, %i × %i', (width, height) => {
    const radius = height / 4;
    const [cx, cy] = [0.5 * width, 0.45 * height];
    const cone = Float32Array.from(
      { length: width * height },
      (_, i) => 10 - Math.hypot((i % width) + 0.5 - cx, Math.floor(i / width) + 0.5 - cy) / radius,
    );
    const lines = contourLines(cone, width, height, 9);
    expect(lines).toHaveLength(1);
    for (const p of lines[0]!) {
      expect(Math.abs(Math.hypot(p.x - cx, p.y - cy) / radius - 1)).toBeLessThan(0.03);
    }
  });

  test('nothing known, nothing drawn', () => {
    expect(contourLines(new Float32Array(600).fill(NaN), 30, 20, 1)).toEqual([]);
    expect(contourLines(new Float32Array(600).fill(0.5), 30, 20, 1)).toEqual([]);
  });

  test('distances from a marked outline, notch and all', () => {
    // An L: 100 × 100 without its upper right quarter.
    const shape = shapeOf([
      { x: 0, y: 0 },
      { x: 50, y: 0 },
      { x: 50, y: 50 },
      { x: 100, y: 50 },
      { x: 100, y: 100 },
      { x: 0, y: 100 },
    ]);
    expect(shape.radius).toBeCloseTo(Math.sqrt(7500 / Math.PI), 10);
    expect(shape.distance(75, 25)).toBeCloseTo(25, 10);
    expect(shape.distance(25, 25)).toBeCloseTo(-25, 10);
    expect(shape.distance(45, 55)).toBeCloseTo(-Math.hypot(5, 5), 10);
    expect(shape.distance(-3, -4)).toBeCloseTo(5, 10);
    expect(shapeOf({ x: 10, y: 10, radius: 5 }).distance(10, 18)).toBeCloseTo(3, 10);
  });
});
