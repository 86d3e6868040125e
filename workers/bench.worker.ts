/** The bench worker: frames and photographs in, readings out. */
import { expose, transfer } from 'comlink';
import { opencvError, type OpenCv } from '../src/reading/opencv.ts';
import { read } from '../src/reading/read.ts';
import { refusal } from '../src/reading/refusals.ts';
import { findTile } from '../src/reading/tile-finder.ts';
import type { EncodedPicture } from '../src/reading/types.ts';
import type { BenchWorkerApi } from './bench-api.ts';
import { FramePixels, type Frame } from './frame-pixels.ts';
import { LiveBench } from './live-bench.ts';
import { openCv } from './opencv-start.ts';

let opened: EncodedPicture | undefined;
let live: LiveBench<Frame> | undefined;
let follow: Following | undefined;

async function bench(): Promise<LiveBench<Frame>> {
  const { cv } = await openCv();
  live ??= new LiveBench(cv, new FramePixels(), () => performance.now());
  return live;
}

/** OpenCV throws numbers, and once its memory is spoilt nothing of it can be trusted again. */
async function withOpenCv<T>(work: (cv: OpenCv) => T | Promise<T>): Promise<T> {
  const { cv } = await openCv();
  try {
    return await work(cv);
  } catch (thrown) {
    if (thrown instanceof WebAssembly.RuntimeError) {
      // Uncaught on purpose: the page hears of it and starts another worker.
      setTimeout(() => {
        throw thrown;
      });
    }
    throw opencvError(cv, thrown);
  }
}

function picture(): EncodedPicture {
  if (!opened) throw new Error('no photograph was opened');
  return opened;
}

/** One feed being read; the frame that is under way when it is stopped is taken in and closed. */
class Following {
  readonly #reader: ReadableStreamDefaultReader<VideoFrame>;
  #stopped = false;
  #ended: Promise<unknown> = Promise.resolve();

  constructor(frames: ReadableStream<VideoFrame>) {
    this.#reader = frames.getReader();
  }

  run(take: (frame: VideoFrame) => Promise<void>): Promise<{ ended: 'stopped' | 'stream-ended' }> {
    const running = this.#run(take);
    this.#ended = running.catch(() => undefined);
    return running;
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    // A camera that has fallen silent is not waited for.
    await Promise.race([this.#ended, new Promise((late) => setTimeout(late, 200))]);
    await this.#reader.cancel();
  }

  async #run(take: (frame: VideoFrame) => Promise<void>) {
    for (;;) {
      const { value: frame, done } = await this.#reader.read();
      if (done) return { ended: this.#stopped ? 'stopped' : 'stream-ended' } as const;
      try {
        if (this.#stopped) return { ended: 'stopped' } as const;
        await take(frame);
      } finally {
        frame.close();
      }
    }
  }
}

async function stop(): Promise<void> {
  const ending = follow;
  follow = undefined;
  await ending?.stop();
  live?.reset();
}

const api = {
  async start() {
    const { startMs } = await openCv();
    return { startMs };
  },

  openPicture(given) {
    opened = given;
    return Promise.resolve();
  },

  readPicture({ tile, glaze, dab, dabOn = 'piece' }, settings) {
    return withOpenCv((cv) => {
      if (!dab) return { ok: false, refused: [refusal('dab-missing')] };
      if (!glaze) return { ok: false, refused: [refusal('ring-unusable')] };
      return read(cv, picture(), { ...(tile && { tile }), glaze, dab, dabOn }, settings);
    });
  },

  findTile() {
    return withOpenCv((cv) => findTile(cv, picture()));
  },

  async follow(frames, report) {
    await stop();
    const current = new Following(frames);
    follow = current;
    const following = await bench();
    return await current.run(async (frame) => {
      const seen = await withOpenCv(() => following.analyse(frame));
      if (follow === current) report(seen);
    });
  },

  async readFrame(frame) {
    const following = await bench();
    try {
      return await withOpenCv(() => following.analyse(frame));
    } finally {
      frame.close();
    }
  },

  async point(regions, settings, pointing) {
    (await bench()).point(regions, settings, pointing);
  },

  async capture() {
    const captured = await withOpenCv(() => live?.capture());
    return captured && transfer(captured, [captured.picture.rgba.buffer]);
  },

  stop,
} satisfies BenchWorkerApi;

expose(api);
