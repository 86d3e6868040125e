// @vitest-environment happy-dom
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { insidePolygon, polygonArea } from '../../src/reading/picture.ts';
import {
  closeUpOf,
  drawnOutline,
  movedOutline,
  nearestCorner,
  reachOf,
  roundOutline,
  scaledOutline,
  withCorner,
} from '../../src/ui/elements/area-handles.ts';
import '../../src/ui/elements/blend-result.ts';
import { mapInWords } from '../../src/ui/elements/blend-result.ts';
import '../../src/ui/elements/viewfinder.ts';
import type { AreaMarked } from '../../src/ui/elements/viewfinder.ts';
import { INITIAL, type BenchState } from '../../src/ui/state/bench-state.ts';
import { actionAmong, KEY_MAP, MAP_KEYS } from '../../src/ui/state/keys.ts';
import { mapStep } from '../../src/ui/state/map-step.ts';
import type { MapState } from '../../src/ui/state/mapping.ts';
import { hashOf, routeOf } from '../../src/ui/state/route.ts';

const thresholds = { acceptable: 1.8, imperceptible: 0.8 };
const numbers = {
  above: { acceptable: 0.12, imperceptible: 0.4 },
  glazeAbove: { acceptable: 0, imperceptible: 0.03 },
  median: 0.66,
  whole: {
    deltaE00: 0.9,
    interval95: [0.3, 1.6] as const,
    verdict: { acceptable: 'blends' as const },
    words: ['darker'],
  },
  judged: 0.9,
  worst: { deltaE00: 2.94, words: ['darker', 'a little yellower'] },
};

describe('marking the area', () => {
  const circle = Array.from({ length: 60 }, (_, i) => ({
    x: 100 + 50 * Math.cos((2 * Math.PI * i) / 60),
    y: 80 + 50 * Math.sin((2 * Math.PI * i) / 60),
  }));

  test('a drawn circle keeps its shape in ten corners', () => {
    const outline = drawnOutline(circle);
    expect(outline).toHaveLength(10);
    // A regular decagon holds 5 sin 36° = 2.94 r² of the circle's π r²; an uneven one a little less.
    expect(polygonArea(outline) / (Math.PI * 2500)).toBeGreaterThan(0.86);
  });
  test('corners that say most stay: a drawn square keeps its four', () => {
    const side = Array.from({ length: 20 }, (_, i) => i * 5);
    const square = [
      ...side.map((v) => ({ x: v, y: 0 })),
      ...side.map((v) => ({ x: 100, y: v })),
      ...side.map((v) => ({ x: 100 - v, y: 100 })),
      ...side.map((v) => ({ x: 0, y: 100 - v })),
    ];
    const outline = drawnOutline(square);
    for (const corner of [
      { x: 0, y: 0 },
      { x: 100, y: 0 },
      { x: 100, y: 100 },
      { x: 0, y: 100 },
    ]) {
      expect(outline).toContainEqual(corner);
    }
    expect(polygonArea(outline)).toBe(100 * 100);
  });
  test('a tap reaches nowhere, a line as far as its furthest point', () => {
    expect(reachOf([{ x: 3, y: 4 }])).toBe(0);
    expect(reachOf([])).toBe(0);
    expect(reachOf(circle)).toBeCloseTo(100, 0);
  });
  test('a round outline about a place holds it', () => {
    const outline = roundOutline({ x: 40, y: 50 }, 20);
    expect(insidePolygon(outline, 40, 50)).toBe(true);
    for (const p of outline) expect(Math.hypot(p.x - 40, p.y - 50)).toBeCloseTo(20, 9);
  });
  test('moved and scaled, it never leaves the picture', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -500, max: 900, noNaN: true }),
        fc.double({ min: -500, max: 900, noNaN: true }),
        fc.double({ min: 0.2, max: 9, noNaN: true }),
        (x, y, by) => {
          const outline = roundOutline({ x: 100, y: 100 }, 40);
          const all = [
            ...movedOutline(outline, { x, y }, 320, 200),
            ...scaledOutline(outline, by, 320, 200),
          ];
          for (const p of all) {
            expect(p.x).toBeGreaterThanOrEqual(0);
            expect(p.y).toBeGreaterThanOrEqual(0);
            expect(p.x).toBeLessThanOrEqual(320);
            expect(p.y).toBeLessThanOrEqual(200);
          }
        },
      ),
    );
  });
  test('one corner moves, the nearest; the close-up holds the outline with room round it', () => {
    const outline = roundOutline({ x: 0, y: 0 }, 10);
    const nearest = nearestCorner(outline, { x: 30, y: 12 });
    const moved = withCorner(outline, nearest, { x: 30, y: 12 });
    expect(moved.filter((p, i) => p !== outline[i])).toEqual([{ x: 30, y: 12 }]);
    const { x, y, width, height } = closeUpOf(outline);
    expect(x).toBeLessThan(-14);
    expect(y).toBeLessThan(-14);
    expect(x + width).toBeGreaterThan(14);
    expect(y + height).toBeGreaterThan(14);
  });
  test('a keyboard places an outline in the middle and finds its handles', async () => {
    const view = document.createElement('lt-viewfinder');
    view.pictureWidth = 320;
    view.pictureHeight = 180;
    view.target = 'area';
    const marked: AreaMarked[] = [];
    view.addEventListener('lt-area', (event) => {
      const { detail } = event as CustomEvent<AreaMarked>;
      marked.push(detail);
      view.area = detail.polygon;
    });
    document.body.append(view);
    await view.updateComplete;
    await view.focusTarget('area');
    expect(marked).toHaveLength(1);
    expect(marked[0]!.how).toBe('placed');
    expect(insidePolygon(marked[0]!.polygon, 160, 90)).toBe(true);
    const handles = [...view.shadowRoot!.querySelectorAll('lt-handle')];
    expect(handles.map((handle) => handle.name)).toEqual([
      'whole outline',
      ...Array.from({ length: 8 }, (_, i) => `outline corner ${i + 1} of 8`),
    ]);
    view.remove();
  });
});

describe('a map in numbers', () => {
  test('shares, median, worst place, the glaze’s own, and what could not be judged', async () => {
    const element = document.createElement('lt-blend-result');
    element.map = numbers;
    element.thresholds = thresholds;
    document.body.append(element);
    await element.updateComplete;
    const text = element.shadowRoot!.textContent.replace(/\s+/g, ' ');
    expect(text).toMatch(/above 1\.8, more than is accepted 12 %/);
    expect(text).toMatch(/above 0\.8, can be seen 40 %/);
    expect(text).toMatch(/up to 0\.8, not to be seen 60 %/);
    expect(text).toMatch(/As a whole 0\.9, darker blends, 95 %: 0\.3 to 1\.6/);
    expect(text).toMatch(/Median 0\.7/);
    expect(text).toMatch(/2\.9, darker, a little yellower/);
    expect(text).toMatch(/3 % above 0\.8/);
    expect(text).toMatch(/10 % of the area could not be judged/);
    element.remove();
  });
  test('and in one sentence', () => {
    expect(mapInWords(numbers, thresholds)).toBe(
      'Blend map: 12\u00a0% of the area above 1.8, 40\u00a0% above 0.8. As a whole 0.9, darker; 95 % interval 0.3 to 1.6. Worst place 2.9, darker, a little yellower.',
    );
  });
});

describe('what to do next', () => {
  const map: MapState = {
    outline: undefined,
    glaze: undefined,
    target: 'area',
    near: undefined,
    bare: false,
    stale: false,
    busy: undefined,
    refused: [],
    saved: undefined,
    sprayed: false,
  };
  const live: NonNullable<BenchState['live']> = {
    tile: undefined,
    tileFound: false,
    tileLevel: undefined,
    settled: 1,
    framesAveraged: 30,
    moving: false,
    result: undefined,
  };
  const bench: BenchState = {
    ...INITIAL,
    engine: 'ready',
    feed: { kind: 'camera', status: 'running', label: 'Camera', width: 1280, height: 720 },
    live,
  };
  const outline = roundOutline({ x: 100, y: 100 }, 30);
  const marked: MapState = { ...map, outline, target: 'none' };

  test('first the area is asked for', () => {
    expect(mapStep(map, bench)).toMatch(/draw round/i);
  });
  test('then rest, then patience, then the reason why not', () => {
    expect(mapStep(marked, { ...bench, live: { ...live, moving: true } })).toMatch(/moves/);
    expect(mapStep(marked, bench)).toMatch(/mapping/i);
    const refused = [{ reason: 'tile-missing', message: 'No tile.', remedy: 'Lay one.' }] as const;
    const without = { ...live, map: { ok: false, refused } as const };
    expect(mapStep(marked, { ...bench, live: without })).toBe('Lay one.');
    expect(mapStep({ ...marked, stale: true }, { ...bench, live: without })).toMatch(/mapping/i);
  });
});

test('the map has its own address, and each saved map too', () => {
  expect(routeOf('#/map')).toEqual({ screen: 'map' });
  const saved = { screen: 'map', map: 'map/J/P/A/M' } as const;
  expect(routeOf(hashOf(saved))).toEqual(saved);
});

test('one key goes to the map and the same key back; no key means two things', () => {
  const press = (key: string) => new KeyboardEvent('keydown', { key });
  expect(actionAmong(KEY_MAP, press('m'))).toBe('map');
  expect(actionAmong(MAP_KEYS, press('m'))).toBe('bench');
  const keys = MAP_KEYS.flatMap((line) => line.keys);
  expect(new Set(keys).size).toBe(keys.length);
});
