/**
 * The live reading: frame by frame it finds and follows the tile, averages while nothing moves, and
 * has the average read whenever that is worth it. A steady frame must cost little more than fetching
 * it, so only the places that count are fetched; and no frame may be missed over a reading, so
 * readings are made elsewhere and come in with a later frame.
 */
import type { OpenCv } from '../src/reading/opencv.ts';
import type { PatchRect } from '../src/reading/patch-rect.ts';
import type { NoTile } from '../src/reading/reference.ts';
import { refusal } from '../src/reading/refusals.ts';
import { FrameAverager, type FrameState } from '../src/reading/temporal.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  RefusalReason,
  Regions,
} from '../src/reading/types.ts';
import type { CapturedReading, LiveReport } from './bench-api.ts';
import { arrival } from './arrival.ts';
import { Cadence } from './cadence.ts';
import { movedResult, snapshot, type Snapshot } from './snapshot.ts';
import { isSameTile, TileSearch, type FoundTile, type SearchTools } from './tile-search.ts';

/** The tile's light is told from so many frames on: one alone is noise. */
const FEWEST_FOR_LIGHT = 4;
/** How often a reading may ask for a wider look before that is given up. */
const MOST_WIDENINGS = 3;
export interface LiveTools<Frame> extends SearchTools<Frame> {
  readonly cv: OpenCv;
  /** Makes a reading; the picture is given away. */
  read(
    picture: EncodedPicture,
    regions: Regions,
    settings: ReadingSettings,
  ): Promise<ReadingResult>;
  /** A clock, ms. */
  now(): number;
}

type Pointed = Regions & { readonly tile: PixelPolygon };

export class LiveBench<Frame> {
  readonly #tools: LiveTools<Frame>;
  readonly #cadence = new Cadence();
  readonly #search: TileSearch<Frame>;
  #pointing = 0;
  #regions: Partial<Regions> = {};
  #settings: ReadingSettings | undefined;
  #frame = 0;
  #width = 0;
  #height = 0;
  /** The whole frame, 16 bits: one frame as backdrop, the averaged places written over it. */
  #picture = new Uint16Array(0);
  #averager: FrameAverager | undefined;
  #tileFound = true;
  #tileLevel = 0;
  #around: PatchRect | undefined;
  #widenings = 0;
  #reading = false;
  /** What a reading under way must be about to count: a new one for each place and each average. */
  #subject: object = {};
  /** What has come of it, to go out with the next frame. */
  #arrived: (() => ReadingResult) | undefined;
  #said: RefusalReason | undefined;

  constructor(tools: LiveTools<Frame>) {
    this.#tools = tools;
    this.#search = new TileSearch(tools);
  }

  point(regions: Partial<Regions>, settings: ReadingSettings, pointing: number): void {
    const same = JSON.stringify(regions) === JSON.stringify(this.#regions);
    this.#regions = regions;
    this.#settings = settings;
    this.#pointing = pointing;
    this.#forgetReading();
    if (same) return;
    this.#around = undefined;
    this.#widenings = 0;
    const tile = regions.tile ?? (this.#tileFound ? this.#averager?.regions.tile : undefined);
    this.#tileFound = regions.tile === undefined;
    if (tile && this.#averager) this.#watch(tile, this.#averager.state.moving);
    else this.#averager = undefined;
    this.#search.forget();
  }

  /** Forgets the feed; where the person points stays. */
  reset(): void {
    this.#frame = 0;
    this.#width = 0;
    this.#height = 0;
    this.#picture = new Uint16Array(0);
    this.#averager = undefined;
    this.#around = undefined;
    this.#widenings = 0;
    this.#search.forget();
    this.#forgetReading();
  }

  async analyse(frame: Frame): Promise<LiveReport> {
    const begin = this.#tools.now();
    this.#frame += 1;
    this.#fit(this.#tools.pixels.sizeOf(frame));
    const found = this.#search.arrived();
    if (found) this.#take(found);
    if (this.#search.isDue(this.#frame)) await this.#look(frame);
    const averager = this.#averager;
    let result: ReadingResult | undefined;
    if (averager) {
      const wasMoving = averager.state.moving;
      const fetched = [];
      for (const [slot, rect] of averager.rects.entries()) {
        fetched.push(await this.#tools.pixels.fetch(frame, rect, slot));
      }
      // While the pixels came, the person may have pointed elsewhere.
      if (averager === this.#averager) {
        const { average } = averager.state;
        const state = averager.add(fetched);
        if (state.average !== average) this.#subject = {};
        // What moved may have been the tile: look for it anew.
        if (wasMoving && !state.moving) this.#search.lookAgainAt(this.#frame + 1);
        result = this.#result(averager, state);
      }
    } else if (this.#search.noTile && this.#pointed()) {
      result = this.#say(this.#search.noTile);
    }
    return this.#report(result, begin);
  }

  async capture(): Promise<CapturedReading | undefined> {
    const averager = this.#averager;
    const regions = this.#pointed();
    if (!averager || !regions || !this.#settings) return undefined;
    const { moving, lampChanged } = averager.state;
    const reason = moving ? 'moving' : lampChanged ? 'lamp-changed' : undefined;
    const shot = this.#snapshot(averager, regions);
    if (reason) return { ...shot, result: { ok: false, refused: [refusal(reason)] } };
    const copy = { ...shot.picture, rgba: shot.picture.rgba.slice() };
    const result = await this.#tools.read(copy, shot.regions, this.#settings);
    return { ...shot, result: this.#honest(result) };
  }

  #fit({ width, height }: { width: number; height: number }): void {
    if (width === this.#width && height === this.#height) return;
    const frame = this.#frame;
    this.reset();
    this.#frame = frame;
    this.#width = width;
    this.#height = height;
    this.#picture = new Uint16Array(width * height * 4);
  }

  /** Looks over the whole frame: backdrop, and the tile unless it is given. */
  async #look(frame: Frame): Promise<void> {
    const backdrop = { rgba: this.#picture, width: this.#width, height: this.#height };
    const tile = await this.#search.look(frame, backdrop, () => this.#regions);
    if (tile) this.#take(tile);
  }

  #take(tile: FoundTile | NoTile): void {
    if (!this.#search.isFound(tile, this.#frame)) {
      this.#averager = undefined;
      return;
    }
    this.#tileLevel = tile.level;
    const known = this.#averager?.regions.tile;
    if (!known || !isSameTile(known, tile.polygon)) {
      this.#watch(tile.polygon, this.#averager === undefined);
    }
  }

  #watch(tile: PixelPolygon, moving: boolean): void {
    this.#averager = new FrameAverager(
      this.#tools.cv,
      this.#width,
      this.#height,
      { ...this.#regions, tile },
      moving,
      this.#around,
    );
    this.#forgetReading();
  }

  #forgetReading(): void {
    this.#cadence.forget();
    this.#subject = {};
    this.#arrived = undefined;
    this.#said = undefined;
  }

  /** All regions where they are now; undefined until glaze and dab are pointed at. */
  #pointed(): Pointed | undefined {
    const { glaze, dab, dabOn = 'piece' } = this.#averager?.regions ?? this.#regions;
    const tile = this.#averager?.regions.tile ?? [];
    return glaze && dab && { tile, glaze, dab, dabOn };
  }

  #result(averager: FrameAverager, state: FrameState): ReadingResult | undefined {
    const regions = this.#pointed();
    if (!regions || !this.#settings) return undefined;
    if (state.moving) return this.#say('moving');
    if (state.lampChanged) return this.#say('lamp-changed');
    this.#said = undefined;
    const arrived = this.#arrived;
    this.#arrived = undefined;
    const result = arrived?.();
    if (result) this.#widen(result, averager);
    if (!this.#reading && this.#cadence.isDue(state)) {
      void this.#read(this.#snapshot(averager, regions), this.#settings);
    }
    return result;
  }

  async #read({ picture, regions, at }: Snapshot, settings: ReadingSettings): Promise<void> {
    const subject = this.#subject;
    const begin = this.#tools.now();
    this.#reading = true;
    await arrival(this.#tools.read(picture, regions, settings), (read) => {
      this.#reading = false;
      this.#cadence.took(this.#tools.now() - begin);
      if (subject === this.#subject) this.#arrived = () => movedResult(this.#honest(read()), at);
    });
  }

  /** A refusal that began with this frame; said once. */
  #say(reason: RefusalReason): ReadingResult | undefined {
    const isNew = this.#said !== reason;
    this.#forgetReading();
    this.#said = reason;
    return isNew ? { ok: false, refused: [refusal(reason)] } : undefined;
  }

  /** When a reading looked beyond what is averaged, more is averaged from now on. */
  #widen(result: ReadingResult, averager: FrameAverager): void {
    if (result.tile) this.#tileLevel = result.tile.level;
    if (!result.ok || this.#widenings >= MOST_WIDENINGS) return;
    const { x, y, width, height, step } = result.evidence.mask;
    const looked = { x, y, width: width * step, height: height * step };
    const held = averager.rects.some(
      (r) =>
        looked.x >= r.x - 2 &&
        looked.y >= r.y - 2 &&
        looked.x + looked.width <= r.x + r.width + 2 &&
        looked.y + looked.height <= r.y + r.height + 2,
    );
    if (held) return;
    this.#widenings += 1;
    this.#around = looked;
    this.#watch(averager.regions.tile, false);
  }

  /** The engine takes every tile it is handed for the person's. */
  #honest(result: ReadingResult): ReadingResult {
    return result.tile ? { ...result, tile: { ...result.tile, found: this.#tileFound } } : result;
  }

  #snapshot(averager: FrameAverager, regions: Pointed): Snapshot {
    const frame = { rgba: this.#picture, width: this.#width, height: this.#height };
    averager.write(this.#picture, this.#width);
    return snapshot(frame, averager.rects, regions, Math.max(1, averager.state.frames));
  }

  #report(result: ReadingResult | undefined, begin: number): LiveReport {
    const averager = this.#averager;
    const nothing = { settled: 0, frames: 0, moving: false, lampChanged: false };
    const { settled, frames, moving, lampChanged } = averager?.state ?? nothing;
    const [g, red, blue] = averager?.tileLight ?? [];
    const isLit = frames >= FEWEST_FOR_LIGHT && g !== undefined;
    return {
      frame: this.#frame,
      width: this.#width,
      height: this.#height,
      pointing: this.#pointing,
      ...(averager && {
        tile: {
          polygon: averager.regions.tile,
          found: this.#tileFound,
          level: this.#tileLevel,
          ...(isLit && { light: [g, red!, blue!] as const }),
        },
      }),
      settled,
      framesAveraged: frames,
      moving,
      lampChanged,
      held: !this.#reading && !this.#arrived && this.#cadence.isHeld,
      ...(result && { result }),
      readingMs: this.#cadence.readingMs,
      workMs: this.#tools.now() - begin,
    };
  }
}
