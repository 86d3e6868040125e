/** The live blend map: the average over the sprayed area and the glaze round it is mapped now and then. */
import type { BlendMapRequest, BlendMapResult } from '../src/reading/blend-map.ts';
import { ringReach } from '../src/reading/glaze-round.ts';
import { shapeOf, type AreaShape } from '../src/reading/marked-area.ts';
import { squareRound } from '../src/reading/patch-rect.ts';
import type { FrameAverager, FrameState } from '../src/reading/temporal.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingSettings,
  RefusedReading,
  Regions,
} from '../src/reading/types.ts';
import type { CapturedMap } from './bench-api.ts';
import { LiveFrames, type FrameTools } from './live-frames.ts';
import { movedMap, movedRequest } from './snapshot.ts';

export interface MapTools<Frame> extends FrameTools<Frame> {
  /** Makes a map; the picture is given away. */
  map(
    picture: EncodedPicture,
    request: BlendMapRequest,
    settings: ReadingSettings,
  ): Promise<BlendMapResult>;
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

export class LiveMap<Frame> extends LiveFrames<Frame, BlendMapResult> {
  readonly #tools: MapTools<Frame>;
  #watched: Watched | undefined;
  /** Since the last map of this average: frames seen, and how far it had settled; none yet. */
  #since: { frames: number; readonly settled: number } | undefined;
  #mapMs = 0;

  constructor(tools: MapTools<Frame>) {
    super(tools);
    this.#tools = tools;
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
    this.lookAnew();
    this.forget();
  }

  async capture(): Promise<CapturedMap | undefined> {
    const [averager, watched] = [this.averager, this.#watched];
    if (!averager || !watched) return undefined;
    const shot = this.#shot(averager, watched);
    return await this.captured(averager, shot, (copy) =>
      this.#tools.map(copy, shot.request, watched.settings),
    );
  }

  protected override regions(): Partial<Regions> | undefined {
    return this.#watched?.places;
  }

  protected override isTileSought(): boolean {
    return this.#watched?.request.tile === undefined;
  }

  protected override isPointed(): boolean {
    return this.#watched !== undefined;
  }

  protected override follow(tile: PixelPolygon, moving: boolean): void {
    if (!this.#watched) return;
    const { places, shape, reach } = this.#watched;
    const middle = { ...shape.centre, radius: MIDDLE * reach };
    this.average({ ...places, tile, dab: middle }, moving, squareRound(shape.centre, reach));
  }

  protected override averagedAnew(): void {
    super.averagedAnew();
    this.#since = undefined;
  }

  protected override forget(): void {
    super.forget();
    this.#since = undefined;
  }

  protected override steady(averager: FrameAverager, state: FrameState): void {
    const watched = this.#watched;
    if (!watched || this.isMaking || !this.#isDue(state)) return;
    const { picture, request, at } = this.#shot(averager, watched);
    void this.makeBeside(
      () => this.#tools.map(picture, request, watched.settings),
      (ms) => (this.#mapMs = ms),
      (map) => movedMap(map, at),
    );
  }

  protected override about(map: BlendMapResult | RefusedReading | undefined) {
    return {
      pointing: this.#watched?.pointing ?? 0,
      held: false,
      ...(map && { map }),
      readingMs: this.#mapMs,
    };
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

  /** The averaged picture with the area where it is now: what was followed took it along. */
  #shot(averager: FrameAverager, { request, shape }: Watched): Omit<CapturedMap, 'result'> {
    const { tile, dab: middle = { ...shape.centre, radius: 0 }, glaze } = averager.regions;
    const regions = { tile, dab: middle, glaze: glaze ?? middle, dabOn: 'piece' } as const;
    const { picture, at } = this.snapshot(averager, regions);
    const followed = { x: middle.x - shape.centre.x, y: middle.y - shape.centre.y };
    const { area } = movedRequest(request, followed);
    const now = { area, tile, ...(request.glaze && glaze && { glaze }) };
    return { picture, at, request: movedRequest(now, { x: -at.x, y: -at.y }) };
  }
}
