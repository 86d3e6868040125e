/**
 * The live reading: frame by frame it finds and follows the tile, averages while nothing moves, and
 * reads the average whenever that is worth it. A steady frame must cost little more than fetching
 * it, so only the places that count are fetched, and a reading waits until the average has grown.
 */
import type { OpenCv } from '../src/reading/opencv.ts';
import type { FetchedPixels } from '../src/reading/patch-average.ts';
import { boundsOf, clamped, type PatchRect } from '../src/reading/patch-rect.ts';
import { read } from '../src/reading/read.ts';
import { refusal } from '../src/reading/refusals.ts';
import { readTile } from '../src/reading/tile.ts';
import { findTile } from '../src/reading/tile-finder.ts';
import { FrameAverager, type FrameState } from '../src/reading/temporal.ts';
import type {
  EncodedPicture,
  PixelPoint,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  RefusalReason,
  Regions,
} from '../src/reading/types.ts';
import type { CapturedReading, LiveReport } from './bench-api.ts';
import { Cadence } from './cadence.ts';

/** Frames between two searches for a tile that is not found. */
const SEARCH_EVERY = 8;
/** How often a reading may ask for a wider look before that is given up. */
const MOST_WIDENINGS = 3;

/** Slot of the whole frame among the fetched pixels; the patches come before it. */
const WHOLE_FRAME = 9;
/** Corners that have moved less than this, px, are the same tile. */
const SAME_TILE = 3;
const NOTHING = { settled: 0, frames: 0, moving: false, lampChanged: false };

/** How the pixels of a frame are come by. */
export interface PixelsOf<Frame> {
  sizeOf(frame: Frame): { readonly width: number; readonly height: number };
  /** @param slot pixels stay valid until the next fetch into the same one */
  fetch(frame: Frame, rect: PatchRect, slot: number): Promise<FetchedPixels>;
}

type Pointed = Regions & { readonly tile: PixelPolygon };

export class LiveBench<Frame> {
  readonly #cv: OpenCv;
  readonly #now: () => number;
  readonly #pixels: PixelsOf<Frame>;
  #pointing = 0;
  #regions: Partial<Regions> = {};
  #settings: ReadingSettings | undefined;
  #frame = 0;
  #width = 0;
  #height = 0;
  /** The whole frame, 16 bits: one frame as backdrop, the averaged places written over it. */
  #picture = new Uint16Array(0);
  #averager: FrameAverager | undefined;
  #foundTile = true;
  #tileLevel = 0;
  #nextSearch = 0;
  #around: PatchRect | undefined;
  #widenings = 0;
  readonly #cadence = new Cadence();
  #said: RefusalReason | undefined;

  /** @param now a clock, ms */
  constructor(cv: OpenCv, pixels: PixelsOf<Frame>, now: () => number) {
    this.#cv = cv;
    this.#pixels = pixels;
    this.#now = now;
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
    const tile = regions.tile ?? (this.#foundTile ? this.#averager?.regions.tile : undefined);
    this.#foundTile = regions.tile === undefined;
    if (tile && this.#averager) this.#watch(tile, this.#averager.state.moving);
    else this.#averager = undefined;
    this.#nextSearch = 0;
  }

  /** Forgets the feed; where the person points stays. */
  reset(): void {
    this.#frame = 0;
    this.#width = 0;
    this.#height = 0;
    this.#picture = new Uint16Array(0);
    this.#averager = undefined;
    this.#nextSearch = 0;
    this.#around = undefined;
    this.#widenings = 0;
    this.#forgetReading();
  }

  async analyse(frame: Frame): Promise<LiveReport> {
    const begin = this.#now();
    this.#frame += 1;
    this.#fit(this.#pixels.sizeOf(frame));
    if (this.#frame >= this.#nextSearch) await this.#search(frame);
    const averager = this.#averager;
    let result: ReadingResult | undefined;
    if (averager) {
      const wasMoving = averager.state.moving;
      const fetched = [];
      for (const [slot, rect] of averager.rects.entries()) {
        fetched.push(await this.#pixels.fetch(frame, rect, slot));
      }
      // While the pixels came, the person may have pointed elsewhere.
      if (averager === this.#averager) {
        const state = averager.add(fetched);
        // What moved may have been the tile: look for it anew.
        if (wasMoving && !state.moving) this.#nextSearch = this.#frame + 1;
        result = this.#result(averager, state);
      }
    } else if (this.#pointed()) {
      result = this.#say('tile-missing');
    }
    return this.#report(result, begin);
  }

  capture(): CapturedReading | undefined {
    const averager = this.#averager;
    const regions = this.#pointed();
    if (!averager || !regions || !this.#settings) return undefined;
    const { moving, lampChanged, frames } = averager.state;
    averager.write(this.#picture, this.#width);
    const at = this.#boundsOfAll(averager);
    const picture = cut(this.#picture, this.#width, at, Math.max(1, frames));
    const there = {
      ...regions,
      tile: regions.tile.map((corner) => from(at, corner)),
      glaze: from(at, regions.glaze),
      dab: from(at, regions.dab),
    };
    const reason = moving ? 'moving' : lampChanged ? 'lamp-changed' : undefined;
    const result: ReadingResult = reason
      ? { ok: false, refused: [refusal(reason)] }
      : this.#honest(read(this.#cv, picture, there, this.#settings));
    return { result, picture, regions: there, at: { x: at.x, y: at.y } };
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
  async #search(frame: Frame): Promise<void> {
    const pointing = this.#pointing;
    const whole = { x: 0, y: 0, width: this.#width, height: this.#height };
    const { rgba } = await this.#pixels.fetch(frame, whole, WHOLE_FRAME);
    if (pointing !== this.#pointing) return;
    this.#nextSearch = Infinity;
    const picture = { ...whole, rgba, maxCode: 255, frames: 1 } as const;
    const { dab, glaze, dabOn, tile: given } = this.#regions;
    const onPiece = [...(dab && dabOn !== 'tile' ? [dab] : []), ...(glaze ? [glaze] : [])];
    const tile = given ?? findTile(this.#cv, picture, onPiece);
    this.#foundTile = given === undefined;
    if (!tile) {
      this.#averager = undefined;
      this.#nextSearch = this.#frame + SEARCH_EVERY;
      return;
    }
    const known = this.#averager?.regions.tile;
    for (let i = 0; i < this.#picture.length; i++) this.#picture[i] = 257 * rgba[i]!;
    this.#tileLevel = readTile(picture, tile).level;
    if (!known || apart(known, tile) > SAME_TILE) this.#watch(tile, this.#averager === undefined);
  }

  #watch(tile: PixelPolygon, moving: boolean): void {
    const regions = { ...this.#regions, tile };
    this.#averager = new FrameAverager(
      this.#cv,
      this.#width,
      this.#height,
      regions,
      moving,
      this.#around,
    );
    this.#forgetReading();
  }

  #forgetReading(): void {
    this.#cadence.forget();
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
    if (!this.#cadence.isDue(state)) return undefined;
    const begin = this.#now();
    averager.write(this.#picture, this.#width);
    const picture: EncodedPicture = {
      width: this.#width,
      height: this.#height,
      rgba: this.#picture,
      maxCode: 65535,
      frames: state.frames,
    };
    const result = this.#honest(read(this.#cv, picture, regions, this.#settings));
    this.#cadence.took(this.#now() - begin);
    if (result.tile) this.#tileLevel = result.tile.level;
    this.#widen(result, averager);
    return result;
  }

  /** A refusal that began with this frame; said once. */
  #say(reason: RefusalReason): ReadingResult | undefined {
    this.#cadence.forget();
    if (this.#said === reason) return undefined;
    this.#said = reason;
    return { ok: false, refused: [refusal(reason)] };
  }

  /** When a reading looked beyond what is averaged, more is averaged from now on. */
  #widen(result: ReadingResult, averager: FrameAverager): void {
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
    return result.tile ? { ...result, tile: { ...result.tile, found: this.#foundTile } } : result;
  }

  #boundsOfAll(averager: FrameAverager): PatchRect {
    const corners = averager.rects.flatMap((r) => [
      { x: r.x, y: r.y },
      { x: r.x + r.width, y: r.y + r.height },
    ]);
    return clamped(boundsOf(corners, 0), this.#width, this.#height);
  }

  #report(result: ReadingResult | undefined, begin: number): LiveReport {
    const averager = this.#averager;
    const { settled, frames, moving, lampChanged } = averager?.state ?? NOTHING;
    return {
      frame: this.#frame,
      width: this.#width,
      height: this.#height,
      pointing: this.#pointing,
      ...(averager && {
        tile: {
          polygon: averager.regions.tile,
          found: this.#foundTile,
          level: this.#tileLevel,
        },
      }),
      settled,
      framesAveraged: frames,
      moving,
      lampChanged,
      ...(result && { result }),
      workMs: this.#now() - begin,
    };
  }
}

/** The same point, counted from another corner. */
const from = <P extends PixelPoint>(corner: PixelPoint, point: P): P => ({
  ...point,
  x: point.x - corner.x,
  y: point.y - corner.y,
});

/** Largest way between corners of the same rank, px. */
function apart(one: PixelPolygon, other: PixelPolygon): number {
  if (one.length !== other.length) return Infinity;
  return Math.max(...one.map((p, i) => Math.hypot(p.x - other[i]!.x, p.y - other[i]!.y)));
}

function cut(
  rgba: Uint16Array,
  frameWidth: number,
  { x, y, width, height }: PatchRect,
  frames: number,
): EncodedPicture {
  const part = new Uint16Array(width * height * 4);
  for (let row = 0; row < height; row++) {
    const begin = ((y + row) * frameWidth + x) * 4;
    part.set(rgba.subarray(begin, begin + width * 4), row * width * 4);
  }
  return { width, height, rgba: part, maxCode: 65535, frames };
}
