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
import type {
  EncodedPicture,
  ReadingSettings,
  RefusalReason,
  Regions,
} from '../src/reading/types.ts';
import type { CapturedMap, LiveReport } from './bench-api.ts';
import { arrival } from './arrival.ts';
import { movedMap, movedRequest, snapshot } from './snapshot.ts';
import { isSameTile, TileSearch, type FoundTile, type SearchTools } from './tile-search.ts';

export interface MapTools<Frame> extends SearchTools<Frame> {
  readonly cv: OpenCv;
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
  /** As for a reading: the area is the dab. */
  readonly places: Partial<Regions> & Pick<Regions, 'dabOn'>;
}

/** Frames averaged before the first map: of fewer, noise would be mapped. */
const FIRST_FRAMES = 8;
/** Frames between maps once the average has settled; on a slow device more, so that it is not kept busy. */
const SETTLED_FRAMES = 150;
const SHARE_OF_TIME_MS = 8;
/** The middle of the area, as a share of what is looked at, whose light is watched. */
const MIDDLE = 1 / 6;

export class LiveMap<Frame> {
  readonly #tools: MapTools<Frame>;
  readonly #search: TileSearch<Frame>;
  #watched: Watched | undefined;
  #frame = 0;
  #width = 0;
  #height = 0;
  /** The whole frame, 16 bits: one frame as backdrop, the averaged places written over it. */
  #picture = new Uint16Array(0);
  #averager: FrameAverager | undefined;
  #tileLevel = 0;
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
    this.#search = new TileSearch(tools);
  }

  watch(request: BlendMapRequest, settings: ReadingSettings, pointing: number): void {
    const shape = shapeOf(request.area);
    const { tile, glaze } = request;
    const places = {
      dab: { ...shape.centre, radius: shape.radius },
      dabOn: 'piece',
      ...(tile && { tile }),
      ...(glaze && { glaze }),
    } as const;
    this.#watched = { request, settings, pointing, shape, reach: ringReach(shape), places };
    this.#averager = undefined;
    this.#search.forget();
    this.#forget();
  }

  /** Forgets the feed; the area stays. */
  reset(): void {
    this.#frame = 0;
    this.#width = 0;
    this.#height = 0;
    this.#picture = new Uint16Array(0);
    this.#averager = undefined;
    this.#search.forget();
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
    const found = this.#watched && this.#search.arrived();
    if (found && this.#watched) this.#take(found, this.#watched);
    if (this.#search.isDue(this.#frame)) await this.#look(frame);
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
        if (wasMoving && !state.moving) this.#search.lookAgainAt(this.#frame + 1);
        map = this.#result(averager, state);
      }
    } else if (this.#search.noTile) {
      map = this.#say(this.#search.noTile);
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
  async #look(frame: Frame): Promise<void> {
    const watched = this.#watched;
    const backdrop = { rgba: this.#picture, width: this.#width, height: this.#height };
    const tile = await this.#search.look(frame, backdrop, () => this.#watched?.places);
    if (tile && watched) this.#take(tile, watched);
  }

  #take(tile: FoundTile | NoTile, { places, shape, reach }: Watched): void {
    if (!this.#search.isFound(tile, this.#frame)) {
      this.#averager = undefined;
      return;
    }
    this.#tileLevel = tile.level;
    const known = this.#averager?.regions.tile;
    if (known && isSameTile(known, tile.polygon)) return;
    const middle = { ...shape.centre, radius: MIDDLE * reach };
    this.#averager = new FrameAverager(
      this.#tools.cv,
      this.#width,
      this.#height,
      { ...places, tile: tile.polygon, dab: middle },
      this.#averager === undefined,
      squareRound(shape.centre, reach),
    );
    this.#forget();
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
    await arrival(this.#tools.map(picture, request, watched.settings), (made) => {
      this.#mapping = false;
      this.#mapMs = this.#tools.now() - begin;
      if (subject === this.#subject) {
        this.#arrived = () => movedMap(this.#honest(made(), watched), at);
      }
    });
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
