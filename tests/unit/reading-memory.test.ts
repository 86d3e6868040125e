/** OpenCV's memory is freed by hand: what a reading makes there it must delete, refused or not. */
import { expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import type { OpenCv } from '../../src/reading/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { findLitTile } from '../../src/reading/reference.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import { cellsOf, shiftBetween } from '../../src/reading/registration.ts';
import type { EncodedPicture, Regions } from '../../src/reading/types.ts';
import { readBlendMap } from '../../src/reading/blend-map.ts';
import { LiveBench } from '../../workers/live-bench.ts';
import { LiveMap } from '../../workers/live-map.ts';
import { disc, polygon, shoot, turnedRectangle, type Shot, type Triple } from './reading-scene.ts';

interface Handle {
  isDeleted(): boolean;
  get?: (index: number) => Handle;
  roi?: (rect: unknown) => Handle;
}
const isHandle = (value: unknown): value is Handle =>
  typeof value === 'object' && value !== null && 'isDeleted' in value;

/** The same OpenCV, which remembers every object that was made in its memory. */
function watched(cv: OpenCv): { cv: OpenCv; made: Handle[]; live: () => number } {
  const made: Handle[] = [];
  const keep = (value: unknown): unknown => {
    if (!isHandle(value)) return value;
    made.push(value);
    // Parts taken from it are objects of their own.
    for (const name of ['get', 'roi'] as const) {
      const take = (value[name] as ((...args: unknown[]) => unknown) | undefined)?.bind(value);
      if (take) Object.assign(value, { [name]: (...args: unknown[]) => keep(take(...args)) });
    }
    return value;
  };
  type Callable = (...args: unknown[]) => unknown;
  const wrapped = new Map<unknown, unknown>();
  const wrap = (value: unknown, owner: object): unknown => {
    if (typeof value !== 'function') return value;
    let proxy = wrapped.get(value);
    if (!proxy) {
      proxy = new Proxy(value as Callable, {
        construct: (made_, args: unknown[]) => keep(Reflect.construct(made_, args)) as object,
        apply: (function_, _this, args: unknown[]) => keep(Reflect.apply(function_, owner, args)),
        get: (function_, name) => wrap(Reflect.get(function_, name), function_),
      });
      wrapped.set(value, proxy);
    }
    return proxy;
  };
  return {
    cv: new Proxy(cv, { get: (all, name) => wrap(Reflect.get(all, name), all) }),
    made,
    live: () => made.filter((handle) => !handle.isDeleted()).length,
  };
}

const corners = turnedRectangle({ x: 190, y: 45 }, 60, 50, 6);
const dab = { x: 75, y: 95, radius: 15 };
const regions: Regions = { dab, glaze: { x: 75, y: 150, radius: 8 }, dabOn: 'piece' };
function picture(dabLab: Triple, change: Partial<Shot> = {}): EncodedPicture {
  return shoot({
    width: 240,
    height: 180,
    things: [
      { lab: [68, -6, 14], cover: polygon(turnedRectangle({ x: 75, y: 95 }, 130, 150)) },
      { lab: dabLab, cover: disc(dab.x, dab.y, dab.radius) },
      { lab: [93, -0.6, 1.5], cover: polygon(corners) },
    ],
    ...change,
  });
}

test('the watch sees what is made, what is deleted and what is left', () => {
  const { cv, made, live } = watched(nodeOpenCv());
  const mat = new cv.Mat(4, 4, cv.CV_8UC1);
  const eye = cv.Mat.eye(2, 2, cv.CV_32FC1);
  const part = mat.roi({ x: 0, y: 0, width: 2, height: 2 });
  const list = new cv.MatVector();
  const copied = cv.matFromArray(1, 3, cv.CV_8UC1, [1, 2, 3]);
  expect([made.length, live()]).toEqual([5, 5]);
  for (const handle of [mat, part, list]) handle.delete();
  expect(live()).toBe(2);
  for (const handle of [eye, copied]) handle.delete();
  expect(live()).toBe(0);
});

test('fifty readings, read and refused, leave nothing behind', () => {
  const { cv, made, live } = watched(nodeOpenCv());
  const glare = (x: number, y: number) => Math.exp(-((x - 78) ** 2 + (y - 92) ** 2) / 40);
  const pictures = [
    picture([68, -6, 14]),
    picture([62, -4, 10]),
    picture([30, 10, -20]),
    picture([66, -6, 13], { glare }),
    picture([66, -6, 13], { gain: [1.5, 1.5, 1.5] }),
    picture([66, -6, 13], { noise: 30 }),
    picture([66, -6, 13], { things: [] }),
    picture([0, 0, 0]),
  ];
  const outcomes = new Set<string>();
  for (let i = 0; i < 50; i++) {
    const result = read(
      cv,
      pictures[i % pictures.length]!,
      i % 7 === 3 ? { ...regions, dab: { ...dab, x: 20, y: 20 } } : regions,
      DEFAULT_SETTINGS,
    );
    outcomes.add(result.ok ? 'read' : result.refused[0]!.reason);
    if (i % 10 === 0) expect(live()).toBe(0);
  }
  expect(live()).toBe(0);
  expect(made.length).toBeGreaterThan(500);
  expect(outcomes.size).toBeGreaterThan(3);
  expect(outcomes).toContain('read');
});

test('following a camera that moves leaves nothing behind', () => {
  const { cv, made, live } = watched(nodeOpenCv());
  const still = picture([60, 0, 0]);
  const bounds = { x: 40, y: 60, width: 70, height: 70 };
  const cells = (first: number) =>
    cellsOf({ rgba: still.rgba as Uint8Array, first, stride: still.width }, bounds);
  for (let i = 0; i < 10; i++) {
    shiftBetween(cv, cells(60 * 240 + 40), cells((60 + (i % 3)) * 240 + 40 + i));
  }
  expect(made.length).toBeGreaterThan(10);
  expect(live()).toBe(0);
});

test('four hundred live frames, still, shaken, pointed elsewhere, under another lamp, leave nothing behind', async () => {
  const { cv, made, live: alive } = watched(nodeOpenCv());
  const scene = (seed: number, gain = [0.8, 0.8, 0.8] as Triple) =>
    picture([62, -4, 10], { seed, gain });
  const still = [1, 2, 3, 4].map((seed) => scene(seed));
  const warm = [5, 6, 7].map((seed) => scene(seed, [0.84, 0.8, 0.76]));
  const shaken = { ...still[0]!, rgba: still[0]!.rgba.slice() };
  shaken.rgba.copyWithin(0, 4 * (15 * 240 + 25));
  const bench = new LiveBench<EncodedPicture>({
    cv,
    pixels: {
      sizeOf: (frame) => frame,
      fetch: ({ rgba, width }, { x, y }) =>
        Promise.resolve({ rgba: rgba as Uint8Array, first: y * width + x, stride: width }),
    },
    find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
    read: (...given) => Promise.resolve(read(cv, ...given)),
    now: () => 0,
  });
  const seen = { read: 0, moving: 0, lampChanged: 0, held: 0 };
  for (let i = 0; i < 400; i++) {
    if (i % 100 === 0) {
      bench.point({ ...regions, dab: { ...dab, x: dab.x + i / 100 } }, DEFAULT_SETTINGS, i);
    }
    const part = i % 100;
    const set = part < 50 ? still : part < 54 ? [still[1]!, shaken] : part < 80 ? still : warm;
    const report = await bench.analyse(set[i % set.length]!);
    if (report.result?.ok) seen.read++;
    if (report.moving) seen.moving++;
    if (report.lampChanged) seen.lampChanged++;
    if (report.held) seen.held++;
    if (part === 99) await bench.capture();
    expect(alive()).toBe(0);
  }
  expect(made.length).toBeGreaterThan(1000);
  expect(Math.min(...Object.values(seen))).toBeGreaterThan(3);
});

test('live maps of an area, still, shaken and marked elsewhere, leave nothing behind', async () => {
  const { cv, made, live: alive } = watched(nodeOpenCv());
  const still = [1, 2, 3, 4].map((seed) => picture([62, -4, 10], { seed, gain: [0.8, 0.8, 0.8] }));
  const shaken = { ...still[0]!, rgba: still[0]!.rgba.slice() };
  shaken.rgba.copyWithin(0, 4 * (15 * 240 + 25));
  const bench = new LiveMap<EncodedPicture>({
    cv,
    pixels: {
      sizeOf: (frame) => frame,
      fetch: ({ rgba, width }, { x, y }) =>
        Promise.resolve({ rgba: rgba as Uint8Array, first: y * width + x, stride: width }),
    },
    find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
    map: (...given) => Promise.resolve(readBlendMap(cv, ...given)),
    now: () => 0,
  });
  const seen = { maps: 0, moving: 0 };
  for (let i = 0; i < 240; i++) {
    if (i % 80 === 0) bench.watch({ area: { ...dab, radius: 16 + i / 80 } }, DEFAULT_SETTINGS, i);
    const set = i % 80 > 60 && i % 80 < 66 ? [still[1]!, shaken] : still;
    const report = await bench.analyse(set[i % set.length]!);
    if (report.map?.ok) seen.maps++;
    if (report.moving) seen.moving++;
    if (i % 80 === 55) await bench.capture();
    expect(alive()).toBe(0);
  }
  expect(made.length).toBeGreaterThan(500);
  expect(Math.min(...Object.values(seen))).toBeGreaterThan(3);
});
