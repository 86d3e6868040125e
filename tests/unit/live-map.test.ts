import { describe, expect, test } from 'vitest';
import { DemoBench } from '../../calibration-samples/render/demo.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { findLitTile } from '../../src/reading/reference.ts';
import { readBlendMap, type BlendMap } from '../../src/reading/blend-map.ts';
import type { ReadingSettings } from '../../src/reading/types.ts';
import type { LiveReport } from '../../workers/bench-api.ts';
import { LiveMap } from '../../workers/live-map.ts';

interface Frame {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray;
}

const demo = new DemoBench();
// What a dab has been mixed to, sprayed: it blends where it covers, and shows where it is thin.
demo.spray({ white: 5, blue: 0.047, 'yellow-earth': 0.02, black: 0.011 });
const { fill } = demo.regions;
const settings: ReadingSettings = {
  tileColour: { lab: labD65(...demo.tileLab), standardUncertainty: [0.5, 0.3, 0.3] },
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
};
// The bench shakes for a second after a hand was there; all frames here are from after that.
const still = Array.from({ length: 12 }, (_, i) => demo.frame(5000 + 33 * i));

function mapping() {
  let clock = 0;
  const cv = nodeOpenCv();
  const counted = { fetched: 0, maps: 0, hold: Promise.resolve() };
  const live = new LiveMap<Frame>({
    cv,
    pixels: {
      sizeOf: (frame) => frame,
      fetch: ({ rgba, width }, rect) => {
        counted.fetched += rect.width * rect.height;
        return Promise.resolve({ rgba, first: rect.y * width + rect.x, stride: width });
      },
    },
    find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
    map: async (...given) => {
      counted.maps += 1;
      await counted.hold;
      return readBlendMap(cv, ...given);
    },
    now: () => (clock += 1),
  });
  return { live, counted };
}
async function show(live: LiveMap<Frame>, count: number): Promise<LiveReport[]> {
  const reports: LiveReport[] = [];
  for (let i = 0; i < count; i++) reports.push(await live.analyse(still[i % still.length]!));
  return reports;
}
function lastMap(reports: readonly LiveReport[]): BlendMap {
  const map = reports.findLast((r) => r.map?.ok)?.map;
  if (!map?.ok) throw new Error('no map');
  return map;
}
const jolted = (frame: Frame): Frame => {
  const rgba = frame.rgba.slice();
  rgba.copyWithin(0, 4 * (40 * frame.width + 60));
  return { ...frame, rgba };
};

describe('the live blend map', () => {
  test('agrees with the truth of the spray, pixel by pixel, in pixels of the frame', async () => {
    const { live } = mapping();
    live.watch({ area: fill }, settings, 3);
    const reports = await show(live, 40);
    expect(reports.every((r) => r.pointing === 3 && r.result === undefined)).toBe(true);
    expect(reports[reports.length - 1]!.tile?.found).toBe(true);
    const { deltaE00, inArea, crop, worst } = lastMap(reports);
    const missed: number[] = [];
    let worstTruth = 0;
    deltaE00.forEach((v, i) => {
      if (!inArea[i] || Number.isNaN(v)) return;
      const x = crop.x + (i % crop.width) + 0.5;
      const y = crop.y + Math.floor(i / crop.width) + 0.5;
      const truth = demo.sprayedDifference(x, y) ?? 0;
      worstTruth = Math.max(worstTruth, truth);
      missed.push(Math.abs(v - truth));
    });
    const mean = missed.reduce((sum, v) => sum + v, 0) / missed.length;
    // The glaze is mottled, and the camera sees its iron otherwise than the paint: not for nothing.
    expect(mean).toBeLessThan(0.7);
    expect(Math.abs(worst.deltaE00 - worstTruth)).toBeLessThan(1);
    expect(demo.sprayedDifference(worst.x, worst.y)).toBeGreaterThan(0.6 * worstTruth);
    // Where the white fill shows through, it is lighter or yellower.
    expect(worst.words.join()).toMatch(/lighter|yellower/);
  });

  test('is made of a few frames, again when settled, and then seldom', async () => {
    const { live, counted } = mapping();
    live.watch({ area: fill }, settings, 1);
    const reports = await show(live, 80);
    const made = reports.filter((r) => r.map?.ok).map((r) => r.framesAveraged);
    expect(made[0]).toBeGreaterThanOrEqual(8);
    expect(made[0]).toBeLessThan(16);
    expect(made[1]).toBeGreaterThanOrEqual(32);
    expect(made).toHaveLength(2);
    expect(counted.maps).toBe(2);
  });

  test('sound glaze shows less and less by itself as the average settles', async () => {
    const { live } = mapping();
    live.watch({ area: fill }, settings, 1);
    const maps = (await show(live, 60)).flatMap((r) => (r.map?.ok ? [r.map] : []));
    expect(maps[1]!.glazeAbove.imperceptible).toBeLessThan(maps[0]!.glazeAbove.imperceptible);
    expect(maps[1]!.glazeAbove.acceptable).toBeLessThan(0.05);
  });

  test('frames go on while a map is made, and fetch only what counts', async () => {
    const { live, counted } = mapping();
    live.watch({ area: fill }, settings, 1);
    await show(live, 16);
    let release: () => void = () => undefined;
    counted.hold = new Promise((done) => (release = done));
    counted.fetched = 0;
    const before = counted.maps;
    const during = await show(live, 40);
    expect(counted.maps).toBeLessThanOrEqual(before + 1);
    expect(during[during.length - 1]!.framesAveraged).toBeGreaterThan(
      during[0]!.framesAveraged + 20,
    );
    expect(counted.fetched / 40).toBeLessThan(0.4 * demo.width * demo.height);
    release();
    await new Promise((done) => setTimeout(done, 200));
    expect((await show(live, 2)).some((r) => r.map?.ok)).toBe(true);
  });

  test('movement withdraws the map, once and with the reason; afterwards there is a new one', async () => {
    const { live } = mapping();
    live.watch({ area: fill }, settings, 1);
    await show(live, 20);
    const moving: LiveReport[] = [];
    for (let i = 0; i < 6; i++) {
      moving.push(await live.analyse(i % 2 ? still[i]! : jolted(still[i]!)));
    }
    // A map may still have been on its way before the movement was known.
    const said = moving.filter((r) => r.map?.ok === false);
    expect(said).toHaveLength(1);
    expect(said[0]!.map).toMatchObject({ refused: [{ reason: 'moving' }] });
    expect(moving[moving.length - 1]!.moving).toBe(true);
    expect((await show(live, 30)).some((r) => r.map?.ok)).toBe(true);
  });

  test('a map that a movement overtook is dropped', async () => {
    const { live, counted } = mapping();
    live.watch({ area: fill }, settings, 1);
    let release: () => void = () => undefined;
    counted.hold = new Promise((done) => (release = done));
    await show(live, 16);
    expect(counted.maps).toBe(1);
    for (let i = 0; i < 4; i++) await live.analyse(i % 2 ? still[i]! : jolted(still[i]!));
    release();
    await new Promise((done) => setTimeout(done, 200));
    const next = await live.analyse(jolted(still[0]!));
    expect(next.map).toBeUndefined();
  });

  test('a dimmed lamp withdraws it too', async () => {
    const { live } = mapping();
    live.watch({ area: fill }, settings, 1);
    await show(live, 30);
    const dimmed = still.map((f) => ({
      ...f,
      rgba: f.rgba.map((v, i) => (i % 4 === 3 ? v : 0.9 * v)),
    }));
    const reports: LiveReport[] = [];
    for (const frame of dimmed) reports.push(await live.analyse(frame));
    const reasons = reports.flatMap((r) => (r.map && !r.map.ok ? r.map.refused : []));
    expect(reasons.map((r) => r.reason)).toContain('lamp-changed');
  });

  test('captured for the record, in pixels of its own picture', async () => {
    const { live } = mapping();
    expect(await live.capture()).toBeUndefined();
    live.watch({ area: fill }, settings, 1);
    await show(live, 20);
    const captured = (await live.capture())!;
    const { picture, request, at, result } = captured;
    if (!result.ok || !('radius' in request.area)) throw new Error('no map');
    expect(picture.maxCode).toBe(65535);
    expect(picture.width).toBeLessThan(demo.width);
    expect(Math.abs(request.area.x + at.x - fill.x)).toBeLessThan(1);
    expect(result.crop.x + result.crop.width).toBeLessThanOrEqual(picture.width);
    expect(
      Math.hypot(result.worst.x - request.area.x, result.worst.y - request.area.y),
    ).toBeLessThan(fill.radius);
    expect(result.tile.found).toBe(true);
  });

  test('no tile: said once, and looked for again', async () => {
    const { live } = mapping();
    live.watch({ area: fill }, settings, 1);
    const dark = { width: 640, height: 400, rgba: new Uint8ClampedArray(4 * 640 * 400).fill(30) };
    const reports: LiveReport[] = [];
    for (let i = 0; i < 12; i++) reports.push(await live.analyse(dark));
    const said = reports.filter((r) => r.map);
    expect(said).toHaveLength(1);
    expect(said[0]!.map).toMatchObject({ ok: false, refused: [{ reason: 'tile-missing' }] });
    expect((await show(live, 20)).some((r) => r.map?.ok)).toBe(true);
  });
});
