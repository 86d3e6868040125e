/**
 * A live feed of one scene, through the bench worker's own live reading: it rests, is moved by a
 * hand, rests again, then the lamp changes. No number may come out while it moves or changes.
 */
import { BenchFilm } from '../../calibration-samples/render/bench.ts';
import type { FrameMotion } from '../../calibration-samples/render/develop.ts';
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { findLitTile } from '../../src/reading/reference.ts';
import type { ReadingResult, RefusalReason } from '../../src/reading/types.ts';
import { LiveBench } from '../../workers/live-bench.ts';
import { throughYuv420 } from './codec.ts';
import { given } from './plan.ts';

export interface FilmOutcome {
  readonly seed: number;
  /** ΔE₀₀: true, as one frame reads it, as the settled average reads it; undefined when refused. */
  readonly trueDeltaE00: number;
  readonly single: number | undefined;
  readonly settled: number | undefined;
  readonly settledRefused: readonly RefusalReason[];
  /** Frames averaged at the end of the rest. */
  readonly framesAveraged: number;
  /** While a hand moved it: numbers given, and whether it said `moving` with a remedy. */
  readonly moving: { readonly numbers: number; readonly said: boolean };
  /**
   * After the lamp changed: numbers given before it refused, and whether it did. `moving` is as good
   * an answer to a sudden change: both begin a new average.
   */
  readonly lamp: { readonly numbers: number; readonly said: boolean };
}

const REST: FrameMotion = { dx: 0, dy: 0, gain: 1 };
/** Frames in which a live feed may notice what has begun. */
const GRACE = 4;

export async function runFilm(seed: number, part: Part): Promise<FilmOutcome> {
  const random = new Random(seed + 6_000_000);
  const scene = sampleScene(seed, part, {
    size: [640, 480],
    highlight: 'none',
    dabPixels: random.range(40, 110),
    reflection: 'none',
  });
  const film = new BenchFilm(scene, random);
  const { width, height, truth } = film;
  const video = random.chance(0.5);
  let clock = 0;
  const cv = nodeOpenCv();
  const live = new LiveBench<Uint8ClampedArray>({
    cv,
    pixels: {
      sizeOf: () => ({ width, height }),
      fetch: (rgba, { x, y }) => Promise.resolve({ rgba, first: y * width + x, stride: width }),
    },
    find: (picture, there) => Promise.resolve(findLitTile(cv, picture, there)),
    read: (picture, there, how) => Promise.resolve(read(cv, picture, there, how)),
    now: () => (clock += 5),
  });
  const { regions, settings } = given(truth, random);
  live.point(regions, settings, 1);
  const show = async (motion: FrameMotion) => {
    const rgba = film.frame(motion);
    return live.analyse(video ? throughYuv420(rgba, width, height) : rgba);
  };
  const number = (result: ReadingResult | undefined) =>
    result?.ok ? result.difference.deltaE00 : undefined;
  const refusedFor = (result: ReadingResult | undefined, reason: RefusalReason) =>
    result?.ok === false && result.refused.some((r) => r.reason === reason && r.remedy.length > 10);

  const sway = (i: number): FrameMotion => ({
    dx: 0.06 * Math.sin(0.21 * i),
    dy: 0.06 * Math.cos(0.17 * i),
    gain: 1 + 0.001 * Math.sin(0.05 * i),
  });
  let single: number | undefined;
  let frames = 0;
  for (let i = 0; i < 48; i++) {
    const report = await show(sway(i));
    frames = report.framesAveraged;
    single ??= number(report.result);
  }
  const settled = (await live.capture())?.result;

  const speed = random.range(3, 9);
  const moving = { numbers: 0, said: false };
  let dx = 0;
  for (let i = 0; i < 16; i++) {
    dx += speed * (i < 8 ? 1 : -1);
    const report = await show({ dx, dy: 1.5 * Math.sin(i), gain: 1 });
    if (refusedFor(report.result, 'moving')) moving.said = true;
    if (i < GRACE) continue;
    const now = (await live.capture())?.result;
    if (report.result?.ok === true || now?.ok === true) moving.numbers++;
  }

  for (let i = 0; i < 40; i++) await show(sway(i));
  const lamp = { numbers: 0, said: false };
  const gain = random.pick([0.85, 0.9, 1.08]);
  for (let i = 0; i < 12; i++) {
    const report = await show({ ...REST, gain });
    if (refusedFor(report.result, 'lamp-changed') || refusedFor(report.result, 'moving')) {
      lamp.said = true;
    }
    if (i >= GRACE && !lamp.said && report.result?.ok === true) lamp.numbers++;
  }
  return {
    seed,
    trueDeltaE00: truth.difference.deltaE00,
    single,
    settled: number(settled),
    settledRefused: settled?.ok === false ? settled.refused.map(({ reason }) => reason) : [],
    framesAveraged: frames,
    moving,
    lamp,
  };
}
