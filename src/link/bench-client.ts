/** The page's side of the bench worker: starts it, speaks to it, starts it again when it dies. */
import { proxy, transfer } from 'comlink';
import type { BlendMapRequest, BlendMapResult } from '../reading/blend-map.ts';
import type { ReferencePatch } from '../reading/profile/cgats.ts';
import type { ChartReading } from '../reading/profile/chart-profile.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  Regions,
} from '../reading/types.ts';
import type {
  BenchWorkerApi,
  CapturedMap,
  CapturedReading,
  LiveReport,
} from '../../workers/bench-api.ts';
import { Latest, type Superseded } from './latest.ts';
import { WorkerLink } from './worker-link.ts';

export type { CapturedMap, CapturedReading, LiveReport };

/**
 * Where live frames come from: a stream that the worker reads by itself, or, where the browser
 * has no MediaStreamTrackProcessor, bitmaps fetched one at a time.
 */
export type FrameSource =
  | { readonly kind: 'stream'; readonly frames: ReadableStream<VideoFrame> }
  | {
      readonly kind: 'bitmaps';
      /** The next frame; undefined once the source has ended. */
      next(): Promise<ImageBitmap | undefined>;
    };

/** A report with the reading or the map that stands, new or not; none while nothing has been read. */
export type LiveState = LiveReport & {
  /** True when `result` or `map` came with this very frame. */
  readonly fresh: boolean;
};

export type FollowEnd = 'stopped' | 'stream-ended';

export class BenchClient {
  readonly #link: WorkerLink<BenchWorkerApi>;
  readonly #reads = new Latest();
  readonly #maps = new Latest();
  readonly #finds = new Latest();
  #opened: { picture: EncodedPicture; starts: number } | undefined;
  /** Says anew to the worker, or to its successor, what live frames are for. */
  #point: (() => Promise<void>) | undefined;
  #pointing = 0;
  #follows = 0;

  constructor(
    create = () =>
      new Worker(new URL('../../workers/bench.worker.ts', import.meta.url), { type: 'module' }),
  ) {
    this.#link = new WorkerLink<BenchWorkerApi>(create, { work: 'reading' });
  }

  /** Loads OpenCV ahead of the first reading; safe to leave out and to repeat. */
  start(): Promise<{ readonly startMs: number }> {
    return this.#link.call((worker) => worker.start());
  }

  /** Reads a photograph. A call overtaken by a newer one answers `superseded`. */
  readPicture(
    picture: EncodedPicture,
    regions: Partial<Regions>,
    settings: ReadingSettings,
  ): Promise<ReadingResult | Superseded> {
    return this.#reads.run(async () => {
      await this.#open(picture);
      return await this.#link.call<ReadingResult>((worker) =>
        worker.readPicture(regions, settings),
      );
    });
  }

  /** The blend map of an area of a photograph. A call overtaken by a newer one answers `superseded`. */
  mapPicture(
    picture: EncodedPicture,
    request: BlendMapRequest,
    settings: ReadingSettings,
  ): Promise<BlendMapResult | Superseded> {
    return this.#maps.run(async () => {
      await this.#open(picture);
      return await this.#link.call<BlendMapResult>((worker) =>
        worker.mapPicture(request, settings),
      );
    });
  }

  /** Finds the tile in a photograph; undefined when there is none to be found. */
  findTile(picture: EncodedPicture): Promise<PixelPolygon | undefined | Superseded> {
    return this.#finds.run(async () => {
      await this.#open(picture);
      return await this.#link.call((worker) => worker.findTile());
    });
  }

  /** What a photograph of a chart tells of the camera; without corners the chart is found. */
  async readChart(
    picture: EncodedPicture,
    reference: readonly ReferencePatch[],
    corners?: PixelPolygon,
  ): Promise<ChartReading> {
    await this.#open(picture);
    return await this.#link.call<ChartReading>((worker) => worker.readChart(reference, corners));
  }

  /**
   * Where the person points in the live picture, from now on; glaze and dab may still be missing.
   * Reports of frames read before this call no longer carry a reading.
   */
  async point(regions: Partial<Regions>, settings: ReadingSettings): Promise<void> {
    this.#pointing += 1;
    const pointing = this.#pointing;
    this.#point = () => this.#link.call((worker) => worker.point(regions, settings, pointing));
    await this.#point();
  }

  /** Live frames are from now on for the blend map of an area, until the next `point`. */
  async watchArea(request: BlendMapRequest, settings: ReadingSettings): Promise<void> {
    this.#pointing += 1;
    const pointing = this.#pointing;
    this.#point = () => this.#link.call((worker) => worker.watchArea(request, settings, pointing));
    await this.#point();
  }

  /**
   * Reads live frames until the source ends or `stop`; a newer `follow` stops the older.
   * Rejects with `WorkerStopped` when the worker dies: call it again with a new source.
   */
  async follow(source: FrameSource, report: (live: LiveState) => void): Promise<FollowEnd> {
    this.#follows += 1;
    const follow = this.#follows;
    let standing: ReadingResult | undefined;
    let standingMap: BlendMapResult | undefined;
    let pointing = -1;
    const receive = (live: LiveReport) => {
      if (follow !== this.#follows || live.pointing !== this.#pointing) return;
      if (live.pointing !== pointing) standing = standingMap = undefined;
      pointing = live.pointing;
      standing = live.result ?? (hasPassed(standing, live) ? undefined : standing);
      standingMap = live.map ?? (hasPassed(standingMap, live) ? undefined : standingMap);
      report({
        ...live,
        fresh: live.result !== undefined || live.map !== undefined,
        ...(standing && { result: standing }),
        ...(standingMap && { map: standingMap }),
      });
    };
    await this.#link.call((worker) => worker.stop());
    await this.#point?.();
    if (source.kind === 'stream') {
      const { ended } = await this.#link.call((worker) =>
        worker.follow(transfer(source.frames, [source.frames]), proxy(receive)),
      );
      return ended;
    }
    while (follow === this.#follows) {
      const bitmap = await source.next();
      if (!bitmap) return 'stream-ended';
      if (follow !== this.#follows) {
        bitmap.close();
        break;
      }
      receive(await this.#link.call((worker) => worker.readFrame(transfer(bitmap, [bitmap]))));
    }
    return 'stopped';
  }

  /** The averaged picture and its reading, now; undefined until glaze and dab are pointed at. */
  capture(): Promise<CapturedReading | undefined> {
    return this.#link.call((worker) => worker.capture());
  }

  /** The averaged picture and its blend map, now; undefined while no area is watched. */
  captureMap(): Promise<CapturedMap | undefined> {
    return this.#link.call((worker) => worker.captureMap());
  }

  /** Ends `follow`. */
  async stop(): Promise<void> {
    this.#follows += 1;
    await this.#link.call((worker) => worker.stop());
  }

  /** Ends the worker; calls under way reject. */
  dispose(): void {
    this.#follows += 1;
    this.#reads.cancel();
    this.#maps.cancel();
    this.#finds.cancel();
    this.#link.dispose();
  }

  /** A photograph crosses once; a new worker gets it anew. */
  async #open(picture: EncodedPicture): Promise<void> {
    if (this.#opened?.picture === picture && this.#opened.starts === this.#link.starts) return;
    await this.#link.call((worker) => worker.openPicture(picture));
    this.#opened = { picture, starts: this.#link.starts };
  }
}

/** "It is moving" stands no longer than it moves, though the next reading is yet to come. */
function hasPassed(
  standing: ReadingResult | BlendMapResult | undefined,
  live: LiveReport,
): boolean {
  if (!standing || standing.ok) return false;
  return standing.refused.every(
    ({ reason }) =>
      (reason === 'moving' && !live.moving) || (reason === 'lamp-changed' && !live.lampChanged),
  );
}
