/**
 * The live blend map: frames are averaged over the sprayed area and the glaze round it while nothing
 * moves, and the average is mapped now and then. Maps are made elsewhere and come in with a later
 * frame, so that no frame is missed over one.
 */
import type { BlendMapRequest, BlendMapResult } from '../src/reading/blend-map.ts';
import { ringReach } from '../src/reading/glaze-round.ts';
import { shapeOf, type AreaShape } from '../src/reading/marked-area.ts';
import type { OpenCv } from '../src/reading/opencv.ts';
import { squareRound } from '../src/reading/patch-rect.ts';
import { refusal } from '../src/reading/refusals.ts';
import { FrameAverager, type FrameState } from '../src/reading/temporal.ts';
import type { NoTile } from '../src/reading/reference.ts';
import { readTile } from '../src/reading/tile.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingSettings,
  RefusalReason,
} from '../src/reading/types.ts';
import type { CapturedMap, LiveReport } from './bench-api.ts';
import type { FoundTile, LiveTools, PixelsOf } from './live-bench.ts';
import { movedMap, movedRequest, snapshot } from './snapshot.ts';

export interface MapTools<Frame> {
  readonly cv: OpenCv;
  readonly pixels: PixelsOf<Frame>;
  /** Looks for the tile; the picture is given away. */
  find: LiveTools<Frame>['find'];
  /** Makes a map; the picture is given away. */
  map(
    picture: EncodedPicture,
    request: BlendMapRequest,
    settings: ReadingSettings,
  ): Promise<BlendMapResult>;
  /** A clock, ms. */
  now(): number;
}

/** What is asked for; a new object for each call, by which late answers are known. */
interface Watched {
  readonly request: BlendMapRequest;
  readonly settings: ReadingSettings;
  readonly pointing: number;
  readonly shape: AreaShape;
  readonly reach: number;
}

/** Frames averaged before the first map: of fewer, noise would be mapped. */
const FIRST_FRAMES = 8;
/** Frames between maps once the average has settled; on a slow device more, so that it is not kept busy. */
const SETTLED_FRAMES = 150;
const SHARE_OF_TIME_MS = 8;
/** Frames between two searches for a tile that is not found. */
const SEARCH_EVERY = 8;
/** Slot of the whole frame among the fetched pixels; the patches come before it. */
const WHOLE_FRAME = 9;
/** The middle of the area, as a share of what is looked at, whose light is watched. */
const MIDDLE = 1 / 6;

export class LiveMap<Frame> {
  readonly #tools: MapTools<Frame>;
  #watched: Watched | undefined;
  #frame = 0;
  #width = 0;
  #height = 0;
  /** The whole frame, 16 bits: one frame as backdrop, the averaged places written over it. */
  #picture = new Uint16Array(0);
  #averager: FrameAverager | undefined;
  #tileLevel = 0;
  #nextSearch = 0;
  /** The search under way, by an object of its own; what it finds counts only while it is the last. */
  #searching: object | undefined;
  /** What has come of it, to be taken in with the next frame. */
  #found: (() => FoundTile | NoTile) | undefined;
  #noTile: NoTile | undefined;
  #mapping = false;
  /** Since the last map of this average: frames seen, and how far it had settled; none yet. */
  #since: { frames: number; readonly settled: number } | undefined;
  #mapMs = 0;
  /** What a map under way must be about to count: a new one for each area and each average. */
  #subject: object = {};
  /** What has come of it, to go out with the next frame. */
  #arrived: (() => BlendMapResult) | undefined;
  #said: RefusalReason | undefined;

  constructor(tools: MapTools<Frame>) {
    this.#tools = tools;
  }

  watch(request: BlendMapRequest, settings: ReadingSettings, pointing: number): void {
    const shape = shapeOf(request.area);
    this.#watched = { request, settings, pointing, shape, reach: ringReach(shape) };
    this.#averager = undefined;
    this.#forgetSearch();
    this.#forget();
  }

  /** Forgets the feed; the area stays. */
  reset(): void {
    this.#frame = 0;
    this.#width = 0;
    this.#height = 0;
    this.#picture = new Uint16Array(0);
    this.#averager = undefined;
    this.#forgetSearch();
    this.#forget();
  }

  async analyse(frame: Frame): Promise<LiveReport> {
    const begin = this.#tools.now();
    this.#frame += 1;
    const { width, height } = this.#tools.pixels.sizeOf(frame);
    if (width !== this.#width || height !== this.#height) {
      this.reset();
      this.#frame = 1;
      this.#width = width;
      this.#height = height;
      this.#picture = new Uint16Array(width * height * 4);
    }
    const found = this.#found;
    this.#found = undefined;
    if (found && this.#watched) this.#take(found(), this.#watched);
    if (this.#frame >= this.#nextSearch) await this.#search(frame);
    const averager = this.#averager;
    let map: BlendMapResult | undefined;
    if (averager) {
      const wasMoving = averager.state.moving;
      const fetched = [];
      for (const [slot, rect] of averager.rects.entries()) {
        fetched.push(await this.#tools.pixels.fetch(frame, rect, slot));
      }
      // While the pixels came, the person may have marked another area.
      if (averager === this.#averager) {
        const { average } = averager.state;
        const state = averager.add(fetched);
        if (state.average !== average) {
          this.#subject = {};
          this.#since = undefined;
        }
        // What moved may have been the tile: look for it anew.
        if (wasMoving && !state.moving) this.#nextSearch = this.#frame + 1;
        map = this.#result(averager, state);
      }
    } else if (this.#noTile) {
      map = this.#say(this.#noTile);
    }
    return this.#report(map, begin);
  }

  async capture(): Promise<CapturedMap | undefined> {
    const [averager, watched] = [this.#averager, this.#watched];
    if (!averager || !watched) return undefined;
    const { moving, lampChanged } = averager.state;
    const reason = moving ? 'moving' : lampChanged ? 'lamp-changed' : undefined;
    const shot = this.#shot(averager, watched);
    if (reason) return { ...shot, result: { ok: false, refused: [refusal(reason)] } };
    const copy = { ...shot.picture, rgba: shot.picture.rgba.slice() };
    const result = await this.#tools.map(copy, shot.request, watched.settings);
    return { ...shot, result: this.#honest(result, watched) };
  }

  /** Looks over the whole frame: backdrop, and the tile unless it is given. */
  async #search(frame: Frame): Promise<void> {
    const watched = this.#watched;
    const whole = { x: 0, y: 0, width: this.#width, height: this.#height };
    const { rgba } = await this.#tools.pixels.fetch(frame, whole, WHOLE_FRAME);
    if (!watched || watched !== this.#watched) return;
    this.#nextSearch = Infinity;
    for (let i = 0; i < this.#picture.length; i++) this.#picture[i] = 257 * rgba[i]!;
    const picture = { ...whole, maxCode: 255, frames: 1 } as const;
    const { tile } = watched.request;
    if (tile) {
      const { level } = readTile({ ...picture, rgba }, tile);
      this.#take({ polygon: tile, level }, watched);
    } else {
      void this.#find({ ...picture, rgba: rgba.slice(0, this.#picture.length) }, watched);
    }
  }

  /** The search takes longer than a frame: it goes on beside them. */
  async #find(picture: EncodedPicture, { request, shape }: Watched): Promise<void> {
    const searching = {};
    this.#searching = searching;
    const dab = { ...shape.centre, radius: shape.radius };
    const { glaze } = request;
    let found: () => FoundTile | NoTile;
    try {
      const tile = await this.#tools.find(picture, {
        dab,
        dabOn: 'piece',
        ...(glaze && { glaze }),
      });
      found = () => tile;
    } catch (error) {
      // A fault: it goes to whoever waits for the next frame's report.
      found = () => {
        throw error;
      };
    }
    if (searching === this.#searching) this.#found = found;
  }

  #take(tile: FoundTile | NoTile, { request, shape, reach }: Watched): void {
    this.#noTile = typeof tile === 'string' ? tile : undefined;
    if (typeof tile === 'string') {
      this.#averager = undefined;
      this.#nextSearch = this.#frame + SEARCH_EVERY;
      return;
    }
    this.#tileLevel = tile.level;
    const known = this.#averager?.regions.tile;
    if (known && isSame(known, tile.polygon)) return;
    const middle = { ...shape.centre, radius: MIDDLE * reach };
    const { glaze } = request;
    this.#averager = new FrameAverager(
      this.#tools.cv,
      this.#width,
      this.#height,
      { tile: tile.polygon, dab: middle, dabOn: 'piece', ...(glaze && { glaze }) },
      this.#averager === undefined,
      squareRound(shape.centre, reach),
    );
    this.#forget();
  }

  #forgetSearch(): void {
    this.#nextSearch = 0;
    this.#searching = undefined;
    this.#found = undefined;
    this.#noTile = undefined;
  }

  #forget(): void {
    this.#since = undefined;
    this.#subject = {};
    this.#arrived = undefined;
    this.#said = undefined;
  }

  #result(averager: FrameAverager, state: FrameState): BlendMapResult | undefined {
    const watched = this.#watched;
    if (!watched) return undefined;
    if (state.moving) return this.#say('moving');
    if (state.lampChanged) return this.#say('lamp-changed');
    this.#said = undefined;
    const arrived = this.#arrived;
    this.#arrived = undefined;
    if (!this.#mapping && this.#isDue(state)) void this.#map(averager, watched);
    return arrived?.();
  }

  /** Early, again when the average has settled, and then now and then. */
  #isDue({ frames, settled }: FrameState): boolean {
    if (frames < FIRST_FRAMES) return false;
    const since = this.#since;
    if (since) {
      since.frames += 1;
      const patience = Math.max(SETTLED_FRAMES, this.#mapMs / SHARE_OF_TIME_MS);
      if (!(settled === 1 && since.settled < 1) && since.frames < patience) return false;
    }
    this.#since = { frames: 0, settled };
    return true;
  }

  async #map(averager: FrameAverager, watched: Watched): Promise<void> {
    const subject = this.#subject;
    const begin = this.#tools.now();
    const { picture, request, at } = this.#shot(averager, watched);
    this.#mapping = true;
    let arrived: () => BlendMapResult;
    try {
      const result = await this.#tools.map(picture, request, watched.settings);
      arrived = () => movedMap(this.#honest(result, watched), at);
    } catch (error) {
      // A fault: it goes to whoever waits for the next frame's report.
      arrived = () => {
        throw error;
      };
    }
    this.#mapping = false;
    this.#mapMs = this.#tools.now() - begin;
    if (subject === this.#subject) this.#arrived = arrived;
  }

  /** Why the map no longer stands; said once. */
  #say(reason: RefusalReason): BlendMapResult | undefined {
    const isNew = this.#said !== reason;
    this.#forget();
    this.#said = reason;
    return isNew ? { ok: false, refused: [refusal(reason)] } : undefined;
  }

  /** The mapper takes every tile it is handed for the person's. */
  #honest(map: BlendMapResult, { request }: Watched): BlendMapResult {
    return map.tile ? { ...map, tile: { ...map.tile, found: request.tile === undefined } } : map;
  }

  /** The averaged picture with the area where it is now: what was followed took it along. */
  #shot(averager: FrameAverager, { request, shape }: Watched): Omit<CapturedMap, 'result'> {
    const frame = { rgba: this.#picture, width: this.#width, height: this.#height };
    averager.write(this.#picture, this.#width);
    const { tile, dab: middle = { ...shape.centre, radius: 0 }, glaze } = averager.regions;
    const regions = { tile, dab: middle, glaze: glaze ?? middle, dabOn: 'piece' } as const;
    const frames = Math.max(1, averager.state.frames);
    const { picture, at } = snapshot(frame, averager.rects, regions, frames);
    const followed = { x: middle.x - shape.centre.x, y: middle.y - shape.centre.y };
    const { area } = movedRequest(request, followed);
    const now = { area, tile, ...(request.glaze && glaze && { glaze }) };
    return { picture, at, request: movedRequest(now, { x: -at.x, y: -at.y }) };
  }

  #report(map: BlendMapResult | undefined, begin: number): LiveReport {
    const nothing = { settled: 0, frames: 0, moving: false, lampChanged: false };
    const { settled, frames, moving, lampChanged } = this.#averager?.state ?? nothing;
    const report = {
      frame: this.#frame,
      width: this.#width,
      height: this.#height,
      pointing: this.#watched?.pointing ?? 0,
      ...(this.#averager && {
        tile: {
          polygon: this.#averager.regions.tile,
          found: this.#watched?.request.tile === undefined,
          level: this.#tileLevel,
        },
      }),
      settled,
      framesAveraged: frames,
      held: false,
      moving,
      lampChanged,
      ...(map && { map }),
      readingMs: this.#mapMs,
      workMs: this.#tools.now() - begin,
    };
    return report;
  }
}

/** Corners of the same rank lie within 3 px of each other. */
function isSame(one: PixelPolygon, other: PixelPolygon): boolean {
  return (
    one.length === other.length &&
    one.every((p, i) => Math.hypot(p.x - other[i]!.x, p.y - other[i]!.y) <= 3)
  );
}
