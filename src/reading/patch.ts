/** One place of a live feed that is watched, followed when the camera creeps, and averaged. */
import type { OpenCv } from './opencv.ts';
import { MOST_FRAMES, PatchAverage, type FetchedPixels } from './patch-average.ts';
import type { PatchRect } from './patch-rect.ts';
import { cellsOf, difference, shiftBetween, type Cells } from './registration.ts';
import { Steady } from './steadiness.ts';
import type { PixelPoint } from './types.ts';

/** Differences between frames, codes, that never count as movement, and that always do. */
const NOT_MOVED = 0.35;
const SURELY_MOVED = 8;
/** Shifts under this, px, explain no difference. */
const LEAST_SHIFT = 0.15;
/** Shifts up to this, px, are left: interpolation would blur as much, and readings keep clear of edges. */
const LEFT_SHIFT = 0.75;

/** What a patch of a new frame shows, against the frames before. */
export type Seen = 'same' | 'shifted' | 'other';

export class Patch {
  readonly average: PatchAverage;
  readonly #first: PatchRect;
  readonly #most: PixelPoint;
  readonly #scatter = new Steady(NOT_MOVED, SURELY_MOVED);
  #at: PixelPoint;
  #reference: Cells | undefined;
  #before: Cells | undefined;
  #last: Cells | undefined;
  #lastButOne: Cells | undefined;

  constructor(rect: PatchRect, frameWidth: number, frameHeight: number) {
    this.#first = rect;
    this.#at = { x: rect.x, y: rect.y };
    this.#most = { x: frameWidth - rect.width, y: frameHeight - rect.height };
    this.average = new PatchAverage(rect.width, rect.height);
  }

  get rect(): PatchRect {
    return { ...this.#first, ...this.#at };
  }
  get shift(): PixelPoint {
    return { x: this.#at.x - this.#first.x, y: this.#at.y - this.#first.y };
  }

  heldAtFirst(point: PixelPoint): boolean {
    const { x, y, width, height } = this.#first;
    return point.x >= x && point.y >= y && point.x < x + width && point.y < y + height;
  }

  compare(cv: OpenCv, pixels: FetchedPixels): Seen {
    const now = cellsOf(pixels, this.#first);
    this.#last = now;
    if (!this.#reference) return 'same';
    const codes = difference(this.#reference, now);
    if (codes < SURELY_MOVED && this.#scatter.departure(codes) < 1) {
      this.#scatter.add(codes);
      return 'same';
    }
    const shift = shiftBetween(cv, this.#reference, now);
    const pixelsOff = shift ? Math.max(Math.abs(shift.x), Math.abs(shift.y)) : 0;
    // What differs but has not shifted has changed.
    if (!shift || pixelsOff < LEAST_SHIFT) return 'other';
    if (pixelsOff > LEFT_SHIFT) return this.#follow(shift);
    this.#last = undefined;
    return 'same';
  }

  /** When another patch has shifted, this one most likely has too, whether it shows or not. */
  followToo(cv: OpenCv): void {
    if (!this.#reference || !this.#last) return;
    const shift = shiftBetween(cv, this.#reference, this.#last);
    if (shift) this.#follow(shift);
  }

  /**
   * While all moves: has it come to rest? What moves differs more from the frame before the last
   * than from the last; noise differs as much from either.
   */
  isStill(pixels: FetchedPixels): boolean {
    const now = cellsOf(pixels, this.#first);
    const [last, lastButOne] = [this.#last, this.#lastButOne];
    this.#lastButOne = last;
    this.#last = now;
    if (!last || !lastButOne) return false;
    const codes = difference(last, now);
    return codes < SURELY_MOVED && difference(lastButOne, now) < 1.2 * codes + NOT_MOVED;
  }

  /** After a movement: goes to where the content has gone, if it is still the same. */
  rejoin(cv: OpenCv): Seen {
    const before = this.#before;
    this.#before = undefined;
    const shift = before && this.#last && shiftBetween(cv, before, this.#last);
    if (!shift || Math.max(Math.abs(shift.x), Math.abs(shift.y)) <= LEFT_SHIFT) return 'same';
    return this.#follow(shift);
  }

  add(pixels: FetchedPixels): void {
    this.average.add(pixels);
    const now = this.#last;
    // A frame that lies a little off must not draw the reference after it.
    if (!now) return;
    if (!this.#reference) {
      this.#reference = { ...now, green: now.green.slice() };
      return;
    }
    const { green } = this.#reference;
    const rate = 1 / Math.min(MOST_FRAMES, this.average.frames);
    for (let i = 0; i < green.length; i++) green[i]! += rate * (now.green[i]! - green[i]!);
  }

  restart(): void {
    this.average.reset();
    this.#before = this.#reference ?? this.#before;
    this.#reference = undefined;
    this.#lastButOne = undefined;
    this.#scatter.reset();
  }

  /** Goes after what has shifted, by whole pixels; out of the frame it cannot. */
  #follow(by: PixelPoint): Seen {
    const to = { x: this.#at.x + Math.round(by.x), y: this.#at.y + Math.round(by.y) };
    if (to.x < 0 || to.y < 0 || to.x > this.#most.x || to.y > this.#most.y) return 'other';
    this.#at = to;
    return 'shifted';
  }
}
