/** The bench worker: frames and photographs in, readings out. */
import { expose, transfer, wrap } from 'comlink';
import type { BlendMapResult } from '../src/reading/blend-map.ts';
import type { ChartReading } from '../src/reading/profile/chart-profile.ts';
import type { NoTile } from '../src/reading/reference.ts';
import { refusal } from '../src/reading/refusals.ts';
import type { ReadingResult } from '../src/reading/types.ts';
import type { BenchWorkerApi, LiveReport } from './bench-api.ts';
import { Following } from './following.ts';
import { FramePixels, type Frame } from './frame-pixels.ts';
import { LiveBench, type LiveTools } from './live-bench.ts';
import type { FoundTile } from './tile-search.ts';
import { LiveMap } from './live-map.ts';
import { openCv } from './opencv-start.ts';
import type { ReadingWorkerApi } from './reading-api.ts';
import { withOpenCv } from './with-opencv.ts';

const readingWorker = new Worker(new URL('./reading.worker.ts', import.meta.url), {
  type: 'module',
});
readingWorker.addEventListener('error', (event) => {
  event.preventDefault();
  // Without it there are no readings: the page hears of it and starts both anew.
  throw new Error(event.message || 'the reading worker could not be loaded');
});
const reader = wrap<ReadingWorkerApi>(readingWorker);

/** A reading takes a second at most, of the largest photograph a few; this long, and it is stuck. */
const STUCK_MS = 45_000;

/** Answers in time, or this worker ends, and with it the reading worker: the page starts both anew. */
async function inTime<T>(answer: Promise<T>): Promise<T> {
  const watch = setTimeout(() => {
    throw new Error('a reading did not end');
  }, STUCK_MS);
  try {
    return await answer;
  } finally {
    clearTimeout(watch);
  }
}

let live: LiveBench<Frame> | undefined;
let liveMap: LiveMap<Frame> | undefined;
/** Live frames are for one of the two: a dab that is pointed at, or an area that is mapped. */
let watching: 'dab' | 'area' = 'dab';
let follow: Following | undefined;

const find: LiveTools<Frame>['find'] = (picture, regions) =>
  inTime<FoundTile | NoTile>(reader.find(transfer(picture, [picture.rgba.buffer]), regions));

async function bench(): Promise<LiveBench<Frame>> {
  const { cv } = await openCv();
  live ??= new LiveBench<Frame>({
    cv,
    pixels: new FramePixels(),
    find,
    read: (picture, regions, settings) =>
      inTime<ReadingResult>(
        reader.read(transfer(picture, [picture.rgba.buffer]), regions, settings),
      ),
    now: () => performance.now(),
  });
  return live;
}

async function areaBench(): Promise<LiveMap<Frame>> {
  const { cv } = await openCv();
  liveMap ??= new LiveMap<Frame>({
    cv,
    pixels: new FramePixels(),
    find,
    map: (picture, request, settings) =>
      inTime<BlendMapResult>(
        reader.map(transfer(picture, [picture.rgba.buffer]), request, settings),
      ),
    now: () => performance.now(),
  });
  return liveMap;
}

async function analyse(frame: Frame): Promise<LiveReport> {
  const watched = watching === 'area' ? await areaBench() : await bench();
  const seen = await withOpenCv(() => watched.analyse(frame));
  const { map } = seen;
  return map?.ok ? transfer(seen, [map.deltaE00.buffer, map.inArea.buffer]) : seen;
}

async function stop(): Promise<void> {
  const ending = follow;
  follow = undefined;
  await ending?.stop();
  live?.reset();
  liveMap?.reset();
}

const api = {
  async start() {
    const begin = performance.now();
    await Promise.all([openCv(), reader.start()]);
    return { startMs: performance.now() - begin };
  },

  async openPicture(picture) {
    await reader.open(transfer(picture, [picture.rgba.buffer]));
  },

  async readPicture({ tile, glaze, dab, dabOn = 'piece' }, settings) {
    if (!dab) return { ok: false, refused: [refusal('dab-missing')] };
    if (!glaze) return { ok: false, refused: [refusal('ring-unusable')] };
    const regions = { ...(tile && { tile }), glaze, dab, dabOn };
    return await inTime<ReadingResult>(reader.readOpened(regions, settings));
  },

  async mapPicture(request, settings) {
    const map = await inTime<BlendMapResult>(reader.mapOpened(request, settings));
    return map.ok ? transfer(map, [map.deltaE00.buffer, map.inArea.buffer]) : map;
  },

  async findTile() {
    return await inTime(reader.findTile());
  },

  async readChart(reference, corners) {
    return await inTime<ChartReading>(reader.readChart(reference, corners));
  },

  async follow(frames, report) {
    await stop();
    const current = new Following(frames);
    follow = current;
    await bench();
    return await current.run(async (frame) => {
      const seen = await analyse(frame);
      if (follow === current) report(seen);
    });
  },

  async readFrame(frame) {
    try {
      return await analyse(frame);
    } finally {
      frame.close();
    }
  },

  async point(regions, settings, pointing) {
    const following = await bench();
    watching = 'dab';
    following.point(regions, settings, pointing);
  },

  async watchArea(request, settings, pointing) {
    const mapping = await areaBench();
    watching = 'area';
    mapping.watch(request, settings, pointing);
  },

  async captureMap() {
    if (watching !== 'area') return undefined;
    const captured = await liveMap?.capture();
    if (!captured) return undefined;
    const { picture, result } = captured;
    const map = result.ok ? [result.deltaE00.buffer, result.inArea.buffer] : [];
    return transfer(captured, [picture.rgba.buffer, ...map]);
  },

  async capture() {
    const captured = await live?.capture();
    return captured && transfer(captured, [captured.picture.rgba.buffer]);
  },

  stop,
} satisfies BenchWorkerApi;

expose(api);
