/** Where dab, glaze and tile are pointed at in the picture, which is read for them from then on. */
import type { DemoBench } from '../../camera/demo.ts';
import type { Photo } from '../../camera/photo.ts';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingResult,
  Regions,
} from '../../reading/types.ts';
import type { PointTarget } from '../elements/viewfinder.ts';
import { NOTHING_READ, pictureShown, type BenchState } from './bench-state.ts';
import { guarded } from './fault.ts';
import type { Feeds } from './feeds.ts';
import { readingSettings } from './reading-settings.ts';
import type { Store } from './store.ts';
import type { Tools } from './tools.ts';

/** A dab is taken to be this share of the picture's shorter side across until its outline is found. */
const DAB_RADIUS_SHARE = 0.03;

export class Pointing {
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  readonly #feeds: Feeds;
  /** Where the piece is pointed at, and in which picture, while a coat on the tile is read. */
  #onPiece: ({ readonly of: unknown } & Pick<BenchState, 'dab' | 'glaze' | 'dabOn'>) | undefined;
  /** Where the coat on the tile lies, and in which picture: the next one is laid there too. */
  #coat: { readonly of: unknown; readonly at: PixelCircle } | undefined;

  constructor(store: Store<BenchState>, tools: Tools, feeds: Feeds) {
    this.#store = store;
    this.#tools = tools;
    this.#feeds = feeds;
  }

  get regions(): Partial<Regions> {
    const { tile, dab, glaze, dabOn } = this.#store.state;
    return { dabOn, ...(tile && { tile }), ...(dab && { dab }), ...(glaze && { glaze }) };
  }

  setTarget(target: PointTarget): void {
    const { tile, live } = this.#store.state;
    // The corners that were found become the person's own, to be dragged.
    if (target === 'tile' && !tile && live?.tile) this.#store.set({ tile: live.tile });
    this.#store.set({ target });
  }

  async pointAt(target: 'dab' | 'glaze', { x, y }: PixelPoint): Promise<void> {
    if (this.#onPiece) {
      await this.pointOnTile({ x, y });
      return;
    }
    const { dab, glaze } = this.#store.state;
    const radius = dab?.radius ?? this.#dabRadius();
    const next = target === 'dab' && !glaze ? 'glaze' : target;
    await this.#point({ [target]: { x, y, radius }, target: next, notice: undefined });
  }

  /** Reads a coat on the tile for itself from now on: there is no glaze, both circles are its own. */
  async pointOnTile(at?: PixelPoint): Promise<void> {
    const { dab, glaze, dabOn } = this.#store.state;
    const of = pictureShown(this.#store.state);
    this.#onPiece ??= { of, dab, glaze, dabOn };
    const radius = this.#dabRadius();
    if (at) this.#coat = { of, at: { x: at.x, y: at.y, radius } };
    const known = this.#coat;
    const coat = known && known.of === of ? { ...known.at, radius } : undefined;
    await this.#point({
      ...NOTHING_READ,
      notice: undefined,
      dabOn: 'tile',
      dab: coat,
      glaze: coat,
      target: 'dab',
      closeUp: false,
    });
  }

  /** Back to the dab on the piece, as it was pointed at. */
  async pointOnPiece(): Promise<void> {
    const back = this.#onPiece;
    if (!back) return;
    this.#onPiece = undefined;
    const isThere = back.of === pictureShown(this.#store.state);
    await this.#point({
      dabOn: back.dabOn,
      dab: isThere ? back.dab : undefined,
      glaze: isThere ? back.glaze : undefined,
      refused: [],
    });
  }

  /** The demo's piece never moves: it is pointed at to begin with, and the person may point anew. */
  async pointAtScene({ dab, glaze, onTile }: DemoBench['scene']): Promise<void> {
    const of = pictureShown(this.#store.state);
    this.#coat = { of, at: onTile };
    if (this.#onPiece) {
      this.#onPiece = { of, dab, glaze, dabOn: 'piece' };
      await this.pointOnTile();
    } else await this.#point({ dab, glaze });
  }

  async moveTile(tile: PixelPolygon): Promise<void> {
    await this.#point({ tile });
  }

  /** Lets the tile be found by itself again. */
  async findTile(): Promise<void> {
    await this.#point({ tile: undefined, target: 'dab' });
  }

  async setDabOn(dabOn: BenchState['dabOn']): Promise<void> {
    await this.#point({ dabOn });
  }

  /** Looks for the tile in the photograph. */
  async lookOver(): Promise<void> {
    const { photo } = this.#feeds;
    if (!photo) return;
    await guarded(this.#store, 'The photograph could not be read', async () => {
      const polygon = await this.#tools.bench.findTile(photo.picture);
      if (polygon === 'superseded' || this.#feeds.photo !== photo) return;
      this.#store.set({
        engine: 'ready',
        live: {
          tile: polygon,
          tileFound: polygon !== undefined,
          tileLevel: undefined,
          settled: 1,
          framesAveraged: 1,
          moving: false,
          result: undefined,
        },
      });
      await this.watch();
    });
  }

  /** The picture is read for what is pointed at, from now on. */
  async watch(): Promise<void> {
    await this.#point({});
  }

  /**
   * Points otherwise than before. A held reading that is not saved waits; what was last seen is of
   * another place, and outlined no longer.
   */
  async #point(changed: Partial<BenchState>): Promise<void> {
    this.#store.set(({ held, live }) => ({
      ...(held && { ...NOTHING_READ, notice: undefined }),
      live: live && { ...live, result: undefined },
      ...changed,
    }));
    await guarded(this.#store, 'The reading engine did not answer', async () => {
      const { bench } = this.#tools;
      const { photo } = this.#feeds;
      const { regions } = this;
      const settings = readingSettings(this.#store.state);
      if (!photo) {
        await bench.point(regions, settings);
        return;
      }
      if (!regions.dab || !regions.glaze) return;
      const result = await bench.readPicture(photo.picture, regions, settings);
      if (result !== 'superseded') this.saw(photo, result);
    });
  }

  /** What the photograph reads as where it is pointed at, if it still is on the bench. */
  saw(photo: Photo, result: ReadingResult): void {
    if (this.#feeds.photo !== photo) return;
    this.#store.set(({ live }) => ({
      live: live && {
        ...live,
        tile: result.tile?.polygon ?? live.tile,
        tileLevel: result.tile?.level ?? live.tileLevel,
        result,
      },
    }));
  }

  #dabRadius(): number {
    const { width, height } = this.#store.state.feed;
    return DAB_RADIUS_SHARE * Math.min(width, height);
  }
}
