/**
 * The search for the tile, beside the frames: a frame is given away to be looked over, and what was
 * found comes in with a later one.
 */
import type { FetchedPixels } from '../src/reading/patch-average.ts';
import type { PatchRect } from '../src/reading/patch-rect.ts';
import type { NoTile } from '../src/reading/reference.ts';
import { readTile } from '../src/reading/tile.ts';
import type { EncodedPicture, PixelPolygon, Regions } from '../src/reading/types.ts';
import { arrival } from './arrival.ts';

/** How the pixels of a frame are come by. */
export interface PixelsOf<Frame> {
  sizeOf(frame: Frame): { readonly width: number; readonly height: number };
  /** @param slot pixels stay valid until the next fetch into the same one */
  fetch(frame: Frame, rect: PatchRect, slot: number): Promise<FetchedPixels>;
}

export interface SearchTools<Frame> {
  readonly pixels: PixelsOf<Frame>;
  /** Looks for the tile; the picture is given away. */
  find(picture: EncodedPicture, regions: Partial<Regions>): Promise<FoundTile | NoTile>;
}

export interface FoundTile {
  readonly polygon: PixelPolygon;
  /** Its brightest channel as a share of the encoded range, 0–1. */
  readonly level: number;
}

/** The whole frame, 16 bits: one frame as backdrop, the averaged places written over it. */
export interface Backdrop {
  readonly rgba: Uint16Array;
  readonly width: number;
  readonly height: number;
}

/** Frames between two searches for a tile that is not found. */
const SEARCH_EVERY = 8;
/** Slot of the whole frame among the fetched pixels; the patches come before it. */
const WHOLE_FRAME = 9;
/** Corners that have moved less than this, px, are the same tile. */
const SAME_TILE = 3;

export class TileSearch<Frame> {
  readonly #tools: SearchTools<Frame>;
  #next = 0;
  /** The search under way, by an object of its own; what it finds counts only while it is the last. */
  #underWay: object | undefined;
  /** What has come of it, to be taken in with the next frame. */
  #found: (() => FoundTile | NoTile) | undefined;
  #noTile: NoTile | undefined;

  constructor(tools: SearchTools<Frame>) {
    this.#tools = tools;
  }

  /** Why there is no tile, after a search that found none. */
  get noTile(): NoTile | undefined {
    return this.#noTile;
  }

  /** Begins anew with the next frame. */
  forget(): void {
    this.#next = 0;
    this.#underWay = undefined;
    this.#found = undefined;
    this.#noTile = undefined;
  }

  isDue(frame: number): boolean {
    return frame >= this.#next;
  }

  lookAgainAt(frame: number): void {
    this.#next = frame;
  }

  /** What has come of a search, once; throws its fault. */
  arrived(): FoundTile | NoTile | undefined {
    const found = this.#found;
    this.#found = undefined;
    return found?.();
  }

  /**
   * Takes the whole frame as backdrop and looks over it, unless the tile is given: then it is only read,
   * and answered at once.
   * @param regions where the person points now; another object once they have pointed elsewhere
   */
  async look(
    frame: Frame,
    backdrop: Backdrop,
    regions: () => Partial<Regions> | undefined,
  ): Promise<FoundTile | undefined> {
    const asked = regions();
    const { width, height } = backdrop;
    const whole = { x: 0, y: 0, width, height };
    const { rgba } = await this.#tools.pixels.fetch(frame, whole, WHOLE_FRAME);
    if (!asked || asked !== regions()) return undefined;
    this.#next = Infinity;
    for (let i = 0; i < backdrop.rgba.length; i++) backdrop.rgba[i] = 257 * rgba[i]!;
    const picture = { ...whole, maxCode: 255, frames: 1 } as const;
    const { tile } = asked;
    if (tile) return { polygon: tile, level: readTile({ ...picture, rgba }, tile).level };
    void this.#find({ ...picture, rgba: rgba.slice(0, backdrop.rgba.length) }, asked);
    return undefined;
  }

  /** Notes what was found, or when to look again. */
  isFound(tile: FoundTile | NoTile, frame: number): tile is FoundTile {
    const none = typeof tile === 'string';
    this.#noTile = none ? tile : undefined;
    if (none) this.#next = frame + SEARCH_EVERY;
    return !none;
  }

  /** The search takes longer than a frame: it goes on beside them. */
  #find(picture: EncodedPicture, regions: Partial<Regions>): Promise<void> {
    const underWay = {};
    this.#underWay = underWay;
    return arrival(this.#tools.find(picture, regions), (found) => {
      if (underWay === this.#underWay) this.#found = found;
    });
  }
}

/** Is it the tile that was there? */
export function isSameTile(one: PixelPolygon, other: PixelPolygon): boolean {
  return (
    one.length === other.length &&
    one.every((p, i) => Math.hypot(p.x - other[i]!.x, p.y - other[i]!.y) <= SAME_TILE)
  );
}
