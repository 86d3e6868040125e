/** What a person does with a blend map: mark the sprayed area, look, mark better, save. */
import type { Id } from '../../job/ids.ts';
import type { CapturedMap } from '../../link/bench-client.ts';
import type { BlendMapRequest, BlendMapResult } from '../../reading/blend-map.ts';
import type { PixelCircle, PixelPoint, PixelPolygon, Refusal } from '../../reading/types.ts';
import { closeUpOf, roundOutline, scaledOutline } from '../elements/area-handles.ts';
import type { AreaMarked, AreaTarget } from '../elements/viewfinder.ts';
import type { ViewRect } from '../elements/view-rect.ts';
import type { BenchSession } from './bench-session.ts';
import { NOTHING_READ, pictureShown, potOf, type BenchState } from './bench-state.ts';
import { cropPicture, picturesOf } from './evidence.ts';
import { guarded } from './fault.ts';
import { readingSettings, shotContext } from './reading-settings.ts';
import { settle } from './settling.ts';
import { Store } from './store.ts';
import type { Tools } from './tools.ts';

export interface MapState {
  /** The sprayed area as marked, px of the frame. */
  readonly outline: PixelPolygon | undefined;
  /** Sound glaze, when the person points at it; else what lies round the area is taken for it. */
  readonly glaze: PixelCircle | undefined;
  readonly target: AreaTarget;
  /** The part shown close up; it stays put while the outline is dragged. */
  readonly near: ViewRect | undefined;
  /** The picture without the map. */
  readonly bare: boolean;
  /** The outline has changed since the last map, and the next is not there yet. */
  readonly stale: boolean;
  readonly busy: 'mapping' | 'saving' | undefined;
  /** Why the last press of Save kept nothing. */
  readonly refused: readonly Refusal[];
  readonly saved: Id<'map'> | undefined;
  /** On the demo bench the mix lies sprayed over the fill. */
  readonly sprayed: boolean;
}

const FRESH: MapState = {
  outline: undefined,
  glaze: undefined,
  target: 'area',
  near: undefined,
  bare: false,
  stale: false,
  busy: undefined,
  refused: [],
  saved: undefined,
  sprayed: false,
};

/** A person who drags a corner has come to rest after this, ms. */
const REST_MS = 250;
/** A patch of glaze that is pointed at is this share of the picture's shorter side in radius. */
const GLAZE_SHARE = 0.03;

export class Mapping {
  readonly store = new Store<MapState>(FRESH);
  readonly #bench: Store<BenchState>;
  readonly #session: BenchSession;
  readonly #tools: Tools;
  #isOpen = false;
  #feed: unknown;
  #rest: ReturnType<typeof setTimeout> | undefined;

  constructor(bench: Store<BenchState>, session: BenchSession, tools: Tools) {
    this.#bench = bench;
    this.#session = session;
    this.#tools = tools;
  }

  /** The picture is for the map from now on, and readings rest. */
  open(): void {
    this.#isOpen = true;
    this.#bench.set({ ...NOTHING_READ, notice: undefined });
    this.#bench.addEventListener('change', this.#follow);
    if (pictureShown(this.#bench.state) !== this.#feed) this.#follow();
    else if (this.store.state.outline) this.#changed();
    else this.store.set({ target: 'area' });
  }

  /** Back to the dab; on the demo bench it lies there again. */
  async close(): Promise<void> {
    this.#isOpen = false;
    clearTimeout(this.#rest);
    this.#bench.removeEventListener('change', this.#follow);
    if (this.store.state.sprayed) await this.wipe();
    this.#dropMap();
    this.store.set({ target: 'none', busy: undefined, refused: [], saved: undefined });
    await this.#session.pointing.watch();
  }

  setTarget(target: AreaTarget): void {
    const { tile, live } = this.#bench.state;
    if (target === 'tile' && !tile && live?.tile) this.#bench.set({ tile: live.tile });
    this.store.set({ target, bare: false });
  }

  /** An outline drawn in one go is done; one that was placed is yet to be fitted by its corners. */
  mark({ polygon, how }: AreaMarked): void {
    const { near, target } = this.store.state;
    this.store.set({
      outline: polygon,
      near: how === 'changed' ? near : closeUpOf(polygon),
      target: how === 'drawn' ? 'none' : target,
    });
    this.#changed();
  }

  resize(by: number): void {
    const { outline } = this.store.state;
    const { width, height } = this.#bench.state.feed;
    if (outline) this.mark({ polygon: scaledOutline(outline, by, width, height), how: 'changed' });
  }

  /** Takes the outline away, to begin anew. */
  clear(): void {
    clearTimeout(this.#rest);
    const { sprayed } = this.store.state;
    this.store.set({ ...FRESH, sprayed });
    this.#dropMap();
    void this.#session.pointing.watch();
  }

  pointAtGlaze({ x, y }: PixelPoint): void {
    const { width, height } = this.#bench.state.feed;
    this.store.set({ glaze: { x, y, radius: GLAZE_SHARE * Math.min(width, height) } });
    this.#changed();
  }

  moveTile(polygon: PixelPolygon): void {
    this.#bench.set({ tile: polygon });
    this.#changed();
  }

  toggleNear(): void {
    this.store.set(({ near, outline }) => ({
      near: near || !outline ? undefined : closeUpOf(outline),
    }));
  }

  toggleBare(): void {
    this.store.set(({ bare, target }) => ({ bare: !bare, target: bare ? target : 'none' }));
  }

  /** On the demo bench: the mix in the pot is sprayed over the fill, and the area is marked. */
  async spray(): Promise<void> {
    const { scene } = this.#session.feeds;
    if (!scene) return;
    if (Object.keys(potOf(this.#bench.state)).length === 0) {
      this.#bench.set({ trouble: 'There is nothing in the pot to spray.' });
      return;
    }
    await guarded(this.#bench, 'The demo bench did not answer', async () => {
      await this.#session.feeds.spray(true);
      this.store.set({ sprayed: true });
      this.mark({ polygon: roundOutline(scene.fill, scene.fill.radius), how: 'drawn' });
    });
  }

  /** Takes the sprayed patch off the demo bench; the dab is back. */
  async wipe(): Promise<void> {
    await guarded(this.#bench, 'The demo bench did not answer', () =>
      this.#session.feeds.spray(false),
    );
    this.clear();
  }

  /** Keeps the map of this moment with its picture. */
  async save(): Promise<void> {
    const before = this.#bench.state;
    const { place } = before;
    if (!place || this.store.state.busy || !this.store.state.outline) return;
    this.store.set({ busy: 'saving', refused: [], saved: undefined });
    await guarded(this.#bench, 'The blend map could not be saved', async () => {
      await settle(this.#bench);
      const captured = await this.#capture();
      // The bench as it was when Save was pressed, read by the settings that made the map.
      const shot = shotContext(before, readingSettings(this.#bench.state));
      if (!captured || !shot) {
        this.#bench.set({ trouble: 'There is no map to save yet. Hold still a moment.' });
        return;
      }
      const { result, picture, request } = captured;
      if (!result.ok) {
        this.store.set({ refused: result.refused });
        return;
      }
      const pictures = await picturesOf(cropPicture(picture, result.crop));
      const record = await this.#tools.records.saveMap(
        place.area.id,
        result,
        {
          ...shot,
          at: new Date(),
          cameraSettings: this.#session.feeds.cameraSettings,
          picture,
          marked: request,
        },
        pictures,
      );
      this.store.set({ saved: record.id });
      this.#tools.records.keep();
    });
    this.store.set({ busy: undefined });
  }

  async #capture(): Promise<CapturedMap | undefined> {
    const { photo } = this.#session.feeds;
    if (!photo) return await this.#tools.bench.captureMap();
    const request = this.#request();
    const result = this.#bench.state.live?.map;
    if (!request || !result || this.store.state.stale) return undefined;
    return { result, picture: photo.picture, request, at: { x: 0, y: 0 } };
  }

  #request(): BlendMapRequest | undefined {
    const { outline, glaze } = this.store.state;
    const { tile } = this.#bench.state;
    return outline && { area: outline, ...(tile && { tile }), ...(glaze && { glaze }) };
  }

  #changed(): void {
    this.store.set({ stale: true, saved: undefined, refused: [] });
    this.#dropMap();
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => void this.#watch(), REST_MS);
  }

  async #watch(): Promise<void> {
    const request = this.#request();
    if (!request || !this.#isOpen) return;
    const settings = readingSettings(this.#bench.state);
    const { photo } = this.#session.feeds;
    this.store.set({ busy: 'mapping' });
    await guarded(this.#bench, 'The blend map could not be made', async () => {
      if (!photo) {
        await this.#tools.bench.watchArea(request, settings);
        this.#dropMap();
      } else {
        const map = await this.#tools.bench.mapPicture(photo.picture, request, settings);
        if (map === 'superseded' || this.#session.feeds.photo !== photo) return;
        this.#show(map);
      }
      this.store.set({ stale: false });
    });
    this.store.set({ busy: undefined });
  }

  #show(map: BlendMapResult): void {
    this.#bench.set(({ live }) => ({
      live: live && { ...live, map, tile: map.tile?.polygon ?? live.tile },
    }));
  }

  #dropMap(): void {
    const { live } = this.#bench.state;
    if (!live?.map) return;
    const withoutMap = { ...live };
    Reflect.deleteProperty(withoutMap, 'map');
    this.#bench.set({ live: withoutMap });
  }

  /** Another picture: what was marked in the one before means nothing in this one. */
  #follow = () => {
    const shown = pictureShown(this.#bench.state);
    if (shown === this.#feed) return;
    this.#feed = shown;
    this.store.set(FRESH);
  };
}
