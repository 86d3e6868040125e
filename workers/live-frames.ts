/**
 * The frames of a live feed: the tile is found and followed, the places that count are averaged while
 * nothing moves, and what is made of the average elsewhere comes in with a later frame, so that no frame
 * is missed over it. What is looked at, and what is made of it, is for a reading and for a map to say.
 */
import type { OpenCv } from '../src/reading/opencv.ts';
import type { PatchRect } from '../src/reading/patch-rect.ts';
import type { NoTile } from '../src/reading/reference.ts';
import { refusal } from '../src/reading/refusals.ts';
import { FrameAverager, type FrameState } from '../src/reading/temporal.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  RefusalReason,
  RefusedReading,
  Regions,
  TileReading,
} from '../src/reading/types.ts';
import { arrival } from './arrival.ts';
import type { LiveReport } from './bench-api.ts';
import { snapshot, type Snapshot } from './snapshot.ts';
import { isSameTile, TileSearch, type FoundTile, type SearchTools } from './tile-search.ts';

export interface FrameTools<Frame> extends SearchTools<Frame> {
  readonly cv: OpenCv;
  /** A clock, ms. */
  now(): number;
}

const STILL = { settled: 0, frames: 0, moving: false, lampChanged: false } as const;

export abstract class LiveFrames<Frame, Result extends { readonly tile?: TileReading }> {
  readonly #tools: FrameTools<Frame>;
  readonly #search: TileSearch<Frame>;
  #frame = 0;
  #width = 0;
  #height = 0;
  /** The whole frame, 16 bits: one frame as backdrop, the averaged places written over it. */
  #picture = new Uint16Array(0);
  #averager: FrameAverager | undefined;
  #isMaking = false;
  /** What an answer under way must be about to count: a new one for each place and each average. */
  #subject: object = {};
  /** What has come of it, to go out with the next frame. */
  #arrived: (() => Result) | undefined;
  #said: RefusalReason | undefined;
  protected tileLevel = 0;

  constructor(tools: FrameTools<Frame>) {
    this.#tools = tools;
    this.#search = new TileSearch(tools);
  }

  /** Where the person points now; another object once they have pointed elsewhere. */
  protected abstract regions(): Partial<Regions> | undefined;
  /** Is the tile looked for, and not given by the person? */
  protected abstract isTileSought(): boolean;
  /** Is enough pointed at for an answer? */
  protected abstract isPointed(): boolean;
  /** The tile lies here: an average begins. */
  protected abstract follow(tile: PixelPolygon, moving: boolean): void;
  /** The places are averaged anew: what was made of the earlier average is over. */
  protected averagedAnew(): void {
    this.#subject = {};
  }
  /** The frame is steady; `arrived` goes out with it. */
  protected abstract steady(
    averager: FrameAverager,
    state: FrameState,
    arrived: Result | undefined,
  ): void;
  /** What the report says beside frame, tile and average. */
  protected abstract about(
    answer: Result | RefusedReading | undefined,
  ): Pick<LiveReport, 'pointing' | 'held' | 'result' | 'map' | 'readingMs'>;

  protected get averager(): FrameAverager | undefined {
    return this.#averager;
  }
  protected get isMaking(): boolean {
    return this.#isMaking;
  }
  protected get hasArrived(): boolean {
    return this.#arrived !== undefined;
  }

  /** Forgets the feed; where the person points stays. */
  reset(): void {
    this.#frame = 0;
    this.#width = 0;
    this.#height = 0;
    this.#picture = new Uint16Array(0);
    this.lookAnew();
    this.forget();
  }

  async analyse(frame: Frame): Promise<LiveReport> {
    const begin = this.#tools.now();
    this.#frame += 1;
    this.#fit(this.#tools.pixels.sizeOf(frame));
    const found = this.regions() && this.#search.arrived();
    if (found) this.#take(found);
    if (this.#search.isDue(this.#frame)) await this.#look(frame);
    return this.#report(await this.#answer(frame), begin);
  }

  async #answer(frame: Frame): Promise<Result | RefusedReading | undefined> {
    const averager = this.#averager;
    if (!averager) {
      const { noTile } = this.#search;
      return noTile && this.isPointed() ? this.#say(noTile) : undefined;
    }
    const wasMoving = averager.state.moving;
    const fetched = [];
    for (const [slot, rect] of averager.rects.entries()) {
      fetched.push(await this.#tools.pixels.fetch(frame, rect, slot));
    }
    // While the pixels came, the person may have pointed elsewhere.
    if (averager !== this.#averager) return undefined;
    const { average } = averager.state;
    const state = averager.add(fetched);
    if (state.average !== average) this.averagedAnew();
    // What moved may have been the tile: look for it anew.
    if (wasMoving && !state.moving) this.#search.lookAgainAt(this.#frame + 1);
    if (!this.isPointed()) return undefined;
    const reason = unsteadiness(state);
    if (reason) return this.#say(reason);
    this.#said = undefined;
    const arrived = this.#arrived;
    this.#arrived = undefined;
    const answer = arrived?.();
    this.steady(averager, state, answer);
    return answer;
  }

  /** Averages these places from now on. */
  protected average(
    regions: Partial<Regions> & { readonly tile: PixelPolygon },
    moving: boolean,
    around: PatchRect | undefined,
  ): void {
    const { cv } = this.#tools;
    this.#averager = new FrameAverager(cv, this.#width, this.#height, regions, moving, around);
    this.forget();
  }

  /** Nothing is averaged until the tile is found again. */
  protected lookAnew(): void {
    this.#averager = undefined;
    this.#search.forget();
  }

  /** What was said and what is under way is over. */
  protected forget(): void {
    this.#subject = {};
    this.#arrived = undefined;
    this.#said = undefined;
  }

  /** Has an answer made beside the frames. */
  protected async makeBeside(
    make: () => Promise<Result>,
    took: (ms: number) => void,
    inFrame: (result: Result) => Result,
  ): Promise<void> {
    const subject = this.#subject;
    const honest = this.#honest();
    const begin = this.#tools.now();
    this.#isMaking = true;
    await arrival(make(), (made) => {
      this.#isMaking = false;
      took(this.#tools.now() - begin);
      if (subject === this.#subject) this.#arrived = () => inFrame(honest(made()));
    });
  }

  /** A part of the frame as it is asked for, with what is made of it; refused while anything changes. */
  protected async captured<Shot extends { readonly picture: EncodedPicture }>(
    averager: FrameAverager,
    shot: Shot,
    make: (picture: EncodedPicture) => Promise<Result>,
  ): Promise<Shot & { readonly result: Result | RefusedReading }> {
    const reason = unsteadiness(averager.state);
    if (reason) return { ...shot, result: refused(reason) };
    const honest = this.#honest();
    const result = await make({ ...shot.picture, rgba: shot.picture.rgba.slice() });
    return { ...shot, result: honest(result) };
  }

  /** The part of the averaged frame that counts. */
  protected snapshot(
    averager: FrameAverager,
    regions: Regions & { readonly tile: PixelPolygon },
  ): Snapshot {
    averager.write(this.#picture, this.#width);
    return snapshot(this.#backdrop(), averager.rects, regions, Math.max(1, averager.state.frames));
  }

  protected tile(averager: FrameAverager): NonNullable<LiveReport['tile']> {
    const { tile: polygon } = averager.regions;
    return { polygon, found: this.isTileSought(), level: this.tileLevel };
  }

  #backdrop() {
    return { rgba: this.#picture, width: this.#width, height: this.#height };
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
    const tile = await this.#search.look(frame, this.#backdrop(), () => this.regions());
    if (tile) this.#take(tile);
  }

  #take(tile: FoundTile | NoTile): void {
    if (!this.#search.isFound(tile, this.#frame)) {
      this.#averager = undefined;
      return;
    }
    this.tileLevel = tile.level;
    const known = this.#averager?.regions.tile;
    if (!known || !isSameTile(known, tile.polygon)) {
      this.follow(tile.polygon, this.#averager === undefined);
    }
  }

  /** A refusal that began with this frame; said once. */
  #say(reason: RefusalReason): RefusedReading | undefined {
    const isNew = this.#said !== reason;
    this.forget();
    this.#said = reason;
    return isNew ? refused(reason) : undefined;
  }

  /** Whoever is handed a tile takes it for the person's. */
  #honest(): (result: Result) => Result {
    const found = this.isTileSought();
    return (result) => (result.tile ? { ...result, tile: { ...result.tile, found } } : result);
  }

  #report(answer: Result | RefusedReading | undefined, begin: number): LiveReport {
    const averager = this.#averager;
    const { settled, frames, moving, lampChanged } = averager?.state ?? STILL;
    return {
      frame: this.#frame,
      width: this.#width,
      height: this.#height,
      ...(averager && { tile: this.tile(averager) }),
      settled,
      framesAveraged: frames,
      moving,
      lampChanged,
      ...this.about(answer),
      workMs: this.#tools.now() - begin,
    };
  }
}

function unsteadiness({ moving, lampChanged }: FrameState): RefusalReason | undefined {
  return moving ? 'moving' : lampChanged ? 'lamp-changed' : undefined;
}

function refused(reason: RefusalReason): RefusedReading {
  return { ok: false, refused: [refusal(reason)] };
}
