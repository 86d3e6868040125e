/**
 * Frames of a live feed averaged while nothing changes. Each place that counts (tile, piece) is a
 * patch that is watched, followed when the camera creeps, and summed in linear light. What moves or
 * changes starts the average anew, and a changed lamp is told from a moved piece by the tile.
 */
import type { OpenCv } from './opencv.ts';
import { Patch } from './patch.ts';
import type { FetchedPixels } from './patch-average.ts';
import { boundsOf, centre, clamped, holds, squareRound, type PatchRect } from './patch-rect.ts';
import { insideCircle, insidePolygon, shrunk } from './picture.ts';
import { Steady } from './steadiness.ts';
import { dabNumbers, departs, spotsIn, tileNumbers, type Spots } from './watched-light.ts';
import type { PixelCircle, PixelPoint, PixelPolygon, Regions } from './types.ts';

/** What to watch; without glaze and dab only the tile is. */
export type WatchedRegions = Partial<Regions> & { readonly tile: PixelPolygon };

export interface FrameState {
  /** Counts the averages begun so far: another number is another average. */
  readonly average: number;
  /** Frames in the average. */
  readonly frames: number;
  /** 0–1: frames in the average over those after which more bring little. */
  readonly settled: number;
  readonly moving: boolean;
  readonly lampChanged: boolean;
  /** ln of the dab's light against the tile's, each channel, over the last frames; empty without a dab. */
  readonly dabLight: readonly number[];
}

/** Frames after which more bring little. */
const SETTLED_FRAMES = 32;
/** Frames that must differ in a row before it counts: one can be a glitch. */
const MOVED_FRAMES = 2;
const CHANGED_FRAMES = 3;
/** Frames that may be left out in a row while the camera is followed. */
const LEFT_OUT_FRAMES = 4;
/** Frames that must agree in a row before the average begins again. */
const STILL_FRAMES = 3;
/** Frames averaged under the new light before it is trusted. */
const LAMP_FRAMES = 8;
/** Departures, ln, that never count as a change, and those that do until the scatter is known. */
const LEVEL = [0.02, 0.2] as const;
const RATIO = [0.01, 0.06] as const;
const DAB = [0.004, 0.06] as const;

/** Pixels that a settled average takes in of each frame, on the mean. */
const PIXELS_A_FRAME = 80_000;

const TILE_MARGIN = 8;
/** Half-width of what a reading looks at round the dab, in its radii and px. */
const REACH = { radii: 4.5, pixels: 12 };

export class FrameAverager {
  readonly #cv: OpenCv;
  readonly #patches: readonly Patch[];
  readonly #given: WatchedRegions;
  readonly #tileSpots: Spots;
  readonly #dabSpots: Spots | undefined;
  readonly #tileLight = [LEVEL, RATIO, RATIO].map(([least, surely]) => new Steady(least, surely));
  readonly #dabLight = [DAB, DAB, DAB].map(([least, surely]) => new Steady(least, surely));
  #moving: boolean;
  #average = 1;
  #disturbed = 0;
  #changed = 0;
  #leftOut = 0;
  #still = 0;
  #lampFrames = 0;
  #passed = 0;

  /**
   * @param width frame, px; @param regions inside it
   * @param moving true until it proves otherwise, as after a movement
   * @param around the dab: rectangle that readings look at, when more is known than the dab's circle
   */
  constructor(
    cv: OpenCv,
    width: number,
    height: number,
    regions: WatchedRegions,
    moving: boolean,
    around?: PatchRect,
  ) {
    this.#cv = cv;
    this.#moving = moving;
    this.#given = regions;
    const { tile, glaze, dab } = regions;
    const rects = [boundsOf(tile, TILE_MARGIN)];
    if (dab) rects.push(squareRound(dab, REACH.radii * dab.radius + REACH.pixels));
    if (dab && around) rects.push(around);
    if (glaze) rects.push(squareRound(glaze, glaze.radius + 2));
    const inFrame = rects
      .map((rect) => clamped(rect, width, height))
      .filter((rect) => rect.width >= 16 && rect.height >= 16);
    const needed = inFrame.filter(
      (rect, i) => !inFrame.some((other, j) => j !== i && holds(other, rect, j < i)),
    );
    this.#patches = needed.map((rect) => new Patch(rect, width, height));
    const onTile = shrunk(tile, 0.6);
    this.#tileSpots = spotsIn(this.#patchOf(centre(tile)), boundsOf(onTile, 0), (x, y) => {
      const covered = dab !== undefined && insideCircle({ ...dab, radius: 1.6 * dab.radius }, x, y);
      return insidePolygon(onTile, x, y) && !covered;
    });
    if (dab) {
      const core = { ...dab, radius: dab.radius / 2 };
      this.#dabSpots = spotsIn(this.#patchOf(dab), squareRound(core, core.radius), (x, y) =>
        insideCircle(core, x, y),
      );
    }
  }

  /** Where each patch is to be fetched in the next frame: whole pixels, inside the frame. */
  get rects(): readonly PatchRect[] {
    return this.#patches.map((patch) => patch.rect);
  }

  get state(): FrameState {
    const frames = this.#moving ? 0 : this.#patches[0]!.average.frames;
    return {
      average: this.#average,
      frames,
      settled: Math.min(1, frames / SETTLED_FRAMES),
      moving: this.#moving,
      lampChanged: this.#lampFrames > 0,
      dabLight: this.#dabSpots ? this.#dabLight.map((steady) => steady.mean) : [],
    };
  }

  /** ln G, ln R/G and ln B/G of the tile, as running means; empty while it moves. */
  get tileLight(): readonly number[] {
    return this.#moving ? [] : this.#tileLight.map((steady) => steady.mean);
  }

  /** The regions where they are now: a patch that was followed took its region along. */
  get regions(): WatchedRegions {
    const { glaze, dab } = this.#given;
    const moved = this.#patchOf(centre(this.#given.tile)).shift;
    return {
      ...this.#given,
      tile: this.#given.tile.map((p) => ({ x: p.x + moved.x, y: p.y + moved.y })),
      ...(glaze && { glaze: this.#followed(glaze) }),
      ...(dab && { dab: this.#followed(dab) }),
    };
  }

  /** One more frame; `pixels` as fetched from `rects`, in their order. */
  add(pixels: readonly FetchedPixels[]): FrameState {
    if (this.#moving) this.#awaitStillness(pixels);
    else this.#continue(pixels);
    return this.state;
  }

  /** Writes the averaged patches into a 16-bit RGBA picture of the frame's size. */
  write(rgba: Uint16Array, width: number): void {
    for (const { average, rect } of this.#patches) {
      if (average.frames > 0) average.write(rgba, width, rect.x, rect.y);
    }
  }

  #continue(pixels: readonly FetchedPixels[]): void {
    const seen = this.#patches.map((patch, i) => patch.compare(this.#cv, pixels[i]!));
    if (seen.includes('other')) {
      this.#disturbed += 1;
      this.#leaveOut(pixels, this.#disturbed >= MOVED_FRAMES);
      return;
    }
    this.#disturbed = 0;
    if (seen.includes('shifted')) {
      this.#patches.forEach((patch, i) => {
        if (seen[i] === 'same') patch.followToo(this.#cv);
      });
      this.#leaveOut(pixels, false);
      return;
    }
    const tileLight = this.#tileSpots.light(pixels, this.#patches);
    const tile = tileNumbers(tileLight);
    const dabLight = this.#dabSpots?.light(pixels, this.#patches);
    const dab = dabLight && dabNumbers(dabLight, tileLight);
    const lampDeparts = departs(this.#tileLight, tile);
    if (lampDeparts || (dab && departs(this.#dabLight, dab))) {
      this.#changed += 1;
      if (this.#changed < CHANGED_FRAMES) return;
      if (lampDeparts) this.#lampFrames = LAMP_FRAMES;
      this.#begin(pixels);
    } else {
      this.#changed = 0;
      this.#leftOut = 0;
      this.#lampFrames = Math.max(0, this.#lampFrames - 1);
      if (this.#hasTime()) this.#patches.forEach((patch, i) => patch.add(pixels[i]!));
    }
    this.#tileLight.forEach((steady, k) => steady.add(tile[k]!));
    if (dab) this.#dabLight.forEach((steady, k) => steady.add(dab[k]!));
  }

  /** A frame that does not count; one after the other, and it is a movement. */
  #leaveOut(pixels: readonly FetchedPixels[], hasMoved: boolean): void {
    this.#leftOut += 1;
    if (!hasMoved && this.#leftOut < LEFT_OUT_FRAMES) return;
    this.#moving = true;
    this.#still = 0;
    for (const patch of this.#patches) patch.restart();
    this.#awaitStillness(pixels);
  }

  /** Once settled, patches are summed in every few frames only, the larger the fewer: it is enough. */
  #hasTime(): boolean {
    if (this.state.settled < 1) return true;
    const pixels = this.#patches.reduce((sum, { rect }) => sum + rect.width * rect.height, 0);
    this.#passed = (this.#passed + 1) % Math.ceil(pixels / PIXELS_A_FRAME);
    return this.#passed === 0;
  }

  #awaitStillness(pixels: readonly FetchedPixels[]): void {
    const still = this.#patches
      .map((patch, i) => patch.isStill(pixels[i]!))
      .every((isStill) => isStill);
    this.#still = still ? this.#still + 1 : 0;
    if (this.#still < STILL_FRAMES) return;
    if (this.#patches.map((patch) => patch.rejoin(this.#cv)).includes('shifted')) return;
    this.#moving = false;
    this.#begin(pixels);
  }

  /** The average starts with this frame. */
  #begin(pixels: readonly FetchedPixels[]): void {
    this.#average += 1;
    this.#disturbed = 0;
    this.#changed = 0;
    this.#leftOut = 0;
    for (const steady of [...this.#tileLight, ...this.#dabLight]) steady.reset();
    this.#patches.forEach((patch, i) => {
      patch.restart();
      patch.add(pixels[i]!);
    });
  }

  #patchOf(point: PixelPoint): Patch {
    const around = this.#patches.filter((patch) => patch.heldAtFirst(point));
    return around[0] ?? this.#patches[0]!;
  }

  #followed(circle: PixelCircle): PixelCircle {
    const { shift } = this.#patchOf(circle);
    return { ...circle, x: circle.x + shift.x, y: circle.y + shift.y };
  }
}
