// @vitest-environment happy-dom
import { describe, expect, test } from 'vitest';
import { drawnPixels } from '../../src/ui/elements/drawn-pixels.ts';
import { nameSpot } from '../../src/ui/elements/outlines.ts';
import { formatGrams, formatNumber, formatPercent } from '../../src/ui/elements/numbers.ts';
import { additionInWords, additionShort, inDoses } from '../../src/ui/elements/pigment-names.ts';
import { closeLook } from '../../src/ui/elements/verdict.ts';
import { closeUpRect, fitView, insidePicture } from '../../src/ui/elements/view-rect.ts';
import { actionOf, KEY_MAP } from '../../src/ui/state/keys.ts';
import { hashOf, routeOf } from '../../src/ui/state/route.ts';

describe('a picture on a canvas', () => {
  /** Each pixel tells where it is. */
  const picture = (width: number, height: number, maxCode: 255 | 65535) => {
    const rgba = new (maxCode === 255 ? Uint8ClampedArray : Uint16Array)(width * height * 4);
    for (let i = 0; i < width * height; i++) {
      const code = maxCode === 255 ? 1 : 256;
      rgba.set([(i % width) * code, Math.floor(i / width) * code, 7 * code, maxCode], 4 * i);
    }
    return { width, height, rgba, maxCode, frames: 1 };
  };
  test.each([255, 65535] as const)(
    'is drawn as it is where it is small, codes to %i',
    (maxCode) => {
      const drawn = drawnPixels(picture(3, 2, maxCode));
      expect(drawn).toMatchObject({ width: 3, height: 2 });
      expect([...drawn.rgba.subarray(4 * 5)]).toEqual([2, 1, 7, 255]);
    },
  );
  test('is thinned evenly, from edge to edge, where it is large', () => {
    const drawn = drawnPixels(picture(200, 100, 255), 200);
    expect(drawn).toMatchObject({ width: 20, height: 10 });
    const at = (x: number, y: number) => [...drawn.rgba.subarray(4 * (y * 20 + x)).slice(0, 2)];
    // The middle of ten pixels.
    expect(at(0, 0)).toEqual([5, 5]);
    expect(at(7, 3)).toEqual([75, 35]);
    expect(at(19, 9)).toEqual([195, 95]);
  });
});

describe('the name of a circle in the picture', () => {
  const view = { x: 0, y: 0, width: 390, height: 130 };
  test('stands above it where there is room', () => {
    const spot = nameSpot({ x: 200, y: 90, radius: 20 }, 1, view);
    expect(spot.y).toBeLessThan(70);
  });
  // The line that names the picture stands within 32 px of its top.
  test.each([
    ['low, under that line', { x: 200, y: 60, radius: 40 }],
    ['as high as the picture', { x: 200, y: 65, radius: 64 }],
  ])('never %s', (_, circle) => {
    const { y } = nameSpot(circle, 1, view);
    expect(y - 13).toBeGreaterThanOrEqual(32);
    expect(y + 4).toBeLessThanOrEqual(130);
  });
  test('keeps to what is shown, at any scale', () => {
    const near = { x: 1000, y: 500, width: 195, height: 65 };
    const { y } = nameSpot({ x: 1100, y: 530, radius: 20 }, 0.5, near);
    expect(y).toBeGreaterThan(550);
    expect(y).toBeLessThanOrEqual(565);
  });
});

describe('numbers', () => {
  test('a true minus, never a minus zero', () => {
    expect(formatNumber(-1.25, 1)).toBe('−1.3');
    expect(formatNumber(-0.04, 1)).toBe('0.0');
  });
  test('grams as a balance shows them, finer for a small dose', () => {
    expect(formatGrams(5)).toBe('5.00 g');
    expect(formatGrams(0.0123)).toBe('0.012 g');
    expect(formatGrams(0)).toBe('0.00 g');
  });
  test('a share under one percent is not rounded away', () => {
    expect(formatPercent(0.004)).toBe('under 1\u00a0%');
    expect(formatPercent(0)).toBe('0\u00a0%');
    expect(formatPercent(0.129)).toBe('13\u00a0%');
  });
});

describe('pigments in words', () => {
  const pigments = [
    { id: 'white', name: 'titanium white', colourIndex: 'PW 6' },
    { id: 'own', name: 'my grey' },
  ];
  test('the largest addition first, by Colour Index name where there is one', () => {
    expect(additionInWords({ own: 0.02, white: 0.5 }, pigments)).toBe(
      '0.50 g of PW 6 titanium white and 0.020 g of my grey',
    );
    expect(additionInWords({ own: 0.02, white: 0.5, other: 0.1 }, pigments)).toBe(
      '0.50 g of PW 6 titanium white, 0.10 g of other and 0.020 g of my grey',
    );
    expect(additionInWords({}, pigments)).toBe('');
    expect(additionShort({ white: 0.5 }, pigments)).toBe('+ 0.50 g PW 6');
    expect(additionShort({ white: 0.5, own: 0.02 }, pigments)).toBe('+ 0.52 g, 2 paints');
    expect(additionShort({}, pigments)).toBe('first mix');
  });
  test('doses only where a hand could count them', () => {
    const units = [
      { name: 'drop', grams: 0.04 },
      { name: 'touch', grams: 0.01 },
    ];
    expect(inDoses(0.04, units)).toBe('1 drop');
    expect(inDoses(0.03, units)).toBe('3 touches');
    expect(inDoses(0.02, [units[0]!])).toBe('half a drop');
    expect(inDoses(0.103, [units[0]!])).toBe('about 2½ drops, 0.10 g');
    expect(inDoses(0.001, units)).toBeUndefined();
    expect(inDoses(5, units)).toBeUndefined();
  });
});

test('both verdicts together say how close a look it bears', () => {
  expect(closeLook('blends', 'blends')).toMatch(/even to a close look/);
  expect(closeLook('blends', 'shows')).toMatch(/close look finds it/);
  expect(closeLook('shows', 'shows')).toBe('');
});

describe('what the viewfinder shows', () => {
  test('the whole picture, in the box’s own shape, about the same middle', () => {
    const view = fitView({ x: 0, y: 0, width: 1600, height: 900 }, 400, 400);
    expect(view).toEqual({ x: 0, y: -350, width: 1600, height: 1600 });
  });
  test('close up, dab and glaze both stay in sight', () => {
    const dab = { x: 500, y: 500, radius: 20 };
    const glaze = { x: 900, y: 480, radius: 20 };
    const rect = closeUpRect(dab, glaze);
    expect(rect.x).toBeLessThan(dab.x - dab.radius);
    expect(rect.x + rect.width).toBeGreaterThan(glaze.x + glaze.radius);
  });
  test('no point leaves the picture', () => {
    expect(insidePicture({ x: -5, y: 2000 }, 1280, 720)).toEqual({ x: 0, y: 720 });
  });
});

describe('keys', () => {
  const press = (key: string, init: KeyboardEventInit = {}, on: EventTarget = document.body) => {
    let action: ReturnType<typeof actionOf>;
    on.addEventListener('keydown', (event) => (action = actionOf(event as KeyboardEvent)), {
      once: true,
    });
    on.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, ...init }));
    return action;
  };
  test('every line of the map does what it says, and no key has two meanings', () => {
    for (const line of KEY_MAP) {
      for (const key of line.keys) expect(press(key)).toBe(line.action);
    }
    const all = KEY_MAP.flatMap((line) => line.keys);
    expect(new Set(all).size).toBe(all.length);
  });
  test('typing in a field, the browser’s own shortcuts and a held key are left alone', () => {
    const input = document.createElement('input');
    document.body.append(input);
    expect(press('r', {}, input)).toBeUndefined();
    expect(press('r', { ctrlKey: true })).toBeUndefined();
    expect(press('a', { repeat: true })).toBeUndefined();
  });
  test('space on a button presses that button', () => {
    const button = document.createElement('button');
    document.body.append(button);
    expect(press(' ', {}, button)).toBeUndefined();
    expect(press('r', {}, button)).toBe('read');
  });
});

test('an address leads to its screen and back, an unknown one to the bench', () => {
  for (const route of [
    { screen: 'bench' },
    { screen: 'jobs' },
    { screen: 'palette' },
    { screen: 'pot' },
    { screen: 'characterise' },
    { screen: 'characterise', pigment: 'pb-28' },
    { screen: 'record', reading: 'reading/a/b/c/d' },
  ] as const) {
    expect(routeOf(hashOf(route))).toEqual(route);
  }
  expect(routeOf('#/nonsense')).toEqual({ screen: 'bench' });
});
