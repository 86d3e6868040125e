import { describe, expect, test } from 'vitest';
import { DemoBench } from '../../calibration-samples/render/demo.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { findLitTile } from '../../src/reading/reference.ts';
import type { ReadingSettings, Regions } from '../../src/reading/types.ts';
import type { LiveReport } from '../../workers/bench-api.ts';
import { Cadence } from '../../workers/cadence.ts';
import { LiveBench } from '../../workers/live-bench.ts';
import type { PixelsOf } from '../../workers/tile-search.ts';

interface Frame {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray;
}

/** As the worker's own, but from plain buffers; counts what was fetched. */
class PlainPixels implements PixelsOf<Frame> {
  fetched = 0;
  /** Runs while pixels are under way. */
  meanwhile: () => void = () => undefined;
  sizeOf(frame: Frame): Frame {
    return frame;
  }
  fetch({ rgba, width }: Frame, rect: { x: number; y: number; width: number; height: number }) {
    this.fetched += rect.width * rect.height;
    this.meanwhile();
    return Promise.resolve({ rgba, first: rect.y * width + rect.x, stride: width });
  }
}

const demo = new DemoBench({ white: 5, blue: 0.02 });
const regions: Partial<Regions> = {
  glaze: demo.regions.glaze,
  dab: demo.regions.dab,
  dabOn: 'piece',
};
const settings: ReadingSettings = {
  tileColour: { lab: labD65(...demo.tileLab), standardUncertainty: [0.5, 0.3, 0.3] },
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
};
let clock = 0;
// The bench shakes for a second after a dab is laid; all frames here are from after that.
const still = Array.from({ length: 12 }, (_, i) => demo.frame(5000 + 33 * i));

function bench(pixels = new PlainPixels()) {
  clock = 0;
  const cv = nodeOpenCv();
  return new LiveBench<Frame>({
    cv,
    pixels,
    find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
    read: (...given) => Promise.resolve(read(cv, ...given)),
    now: () => (clock += 1),
  });
}
async function show(live: LiveBench<Frame>, count: number): Promise<LiveReport[]> {
  const reports: LiveReport[] = [];
  for (let i = 0; i < count; i++) reports.push(await live.analyse(still[i % still.length]!));
  return reports;
}

describe('live bench', () => {
  test('without being pointed at, it finds the tile and reads nothing', async () => {
    const reports = await show(bench(), 20);
    expect(reports.map((r) => r.frame)).toEqual(reports.map((_, i) => i + 1));
    const last = reports[19]!;
    expect(last.tile?.found).toBe(true);
    expect(last.tile?.polygon).toHaveLength(4);
    expect(last.tile?.level).toBeGreaterThan(0.7);
    expect(reports.every((r) => r.result === undefined)).toBe(true);
  });

  test('pointed at, it reads early, then again when the average has grown', async () => {
    const live = bench();
    live.point(regions, settings, 1);
    const reports = await show(live, 40);
    const readings = reports.filter((r) => r.result?.ok);
    expect(readings[0]!.framesAveraged).toBeLessThanOrEqual(2);
    expect(readings.length).toBeGreaterThanOrEqual(3);
    expect(readings.length).toBeLessThan(12);
    expect(reports.every((r) => r.pointing === 1)).toBe(true);
    const { result } = readings[readings.length - 1]!;
    if (!result?.ok) throw new Error('no reading');
    const [low, high] = result.difference.interval95;
    expect(demo.truth!.deltaE00).toBeGreaterThan(low - 0.2);
    expect(demo.truth!.deltaE00).toBeLessThan(high + 0.2);
    expect(result.tile.found).toBe(true);
  });

  test('settled, the number holds: no more readings, until something moves', async () => {
    const live = bench();
    live.point(regions, settings, 1);
    const reports = await show(live, 300);
    const settling = reports.filter((r) => r.settled < 1);
    expect(settling.every((r) => !r.held)).toBe(true);
    expect(reports.slice(-200).every((r) => r.held && r.result === undefined)).toBe(true);
    const shaken = { ...still[0]!, rgba: still[0]!.rgba.slice() };
    shaken.rgba.copyWithin(0, 4 * (40 * demo.width + 60));
    for (let i = 0; i < 3; i++) await live.analyse(shaken);
    const after = await show(live, 60);
    expect(after[0]!.held).toBe(false);
    expect(after.some((r) => r.result?.ok)).toBe(true);
    expect(after[59]!.held).toBe(true);
  });

  test('while the tile is looked for, frames go on; a search overtaken by another place is dropped', async () => {
    const cv = nodeOpenCv();
    const searches: (() => void)[] = [];
    const live = new LiveBench<Frame>({
      cv,
      pixels: new PlainPixels(),
      find: (...given) =>
        new Promise((resolve) => searches.push(() => resolve(findLitTile(cv, ...given)))),
      read: (...given) => Promise.resolve(read(cv, ...given)),
      now: () => (clock += 1),
    });
    live.point(regions, settings, 1);
    const waiting = await show(live, 4);
    // Not missing: it is still being looked for.
    expect(waiting.every((r) => r.tile === undefined && r.result === undefined)).toBe(true);
    expect(searches).toHaveLength(1);
    live.point({ ...regions, glaze: { ...demo.regions.glaze, radius: 9 } }, settings, 2);
    await show(live, 1);
    expect(searches).toHaveLength(2);
    searches[0]!();
    expect((await show(live, 2))[1]!.tile).toBeUndefined();
    searches[1]!();
    expect((await show(live, 2))[1]!.tile?.found).toBe(true);
  });

  test('a steady frame fetches only what counts', async () => {
    const pixels = new PlainPixels();
    const live = bench(pixels);
    live.point(regions, settings, 1);
    await show(live, 20);
    pixels.fetched = 0;
    await show(live, 20);
    const whole = demo.width * demo.height;
    expect(pixels.fetched / 20).toBeLessThan(0.6 * whole);
  });

  test('a tile that is given is used as given', async () => {
    const live = bench();
    const tile = demo.regions.tile.map((p) => ({ x: p.x + 3, y: p.y - 2 }));
    live.point({ ...regions, tile }, settings, 1);
    const reports = await show(live, 12);
    const last = reports[11]!;
    expect(last.tile).toMatchObject({ found: false, polygon: tile });
    const result = reports.find((r) => r.result?.ok)?.result;
    expect(result?.ok && result.tile).toMatchObject({ found: false, polygon: tile });
  });

  test('movement is said once, refuses, and ends with a new average', async () => {
    const live = bench();
    live.point(regions, settings, 1);
    await show(live, 20);
    const shaken = { ...still[0]!, rgba: still[0]!.rgba.slice() };
    shaken.rgba.copyWithin(0, 4 * (40 * demo.width + 60));
    await live.analyse(shaken);
    const moving = [await live.analyse(still[3]!), await live.analyse(shaken)];
    moving.push(await live.analyse(still[4]!), await live.analyse(shaken));
    const said = moving.filter((r) => r.result && !r.result.ok);
    expect(moving.some((r) => r.moving)).toBe(true);
    expect(said).toHaveLength(1);
    expect(said[0]!.result).toMatchObject({ refused: [{ reason: 'moving' }] });
    const after = await show(live, 12);
    expect(after[11]).toMatchObject({ moving: false });
    expect(after.some((r) => r.result?.ok)).toBe(true);
  });

  test('no tile: refused, said once, and looked for again', async () => {
    const grey: Frame = { width: 320, height: 240, rgba: new Uint8ClampedArray(320 * 240 * 4) };
    grey.rgba.fill(90);
    const live = bench();
    live.point(
      { glaze: { x: 60, y: 60, radius: 9 }, dab: { x: 90, y: 90, radius: 9 } },
      settings,
      1,
    );
    const reports: LiveReport[] = [];
    for (let i = 0; i < 10; i++) reports.push(await live.analyse(grey));
    const refusals = reports.filter((r) => r.result);
    expect(refusals).toHaveLength(1);
    expect(refusals[0]!.result).toMatchObject({ ok: false, refused: [{ reason: 'tile-missing' }] });
    // Another camera, another size: found while the first frame is shown.
    const first = (await show(live, 2))[1]!;
    expect(first).toMatchObject({ width: demo.width, height: demo.height });
    expect(first.tile?.found).toBe(true);
  });

  test('pointing elsewhere while pixels are under way: the report answers the new place', async () => {
    const pixels = new PlainPixels();
    const live = bench(pixels);
    live.point(regions, settings, 1);
    await show(live, 10);
    pixels.meanwhile = () => {
      pixels.meanwhile = () => undefined;
      live.point({ ...regions, dab: { ...demo.regions.dab, x: 20, y: 20 } }, settings, 2);
    };
    const report = await live.analyse(still[0]!);
    expect(report.pointing).toBe(2);
    expect(report.result).toBeUndefined();
  });

  test('a reading that comes too late for its place, or its average, is dropped', async () => {
    const cv = nodeOpenCv();
    const asked: (() => void)[] = [];
    const live = new LiveBench<Frame>({
      cv,
      pixels: new PlainPixels(),
      find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
      read: (...given) => new Promise((resolve) => asked.push(() => resolve(read(cv, ...given)))),
      now: () => (clock += 1),
    });
    live.point(regions, settings, 1);
    await show(live, 12);
    // One at a time, however many frames come in.
    expect(asked).toHaveLength(1);
    live.point({ ...regions, glaze: { ...demo.regions.glaze, radius: 9 } }, settings, 2);
    asked[0]!();
    const late = await show(live, 3);
    expect(late.every((r) => r.result === undefined)).toBe(true);
    expect(asked).toHaveLength(2);
    asked[1]!();
    const [next] = await show(live, 1);
    expect(next).toMatchObject({ pointing: 2, result: { ok: true } });
  });

  test('a reading that fails is not swallowed', async () => {
    const cv = nodeOpenCv();
    const live = new LiveBench<Frame>({
      cv,
      pixels: new PlainPixels(),
      find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
      read: () => Promise.reject(new Error('a fault in the engine')),
      now: () => (clock += 1),
    });
    live.point(regions, settings, 1);
    await expect(show(live, 12)).rejects.toThrow('a fault in the engine');
  });

  test('what is captured can be read again from the record alone', async () => {
    const live = bench();
    live.point(regions, settings, 1);
    expect(await live.capture()).toBeUndefined();
    await show(live, 20);
    const captured = (await live.capture())!;
    const { picture, at, result } = captured;
    expect(picture).toMatchObject({ maxCode: 65535 });
    expect(picture.frames).toBeGreaterThan(10);
    expect(picture.width).toBeLessThan(demo.width);
    expect(captured.regions.dab.x + at.x).toBeCloseTo(demo.regions.dab.x, -1);
    expect(result.ok).toBe(true);
    // The picture is the scene's: at the tile's middle it has the level that the tile has.
    const middle = captured.regions.tile!.reduce(
      (sum, p) => [sum[0]! + p.x / 4, sum[1]! + p.y / 4],
      [0, 0],
    );
    const code = (Math.round(middle[1]!) * picture.width + Math.round(middle[0]!)) * 4;
    const there =
      ((Math.round(middle[1]!) + at.y) * demo.width + Math.round(middle[0]!) + at.x) * 4;
    expect(Math.abs(picture.rgba[code]! / 257 - still[0]!.rgba[there]!)).toBeLessThan(12);
  });

  test('a new feed starts from nothing, and where the person points stays', async () => {
    const live = bench();
    live.point(regions, settings, 7);
    await show(live, 10);
    live.reset();
    const reports = await show(live, 12);
    expect(reports[0]).toMatchObject({ frame: 1, pointing: 7, framesAveraged: 0 });
    expect(reports.some((r) => r.result?.ok)).toBe(true);
  });
});

describe('when the average is read', () => {
  const state = (frames: number, average = 1, dabLight = [0.1, 0, 0]) => ({
    average,
    frames,
    settled: Math.min(1, frames / 32),
    moving: false,
    lampChanged: false,
    dabLight,
  });
  const frames = (count: number) => Array.from({ length: count }, (_, i) => i + 1);

  test('at once, then whenever it has doubled, until it has settled', () => {
    const cadence = new Cadence();
    const due = frames(3000).filter((n) => cadence.isDue(state(Math.min(64, n))));
    expect(due).toEqual([1, 2, 4, 8, 16, 32]);
    expect(cadence.isHeld).toBe(true);
    expect(cadence.isDue(state(1, 2))).toBe(true);
    expect(cadence.isHeld).toBe(false);
    expect(cadence.isDue(state(0, 3))).toBe(false);
  });

  test('asked again, it is read again', () => {
    const cadence = new Cadence();
    for (const n of frames(60)) cadence.isDue(state(n));
    expect(cadence.isDue(state(64))).toBe(false);
    cadence.forget();
    expect(cadence.isDue(state(64))).toBe(true);
  });

  test('slow readings are made less often while it settles, and the settled average is read', () => {
    const cadence = new Cadence();
    cadence.took(200);
    const due = frames(400).filter((n) => cadence.isDue(state(Math.min(64, n))));
    const gaps = due.slice(1).map((n, i) => n - due[i]!);
    expect(Math.min(...gaps.slice(0, -1))).toBeGreaterThanOrEqual(10);
    // The one that will hold, at once.
    expect(due.at(-1)).toBe(32);
    expect(cadence.isHeld).toBe(true);
  });

  test('a dab that dries: light drifts, and it is read again, but not all the time', () => {
    const cadence = new Cadence();
    cadence.took(100);
    const drying = (n: number) => state(Math.min(64, n), 1, [0.1 - 0.00004 * n, 0, 0]);
    const due = frames(1200).filter((n) => cadence.isDue(drying(n)));
    const late = due.filter((n) => n > 40);
    expect(late.length).toBeGreaterThan(2);
    const gaps = late.slice(1).map((n, i) => n - late[i]!);
    // A hundred frames change what was read by 0.4 %; a reading's 100 ms are spread over 125.
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(100);
  });

  test('however slow readings are, what drifts is read again within ten seconds', () => {
    const cadence = new Cadence();
    // At 30 frames a second.
    cadence.took(3000);
    const drying = (n: number) => state(Math.min(64, n), 1, [0.1 - 0.001 * n, 0, 0]);
    const due = frames(1500).filter((n) => cadence.isDue(drying(n)));
    const gaps = due.slice(1).map((n, i) => n - due[i]!);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(300);
  });
});
