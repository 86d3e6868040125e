/** Below the screens: links, workers and camera in a real browser, as they are built. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BenchFilm } from '../../calibration-samples/render/bench.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import type { PixelPolygon, ReadingResult, ReadingSettings } from '../../src/reading/types.ts';
import type { LiveState } from '../../src/link/bench-client.ts';
import { openBrowser, serveWorkerPage, type Journey, type Served } from './browser.ts';
import { writeFakeCamera } from './fake-camera.ts';

const SEED = 23;
const film = new BenchFilm(
  sampleScene(SEED, 'judge', {
    size: [1280, 720],
    shape: 'flat',
    highlight: 'none',
    texture: 'plain',
    band: false,
    reflection: 'none',
    clutter: false,
    bench: 'grey',
    dabPixels: 90,
    deltaE00: 4,
    level: 0.82,
    pigments: 'same',
    lampId: 'daylight-5000',
    tone: { style: 'srgb', strength: 0 },
  }),
  new Random(5),
);
const { truth } = film;
const { glaze, dab, tile } = truth.regions;
const regions = { glaze, dab, dabOn: 'piece' } as const;
const settings: ReadingSettings = {
  tileColour: { lab: labD65(...truth.tileLab!), standardUncertainty: [0.5, 0.3, 0.3] },
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
};

const folder = mkdtempSync(join(tmpdir(), 'lamp-and-tile-camera-'));
const y4m = join(folder, 'bench.y4m');
let served: Served;
let journey: Journey;

beforeAll(async () => {
  const { width, height } = film;
  const frames = Array.from({ length: 12 }, () => ({ width, height, rgba: film.frame() }));
  writeFakeCamera(y4m, frames);
  served = await serveWorkerPage();
  journey = await openBrowser({ camera: { file: y4m } });
  await journey.page.goto(served.address);
});

afterAll(async () => {
  await journey.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
});

/** The truth that the scene was rendered from lies in the interval that the reading claims. */
function expectTrue(result: ReadingResult | 'superseded' | undefined): void {
  const refused = typeof result === 'object' && !result.ok ? result.refused : [];
  expect(refused.map(({ reason }) => reason)).toEqual([]);
  expect(result).toMatchObject({ ok: true });
  if (typeof result !== 'object' || !result.ok) return;
  const [low, high] = result.difference.interval95;
  expect(truth.difference.deltaE00).toBeGreaterThan(low - 0.1);
  expect(truth.difference.deltaE00).toBeLessThan(high + 0.1);
  expect(high - low).toBeLessThan(3);
}

function expectTile(polygon: PixelPolygon | undefined): void {
  expect(polygon).toHaveLength(4);
  const centre = (p: PixelPolygon) => ({
    x: p.reduce((sum, { x }) => sum + x, 0) / p.length,
    y: p.reduce((sum, { y }) => sum + y, 0) / p.length,
  });
  const [found, real] = [centre(polygon!), centre(tile!)];
  const side = Math.hypot(tile![1]!.x - tile![0]!.x, tile![1]!.y - tile![0]!.y);
  expect(Math.hypot(found.x - real.x, found.y - real.y)).toBeLessThan(side / 8);
}

const pngOfFrame = async () =>
  (
    await sharp(film.frame(), { raw: { width: film.width, height: film.height, channels: 4 } })
      .png()
      .toBuffer()
  ).toString('base64');

describe('the bench worker', () => {
  test('OpenCV starts within the worker’s own policy, and a photograph is read', async () => {
    const result = await journey.page.evaluate(
      async ({ base64, regions, settings }) => {
        const { BenchClient, photoFromFile } = window.tools;
        const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
        const photo = await photoFromFile(new File([bytes], 'bench.png'));
        if (!photo.ok) throw new Error(photo.message);
        const bench = new BenchClient();
        const [tile, reading] = await Promise.all([
          bench.findTile(photo.picture),
          bench.readPicture(photo.picture, regions, settings),
        ]);
        bench.dispose();
        return { tile, reading };
      },
      { base64: await pngOfFrame(), regions, settings },
    );
    expectTile(result.tile === 'superseded' ? undefined : result.tile);
    expectTrue(result.reading);
    expect(journey.complaints).toEqual([]);
  });

  test.each(['stream', 'bitmaps'] as const)(
    'live frames by %s: tile found, averaged, read, captured, stopped',
    async (kind) => {
      const seen = await journey.page.evaluate(
        async ({ kind, regions, settings }) => {
          const { BenchClient, bitmapSource, frameSource, openCamera } = window.tools;
          const camera = await openCamera();
          if (!camera.ok) throw new Error(camera.message);
          const [track] = camera.stream.getVideoTracks();
          const bench = new BenchClient();
          const source =
            kind === 'stream' ? frameSource(camera.stream) : bitmapSource(camera.stream, track!);
          await bench.point(regions, settings);
          const settled = await new Promise<LiveState>((resolve, reject) => {
            bench
              .follow(source, (live) => {
                if (live.settled === 1 && live.result) resolve(live);
              })
              .catch(reject);
          });
          const captured = await bench.capture();
          await bench.stop();
          camera.stop();
          bench.dispose();
          const size = captured && [captured.picture.width, captured.picture.height];
          return {
            kind: source.kind,
            settled,
            ended: await camera.ended,
            size,
            maxCode: captured?.picture.maxCode,
            frames: captured?.picture.frames,
            bytes: captured?.picture.rgba.length,
            captured: captured?.result,
            at: captured?.at,
          };
        },
        { kind, regions, settings },
      );
      expect(seen.kind).toBe(kind);
      expect(seen.settled).toMatchObject({ width: 1280, height: 720, moving: false });
      expectTile(seen.settled.tile?.polygon);
      expectTrue(seen.settled.result);
      expectTrue(seen.captured);
      expect(seen.frames).toBeGreaterThan(20);
      expect(seen.maxCode).toBe(65535);
      expect(seen.bytes).toBe(seen.size![0]! * seen.size![1]! * 4);
      expect(seen.ended).toBe('stopped');
      expect(journey.complaints).toEqual([]);
    },
  );

  test('the camera is lost in mid-reading: the feed says so, and following ends', async () => {
    const seen = await journey.page.evaluate(async () => {
      const { BenchClient, frameSource, openCamera } = window.tools;
      const camera = await openCamera();
      if (!camera.ok) throw new Error(camera.message);
      const bench = new BenchClient();
      const followed = new Promise((resolve) => {
        const end = bench.follow(frameSource(camera.stream), ({ frame }) => {
          const [track] = camera.stream.getVideoTracks();
          // As if unplugged: the track ends and says so.
          if (frame === 5 && track?.readyState === 'live') {
            track.stop();
            track.dispatchEvent(new Event('ended'));
          }
        });
        void end.then(resolve);
      });
      const result = { followed: await followed, ended: await camera.ended };
      bench.dispose();
      return result;
    });
    expect(seen).toEqual({ followed: 'stream-ended', ended: 'lost' });
  });

  test('dies over a call: the call rejects, and the next is answered by a new worker', async () => {
    const seen = await journey.page.evaluate(
      async ({ base64, regions, settings }) => {
        const { BenchClient, photoFromFile } = window.tools;
        const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
        const photo = await photoFromFile(new File([bytes], 'bench.png'));
        if (!photo.ok) throw new Error(photo.message);
        const RealWorker = window.Worker;
        const workers: Worker[] = [];
        window.Worker = class extends RealWorker {
          constructor(...given: ConstructorParameters<typeof Worker>) {
            super(...given);
            workers.push(this);
          }
        };
        const bench = new BenchClient();
        await bench.start();
        window.Worker = RealWorker;
        const pending = bench.readPicture(photo.picture, regions, settings).then(
          () => 'answered',
          (error: unknown) => (error as Error).name,
        );
        workers[0]!.dispatchEvent(new ErrorEvent('error', { message: 'out of memory' }));
        const first = await pending;
        const again = await bench.readPicture(photo.picture, regions, settings);
        bench.dispose();
        return { first, again };
      },
      { base64: await pngOfFrame(), regions, settings },
    );
    expect(seen.first).toBe('WorkerStopped');
    expectTrue(seen.again);
  });
});

describe('frames of every make', () => {
  test.each([
    { format: 'RGBA', crop: { x: 33, y: 21, width: 1201, height: 671 } },
    { format: 'BGRX', crop: { x: 0, y: 0, width: 1280, height: 719 } },
    { format: 'I420', crop: { x: 0, y: 0, width: 1279, height: 719 } },
    { format: 'NV12', crop: { x: 2, y: 4, width: 1270, height: 700 } },
  ] as const)(
    '$format, $crop.width × $crop.height of 1280 × 720: read where it is pointed at',
    async ({ format, crop }) => {
      // Frames that a page makes itself may be left in its stream: a page of their own.
      const page = await journey.context.newPage();
      await page.goto(served.address);
      const seen = await page.evaluate(
        async ({ base64, format, crop, regions, settings }) => {
          const { BenchClient, photoFromFile } = window.tools;
          const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
          const photo = await photoFromFile(new File([bytes], 'bench.png'));
          if (!photo.ok) throw new Error(photo.message);
          const { rgba, width, height } = photo.picture;
          const luma = new Uint8Array(width * height);
          const chroma = [new Uint8Array(luma.length / 4), new Uint8Array(luma.length / 4)];
          // ITU-R BT.709-6, limited range: what frames that say so are made of.
          for (let i = 0; i < luma.length; i++) {
            const [r, g, b] = [rgba[4 * i]!, rgba[4 * i + 1]!, rgba[4 * i + 2]!];
            const encoded = 0.2126 * r + 0.7152 * g + 0.0722 * b;
            luma[i] = Math.round(16 + (219 / 255) * encoded);
            const [x, y] = [i % width, Math.floor(i / width)];
            if (x % 2 || y % 2) continue;
            const at = (y / 2) * (width / 2) + x / 2;
            chroma[0]![at] = Math.round(128 + ((224 / 255) * (b - encoded)) / 1.8556);
            chroma[1]![at] = Math.round(128 + ((224 / 255) * (r - encoded)) / 1.5748);
          }
          const [cb, cr] = chroma as [Uint8Array, Uint8Array];
          const packed = (isBgr: boolean) =>
            Uint8Array.from(rgba, (v, i) => (isBgr && i % 4 < 3 ? rgba[i + 2 - 2 * (i % 4)]! : v));
          const planar = (interleaved: boolean) => {
            const all = new Uint8Array(luma.length * 1.5);
            all.set(luma);
            for (let i = 0; i < cb.length; i++) {
              const at = luma.length + (interleaved ? 2 * i : i);
              all[at] = cb[i]!;
              all[at + (interleaved ? 1 : cb.length)] = cr[i]!;
            }
            return all;
          };
          const isYuv = format === 'I420' || format === 'NV12';
          const buffer = isYuv ? planar(format === 'NV12') : packed(format === 'BGRX');
          const colorSpace: VideoColorSpaceInit = isYuv
            ? { matrix: 'bt709', primaries: 'bt709', transfer: 'bt709', fullRange: false }
            : { matrix: 'rgb', primaries: 'bt709', transfer: 'iec61966-2-1', fullRange: true };
          const made: VideoFrame[] = [];
          const pull = (controller: ReadableStreamDefaultController<VideoFrame>) => {
            // What crosses to the worker is a copy.
            made.pop()?.close();
            const init = { codedWidth: width, codedHeight: height, timestamp: 0, colorSpace };
            made.push(new VideoFrame(buffer, { ...init, format, visibleRect: crop }));
            controller.enqueue(made[0]!);
          };
          const frames = new ReadableStream<VideoFrame>({ pull }, { highWaterMark: 0 });
          const bench = new BenchClient();
          const at = <C extends { x: number; y: number }>(c: C) => ({
            ...c,
            x: c.x - crop.x,
            y: c.y - crop.y,
          });
          await bench.point(
            { ...regions, glaze: at(regions.glaze), dab: at(regions.dab) },
            settings,
          );
          const live = await new Promise<LiveState>((resolve, reject) => {
            const report = (state: LiveState) => {
              if (state.framesAveraged > 3 && state.result?.ok) resolve(state);
            };
            bench.follow({ kind: 'stream', frames }, report).catch(reject);
          });
          await bench.stop();
          bench.dispose();
          made.pop()?.close();
          return live;
        },
        { base64: await pngOfFrame(), format, crop, regions, settings },
      );
      await page.close();
      expect(seen).toMatchObject({ width: crop.width, height: crop.height });
      expectTile(seen.tile?.polygon.map(({ x, y }) => ({ x: x + crop.x, y: y + crop.y })));
      expectTrue(seen.result);
    },
  );
});

describe('the page', () => {
  test('makes no code from strings; its policy sees to that', async () => {
    const page = await journey.context.newPage();
    await page.goto(served.address);
    const name = await page.evaluate(
      () =>
        new Promise((resolve) => {
          // Later, for what the driver itself runs is let through.
          setTimeout(() => {
            try {
              // eslint-disable-next-line @typescript-eslint/no-implied-eval -- that it cannot is the point
              resolve(typeof new Function('return 1'));
            } catch (error) {
              resolve((error as Error).name);
            }
          });
        }),
    );
    await page.close();
    expect(name).toBe('EvalError');
  });
});

describe('the demo bench', () => {
  test('plays like a camera, is read like one, and answers to the pot', async () => {
    const seen = await journey.page.evaluate(async (settings) => {
      const { BenchClient, frameSource, openDemo } = window.tools;
      const demo = await openDemo({ white: 5, blue: 0.02 });
      if (!demo.ok) throw new Error(demo.message);
      const bench = new BenchClient();
      const { glaze, dab, tileLab } = demo.scene;
      const tileColour = { lab: tileLab, standardUncertainty: [0.5, 0.3, 0.3] as const };
      await bench.point({ glaze, dab, dabOn: 'piece' }, { ...settings, tileColour });
      const lightness: number[] = [];
      let next: (lightness: number) => void = () => undefined;
      const end = bench.follow(frameSource(demo.stream), (live) => {
        if (live.settled === 1 && live.result?.ok) {
          lightness.push(live.result.dabLab[0]);
          next(live.result.dabLab[0]);
        }
      });
      const settledAt = async (isThere: (lightness: number) => boolean) => {
        const settled = new Promise<number>((resolve) => {
          next = (now) => {
            if (isThere(now)) resolve(now);
          };
        });
        return await Promise.race([settled, end.then(() => NaN)]);
      };
      const before = await settledAt(() => true);
      const laid = await demo.setPot({ white: 5, blue: 0.6 });
      // Blue at a tenth of white's mass is far darker than at a two-hundred-and-fiftieth.
      const after = await settledAt((now) => now < before - 5);
      const refused = await demo.setPot({ 'dragon blood': 1 });
      await bench.stop();
      demo.stop();
      bench.dispose();
      return { before, after, lightness, laid, refused, end: await end, ended: await demo.ended };
    }, settings);
    expect(seen.laid).toEqual({ ok: true });
    expect(seen.refused).toMatchObject({ ok: false });
    expect(seen.after).toBeLessThan(seen.before - 5);
    // Old dab or new: frames of both are never averaged.
    for (const lightness of seen.lightness) {
      const off = [seen.before, seen.after].map((settled) => Math.abs(lightness - settled));
      expect(Math.min(...off)).toBeLessThan(1);
    }
    expect(seen.end).toBe('stopped');
    expect(seen.ended).toBe('stopped');
    expect(journey.complaints).toEqual([]);
  });
});

describe('no camera', () => {
  const openedWith = async (wishes: Parameters<typeof openBrowser>[0]) => {
    const other = await openBrowser(wishes);
    try {
      await other.page.goto(served.address);
      return await other.page.evaluate(async () => {
        const camera = await window.tools.openCamera();
        return camera.ok ? 'opened' : camera;
      });
    } finally {
      await other.close();
    }
  };

  test('denied: says so, and what to do', async () => {
    expect(await openedWith({ answer: 'deny' })).toMatchObject({ ok: false, reason: 'denied' });
  });

  test('none there: says so, and goes on with a photograph', async () => {
    const failure = await openedWith({ camera: 'none' });
    expect(failure).toMatchObject({ ok: false, reason: 'none' });
    expect(typeof failure === 'object' && failure.remedy).toMatch(/photograph/);
  });
});

describe('a camera’s controls', () => {
  test('holding them never fails, and says what could be held', async () => {
    const held = await journey.page.evaluate(async () => {
      const { listCameras, openCamera } = window.tools;
      const camera = await openCamera('no such camera');
      if (!camera.ok) throw new Error(camera.message);
      const held = await camera.hold();
      await camera.release();
      const cameras = await listCameras();
      camera.stop();
      return { held, substituted: camera.substituted, cameras, id: camera.deviceId };
    });
    expect(held.substituted).toBe(true);
    expect(held.cameras.map((each) => each.id)).toContain(held.id);
    expect(held.held).toMatchObject({ exposure: 'not-offered', whiteBalance: 'not-offered' });
    expect(held.held.settings).toMatchObject({ width: 1280, height: 720 });
  });
});
