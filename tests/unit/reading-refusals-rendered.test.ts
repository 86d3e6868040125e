/**
 * Every reason to refuse, in a rendered picture that has that fault and no other, as a photograph and as
 * a live feed: the reason, its remedy, and no number.
 */
import { describe, expect, test } from 'vitest';
import {
  BenchFilm,
  renderBench,
  type RenderedBench,
} from '../../calibration-samples/render/bench.ts';
import type { FrameMotion } from '../../calibration-samples/render/develop.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene, type SceneWish } from '../../calibration-samples/render/sample-scene.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { findLitTile } from '../../src/reading/reference.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import type {
  EncodedPicture,
  PixelCircle,
  ReadingResult,
  RefusalReason,
  Regions,
} from '../../src/reading/types.ts';
import { LiveBench } from '../../workers/live-bench.ts';
import { PLAIN, shown, type Shown } from './rendered-bench.ts';

const cv = nodeOpenCv();

const SEED = 23;

function render(wish: SceneWish = {}, seed = SEED): RenderedBench {
  return renderBench(
    sampleScene(seed, 'judge', {
      ...PLAIN,
      ...(wish.fault ? {} : { level: 0.82 }),
      ...wish,
    }),
    new Random(seed),
  );
}

/** Something laid over the picture: where, and how much of what was there is still seen. */
function over(
  bench: RenderedBench,
  codes: readonly [number, number, number],
  cover: (x: number, y: number) => number,
): RenderedBench {
  const rgba = bench.rgba.slice();
  for (let y = 0; y < bench.height; y++) {
    for (let x = 0; x < bench.width; x++) {
      const share = cover(x, y);
      const at = (y * bench.width + x) * 4;
      codes.forEach((code, k) => (rgba[at + k] = rgba[at + k]! * (1 - share) + code * share));
    }
  }
  return { ...bench, rgba };
}

const inside = (c: PixelCircle) => (x: number, y: number) =>
  Math.hypot(x - c.x, y - c.y) < c.radius ? 1 : 0;

function middleOf(points: readonly { readonly x: number; readonly y: number }[]) {
  const mean = (of: 'x' | 'y') => points.reduce((sum, p) => sum + p[of] / points.length, 0);
  return { x: mean('x'), y: mean('y') };
}

/** Mean over a square of 2 × by + 1 px, the picture repeated at its edges: far out of focus. */
function blurred(bench: RenderedBench, by: number): RenderedBench {
  const { width, height } = bench;
  let from = Float32Array.from(bench.rgba);
  for (const along of [4, 4 * width, 4, 4 * width]) {
    const to = new Float32Array(from.length);
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const i = (y * width + x) * 4;
        const [at, most] = along === 4 ? [x, width - 1] : [y, height - 1];
        for (let k = 0; k < 4; k++) {
          let sum = 0;
          for (let d = -by; d <= by; d++) {
            sum += from[i + k + along * (Math.max(0, Math.min(most, at + d)) - at)]!;
          }
          to[i + k] = sum / (2 * by + 1);
        }
      }
    }
    from = to;
  }
  return { ...bench, rgba: Uint8ClampedArray.from(from) };
}

function cropped({ picture, regions }: Shown, width: number, height: number): Shown {
  const { dab } = regions;
  const x0 = Math.round(dab.x - width / 2);
  const y0 = Math.round(dab.y - height / 2);
  const rgba = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y++) {
    const from = ((y0 + y) * picture.width + x0) * 4;
    rgba.set(picture.rgba.subarray(from, from + 4 * width), y * width * 4);
  }
  const moved = (c: PixelCircle) => ({ ...c, x: c.x - x0, y: c.y - y0 });
  return {
    picture: { ...picture, width, height, rgba },
    regions: { ...regions, dab: moved(dab), glaze: moved(regions.glaze) },
  };
}

const reasons = (result: ReadingResult | undefined) =>
  result === undefined ? ['nothing'] : result.ok ? ['read'] : result.refused.map((r) => r.reason);

function liveBench() {
  return new LiveBench<EncodedPicture>({
    cv,
    pixels: {
      sizeOf: (frame) => frame,
      fetch: ({ rgba, width }, { x, y }) =>
        Promise.resolve({ rgba: rgba as Uint8ClampedArray, first: y * width + x, stride: width }),
    },
    find: (...given) => Promise.resolve(findLitTile(cv, ...given)),
    read: (...given) => Promise.resolve(read(cv, ...given)),
    now: () => 0,
  });
}

/** The first answer of a live feed that shows this and nothing else. */
async function liveAnswer({ picture, regions }: Shown): Promise<ReadingResult | undefined> {
  const live = liveBench();
  live.point(regions, DEFAULT_SETTINGS, 1);
  for (let i = 0; i < 12; i++) {
    const { result } = await live.analyse(picture);
    // A feed begins as one that may still be moving.
    if (result && !reasons(result).includes('moving')) return result;
  }
  return undefined;
}

test('the bench of these tests is read when nothing is wrong with it', async () => {
  const bench = render();
  const [photo, live] = [shown(bench), shown(bench)];
  const truth = bench.truth.difference.deltaE00;
  for (const result of [
    read(cv, photo.picture, photo.regions, DEFAULT_SETTINGS),
    await liveAnswer(live),
  ]) {
    expect(reasons(result)).toEqual(['read']);
    if (!result?.ok) continue;
    expect(result.difference.interval95[0]).toBeLessThan(truth);
    expect(result.difference.interval95[1]).toBeGreaterThan(truth);
  }
});

const cases: readonly [string, RefusalReason, () => Shown][] = [
  ['tile too bright', 'tile-clipped', () => shown(render({ fault: 'tile-clipped' }))],
  ['tile too dark', 'tile-dark', () => shown(render({ fault: 'tile-dark' }))],
  ['no tile', 'tile-missing', () => shown(render({ fault: 'tile-missing' }))],
  [
    'three quarters of the tile under a hand',
    'tile-missing',
    () => {
      const bench = render();
      const tile = bench.truth.regions.tile!;
      const middle = middleOf(tile);
      const away = Math.hypot(tile[0]!.x - middle.x, tile[0]!.y - middle.y);
      const hand = { x: middle.x - 0.9 * away, y: middle.y + 0.4 * away, radius: 1.4 * away };
      return shown(over(bench, [190, 140, 120], inside(hand)));
    },
  ],
  ['dab too bright', 'dab-clipped', () => shown(render({ fault: 'dab-clipped' }))],
  [
    'two per cent of the dab clipped, by a spark of the lamp',
    'dab-clipped',
    () => {
      const bench = render();
      const { dab } = bench.truth.regions;
      return shown(over(bench, [255, 255, 255], inside({ ...dab, radius: 0.15 * dab.radius })));
    },
  ],
  [
    'black dab in a dim picture',
    'dab-dark',
    () => {
      const bench = render();
      return shown(over(bench, [2, 2, 2], inside(bench.truth.regions.dab)));
    },
  ],
  [
    'the lamp mirrored on the dab',
    'dab-highlight',
    () => shown(render({ highlight: 'on', shape: 'bowl', dabFinish: 'gloss' })),
  ],
  [
    'nothing but bench round what was pointed at',
    'ring-unusable',
    () => {
      const { picture, regions } = shown(render());
      return {
        picture,
        regions: { ...regions, dab: emptyBench(picture, regions) },
      };
    },
  ],
  [
    'a blue cloth mirrored in the glaze to one side of the dab',
    'coloured-reflection',
    () => {
      const bench = render({}, 22);
      const { dab } = bench.truth.regions;
      const cloth = (x: number) => 0.5 / (1 + Math.exp(-(x - dab.x) / (0.6 * dab.radius)));
      return shown(over(bench, [20, 60, 220], (x, y) => (onPiece(bench, x, y) ? cloth(x) : 0)));
    },
  ],
  ['a dab of nine pixels', 'dab-small', () => shown(render({ dabPixels: 9, edgePixels: 1 }))],
  ['a picture of 110 by 100 pixels', 'picture-small', () => cropped(shown(render()), 110, 100)],
  ['out of focus', 'picture-blurred', () => shown(blurred(render({ dabPixels: 60 }), 16))],
];

/** Round the dab and the glaze pointed at: the piece, for what is laid over it. */
function onPiece({ truth }: RenderedBench, x: number, y: number): boolean {
  const { dab } = truth.regions;
  return Math.hypot(x - dab.x, y - dab.y) < 3 * dab.radius;
}

/** A place far from everything that is pointed at: the bench. */
function emptyBench(picture: EncodedPicture, { dab, glaze }: Regions): PixelCircle {
  const corners = [
    [40, 40],
    [picture.width - 40, 40],
    [40, picture.height - 40],
    [picture.width - 40, picture.height - 40],
  ] as const;
  const far = ([x, y]: readonly [number, number]) =>
    Math.min(Math.hypot(x - dab.x, y - dab.y), Math.hypot(x - glaze.x, y - glaze.y));
  const [x, y] = [...corners].sort((p, q) => far(q) - far(p))[0]!;
  return { x, y, radius: 12 };
}

describe.each(cases)('%s: %s', (_, reason, make) => {
  const says = (result: ReadingResult | undefined) => {
    expect(reasons(result)).toContain(reason);
    const refusal = result?.ok === false && result.refused.find((r) => r.reason === reason);
    expect(refusal && refusal.remedy.length).toBeGreaterThan(10);
  };
  test('in a photograph', () => {
    const { picture, regions } = make();
    says(read(cv, picture, regions, DEFAULT_SETTINGS));
  });
  test('live', async () => says(await liveAnswer(make())));
});

describe('while something changes', () => {
  const film = () =>
    new BenchFilm(sampleScene(SEED, 'judge', { ...PLAIN, level: 0.82 }), new Random(3));
  const REST: FrameMotion = { dx: 0, dy: 0, gain: 1 };
  const frameOf = (from: BenchFilm, motion: FrameMotion): EncodedPicture => ({
    width: from.width,
    height: from.height,
    rgba: from.frame(motion),
    maxCode: 255,
    frames: 1,
  });
  test.each<[string, RefusalReason, (i: number) => FrameMotion]>([
    ['the camera moves', 'moving', (i) => ({ ...REST, dx: 5 * i, dy: i % 2 })],
    ['the lamp is turned down by a tenth', 'lamp-changed', () => ({ ...REST, gain: 0.9 })],
  ])('%s: %s', async (_, reason, motion) => {
    const bench = film();
    const live = liveBench();
    const { glaze, dab } = bench.truth.regions;
    live.point({ glaze, dab, dabOn: 'piece' }, DEFAULT_SETTINGS, 1);
    const results = [];
    for (let i = 0; i < 24; i++) results.push((await live.analyse(frameOf(bench, REST))).result);
    expect(results.some((r) => r?.ok)).toBe(true);
    const during = [];
    for (let i = 0; i < 8; i++) {
      during.push((await live.analyse(frameOf(bench, motion(i + 1)))).result);
    }
    expect(during.flatMap(reasons)).toContain(reason);
    const begun = during.findIndex((r) => reasons(r).includes(reason));
    expect(during.slice(begun).every((r) => !r?.ok)).toBe(true);
    const captured = await live.capture();
    expect(captured?.result.ok).toBe(false);
  });
});
