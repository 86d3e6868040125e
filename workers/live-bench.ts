/**
 * The live reading: the average of the frames is read whenever that is worth it. A steady frame must cost
 * little more than fetching it, so only the places that count are fetched.
 */
import type { PatchRect } from '../src/reading/patch-rect.ts';
import type { FrameAverager, FrameState } from '../src/reading/temporal.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  RefusedReading,
  Regions,
} from '../src/reading/types.ts';
import type { CapturedReading, LiveReport } from './bench-api.ts';
import { Cadence } from './cadence.ts';
import { LiveFrames, type FrameTools } from './live-frames.ts';
import { movedResult } from './snapshot.ts';

/** The tile's light is told from so many frames on: one alone is noise. */
const FEWEST_FOR_LIGHT = 4;
/** How often a reading may ask for a wider look before that is given up. */
const MOST_WIDENINGS = 3;

export interface LiveTools<Frame> extends FrameTools<Frame> {
  /** Makes a reading; the picture is given away. */
  read(
    picture: EncodedPicture,
    regions: Regions,
    settings: ReadingSettings,
  ): Promise<ReadingResult>;
}

type Pointed = Regions & { readonly tile: PixelPolygon };

export class LiveBench<Frame> extends LiveFrames<Frame, ReadingResult> {
  readonly #tools: LiveTools<Frame>;
  readonly #cadence = new Cadence();
  #pointing = 0;
  #regions: Partial<Regions> = {};
  #settings: ReadingSettings | undefined;
  #tileFound = true;
  #around: PatchRect | undefined;
  #widenings = 0;

  constructor(tools: LiveTools<Frame>) {
    super(tools);
    this.#tools = tools;
  }

  point(regions: Partial<Regions>, settings: ReadingSettings, pointing: number): void {
    const same = JSON.stringify(regions) === JSON.stringify(this.#regions);
    this.#regions = regions;
    this.#settings = settings;
    this.#pointing = pointing;
    this.forget();
    if (same) return;
    this.#forgetPlace();
    const { averager } = this;
    const tile = regions.tile ?? (this.#tileFound ? averager?.regions.tile : undefined);
    this.#tileFound = regions.tile === undefined;
    this.lookAnew();
    if (tile && averager) this.follow(tile, averager.state.moving);
  }

  override reset(): void {
    super.reset();
    this.#forgetPlace();
  }

  async capture(): Promise<CapturedReading | undefined> {
    const [averager, regions, settings] = [this.averager, this.#pointed(), this.#settings];
    if (!averager || !regions || !settings) return undefined;
    const shot = this.snapshot(averager, regions);
    return await this.captured(averager, shot, (copy) =>
      this.#tools.read(copy, shot.regions, settings),
    );
  }

  protected override regions(): Partial<Regions> {
    return this.#regions;
  }

  protected override isTileSought(): boolean {
    return this.#tileFound;
  }

  protected override isPointed(): boolean {
    return this.#pointed() !== undefined && this.#settings !== undefined;
  }

  protected override follow(tile: PixelPolygon, moving: boolean): void {
    this.average({ ...this.#regions, tile }, moving, this.#around);
  }

  protected override forget(): void {
    super.forget();
    this.#cadence.forget();
  }

  protected override steady(
    averager: FrameAverager,
    state: FrameState,
    arrived: ReadingResult | undefined,
  ): void {
    const [regions, settings] = [this.#pointed(), this.#settings];
    if (!regions || !settings) return;
    if (arrived) this.#widen(arrived, averager);
    if (this.isMaking || !this.#cadence.isDue(state)) return;
    const { picture, regions: shown, at } = this.snapshot(averager, regions);
    void this.makeBeside(
      () => this.#tools.read(picture, shown, settings),
      (ms) => this.#cadence.took(ms),
      (result) => movedResult(result, at),
    );
  }

  protected override tile(averager: FrameAverager): NonNullable<LiveReport['tile']> {
    const [g, red, blue] = averager.tileLight;
    const isLit = averager.state.frames >= FEWEST_FOR_LIGHT && g !== undefined;
    return { ...super.tile(averager), ...(isLit && { light: [g, red!, blue!] as const }) };
  }

  protected override about(result: ReadingResult | RefusedReading | undefined) {
    return {
      pointing: this.#pointing,
      held: !this.isMaking && !this.hasArrived && this.#cadence.isHeld,
      ...(result && { result }),
      readingMs: this.#cadence.readingMs,
    };
  }

  #forgetPlace(): void {
    this.#around = undefined;
    this.#widenings = 0;
  }

  /** All regions where they are now; undefined until glaze and dab are pointed at. */
  #pointed(): Pointed | undefined {
    const { glaze, dab, dabOn = 'piece' } = this.averager?.regions ?? this.#regions;
    const tile = this.averager?.regions.tile ?? [];
    return glaze && dab && { tile, glaze, dab, dabOn };
  }

  /** When a reading looked beyond what is averaged, more is averaged from now on. */
  #widen(result: ReadingResult, averager: FrameAverager): void {
    if (result.tile) this.tileLevel = result.tile.level;
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
    this.follow(averager.regions.tile, false);
  }
}
