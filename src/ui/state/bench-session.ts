/** What a person does on the bench: open a picture, point, read, save, add, and read again. */
import type { Photo } from '../../camera/photo.ts';
import type { Id } from '../../job/ids.ts';
import type { Settings } from '../../job/settings.ts';
import { superseded, type Superseded } from '../../link/latest.ts';
import type { PotGrams } from '../../paint/types.ts';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  Regions,
} from '../../reading/types.ts';
import type { PointTarget } from '../elements/viewfinder.ts';
import type { OpenedArea } from './bench-records.ts';
import { EMPTY_NUDGE, isReadingUnsaved, type BenchState } from './bench-state.ts';
import { CharacterisingSession } from './characterising.ts';
import { faultInWords } from './fault.ts';
import { Feeds } from './feeds.ts';
import { Mixing } from './mixing.ts';
import { nextStep } from './next-step.ts';
import { Palettes } from './palettes.ts';
import { readingSettings } from './reading-settings.ts';
import { keep, keepingOf, SetAside, type Captured } from './set-aside.ts';
import type { Tools } from './tools.ts';
import type { Store } from './store.ts';

/** A dab is taken to be this share of the picture's shorter side across until its outline is found. */
const DAB_RADIUS_SHARE = 0.03;
/** From here on the live average counts as settled. */
export const SETTLED = 0.95;
/** So long does a press of Read wait for the picture to settle, ms. */
const PATIENCE_MS = 8000;

export class BenchSession {
  readonly feeds: Feeds;
  readonly mixing: Mixing;
  readonly palettes: Palettes;
  readonly characterising: CharacterisingSession;
  /** Readings that are held no longer and not saved yet. */
  readonly aside: SetAside;
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  /** The picture behind the held reading; it stays out of the store. */
  #captured: Captured | undefined;
  /** Where the piece is pointed at, and in which picture, while a coat on the tile is read. */
  #onPiece: ({ readonly of: unknown } & Pick<BenchState, 'dab' | 'glaze' | 'dabOn'>) | undefined;
  /** Where the coat on the tile lies, and in which picture: the next one is laid there too. */
  #coat: { readonly of: unknown; readonly at: PixelCircle } | undefined;

  constructor(store: Store<BenchState>, tools: Tools) {
    this.#store = store;
    this.#tools = tools;
    this.aside = new SetAside(store, tools.records, () => this.#captured);
    this.feeds = new Feeds(store, tools);
    this.mixing = new Mixing(store, tools, this.feeds);
    this.palettes = new Palettes(store, tools);
    this.characterising = new CharacterisingSession(store, this.feeds, this.palettes, this);
  }

  /** Opens where the person left off, on the demo bench. */
  async begin(): Promise<void> {
    await this.#guard('The records could not be opened', async () => {
      this.#store.set({ settings: await this.#tools.records.settings() });
      this.#take(await this.#tools.records.openLast());
    });
    this.feeds.watchCameras();
    this.#tools.records.onChange(() => void this.#refresh());
    // Whoever was quicker than the records has a picture already.
    if (!this.feeds.isChosen) await this.openDemo();
  }

  /** The demo's piece never moves: it is pointed at to begin with, and the person may point anew. */
  async openDemo(): Promise<void> {
    const scene = await this.feeds.openDemo();
    if (!scene) return;
    const { dab, glaze, onTile } = scene;
    this.#coat = { of: this.#pictureShown(), at: onTile };
    if (this.#onPiece) {
      this.#onPiece = { of: this.#pictureShown(), dab, glaze, dabOn: 'piece' };
      await this.pointOnTile();
      return;
    }
    this.#store.set({ dab, glaze });
    await this.#repoint();
  }

  async openArea(area: Id<'area'>): Promise<void> {
    await this.#guard('The area could not be opened', async () => {
      await this.feeds.layDabAfter(async () => {
        this.#take(await this.#tools.records.openArea(area));
      });
    });
  }

  async openPhoto(file: Blob & { readonly name?: string }): Promise<void> {
    if (await this.feeds.openPhoto(file)) await this.#lookOver();
  }

  /** Another photograph of the same bench: what was pointed at stays pointed at. */
  async showPhoto(photo: Photo, file: Blob): Promise<void> {
    this.feeds.showPhoto(photo, file);
    await this.#lookOver();
  }

  /** Looks for the tile in the photograph. */
  async #lookOver(): Promise<void> {
    const { photo } = this.feeds;
    if (!photo) return;
    await this.#guard('The photograph could not be read', async () => {
      const polygon = await this.#tools.bench.findTile(photo.picture);
      if (polygon === 'superseded' || this.feeds.photo !== photo) return;
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
      await this.#repoint();
    });
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
    const { feed, dab } = this.#store.state;
    const radius = dab?.radius ?? DAB_RADIUS_SHARE * Math.min(feed.width, feed.height);
    const next = target === 'dab' && !this.#store.state.glaze ? 'glaze' : target;
    this.#store.set({ [target]: { x, y, radius }, target: next, notice: undefined });
    await this.#repoint();
  }

  /** Reads a coat on the tile for itself from now on: there is no glaze, both circles are its own. */
  async pointOnTile(at?: PixelPoint): Promise<void> {
    const { feed, dab, glaze, dabOn } = this.#store.state;
    const of = this.#pictureShown();
    this.#onPiece ??= { of, dab, glaze, dabOn };
    const radius = DAB_RADIUS_SHARE * Math.min(feed.width, feed.height);
    if (at) this.#coat = { of, at: { x: at.x, y: at.y, radius } };
    const known = this.#coat;
    const coat = known && known.of === of ? { ...known.at, radius } : undefined;
    this.backToLive();
    this.#store.set({ dabOn: 'tile', dab: coat, glaze: coat, target: 'dab', closeUp: false });
    await this.#repoint();
  }

  /** Back to the dab on the piece, as it was pointed at. */
  async pointOnPiece(): Promise<void> {
    const back = this.#onPiece;
    if (!back) return;
    this.#onPiece = undefined;
    const isThere = back.of === this.#pictureShown();
    this.#store.set({
      dabOn: back.dabOn,
      dab: isThere ? back.dab : undefined,
      glaze: isThere ? back.glaze : undefined,
      refused: [],
    });
    await this.#repoint();
  }

  /** A reading of this moment that is not held: what a coat on the tile is read by. */
  async measure(): Promise<ReadingResult | undefined> {
    await this.#steady();
    return (await this.#capture())?.result;
  }

  #pictureShown(): unknown {
    const { stream, address } = this.#store.state.feed;
    return stream ?? address;
  }

  /** Waits, but not for ever, until the live average has settled. */
  async settle(): Promise<void> {
    await this.#steady();
  }

  /** Live frames are for the dab again, after a blend map. */
  async watchDab(): Promise<void> {
    await this.#repoint();
  }

  async moveTile(polygon: PixelPolygon): Promise<void> {
    this.#store.set({ tile: polygon });
    await this.#repoint();
  }

  /** Lets the tile be found by itself again. */
  async findTile(): Promise<void> {
    this.#store.set({ tile: undefined, target: 'dab' });
    await this.#repoint();
  }

  async setDabOn(dabOn: 'piece' | 'tile'): Promise<void> {
    this.#store.set({ dabOn });
    await this.#repoint();
  }

  /** Keeps the settings, and goes by them from now on. */
  async keepSettings(changed: Settings): Promise<Settings> {
    const settings = await this.#tools.records.saveSettings(changed);
    this.#store.set({ settings });
    await this.#repoint();
    return settings;
  }

  /** Takes the reading of this moment. */
  async read(): Promise<void> {
    if (this.#store.state.busy) return;
    const { dab, glaze } = this.#store.state;
    if (!dab || !glaze) {
      this.#store.set({ notice: { text: 'Point at the dab and at the glaze first.' } });
      return;
    }
    const before = this.#store.state;
    const behind = this.#captured;
    this.#captured = undefined;
    this.#store.set({
      busy: 'reading',
      refused: [],
      held: undefined,
      nudge: EMPTY_NUDGE,
      notice: undefined,
    });
    await this.#guard('The reading failed', async () => {
      await this.#steady();
      const captured = await this.#capture();
      if (!captured) {
        this.#store.set({ notice: { text: 'There is nothing to read yet. Hold still a moment.' } });
        return;
      }
      const { result } = captured;
      if (!result.ok) {
        this.#store.set({ refused: result.refused });
        return;
      }
      this.#captured = { ...captured, cameraSettings: this.feeds.cameraSettings };
      this.#store.set({
        held: { result, at: new Date().toISOString(), saved: undefined, offset: captured.at },
      });
      void this.mixing.suggest(result.glazeLab, result.dabLab);
    });
    // The reading before goes for a new one; not for none.
    if (!this.#store.state.held && behind && isReadingUnsaved(before)) {
      this.aside.add(keepingOf(before, behind));
    }
    this.#store.set({ busy: undefined });
  }

  /** Keeps the reading with its evidence. True when it is kept, now or before. */
  async save(): Promise<boolean> {
    const { held, busy } = this.#store.state;
    const captured = this.#captured;
    if (busy || !held || !captured) return false;
    if (held.saved) return true;
    const keeping = keepingOf(this.#store.state, captured);
    if (!keeping) return false;
    this.#store.set({ busy: 'saving' });
    const isSaved = await this.#guard(
      'The reading could not be saved; it is still on the screen',
      async () => {
        const record = await keep(this.#tools.records, keeping);
        const { attempt } = keeping;
        this.#store.set(({ readings, held: now }) => ({
          readings: [...readings, { record, attempt }],
          held: now === held ? { ...held, saved: record.id } : now,
          notice: { text: 'Reading saved.' },
        }));
        // Something may have taken its place meanwhile.
        this.aside.letGo([held.at]);
      },
    );
    this.#store.set({ busy: undefined });
    if (isSaved) {
      await this.#guard('What was learned could not be kept', () => this.mixing.keepLearned());
      await this.#tools.records.keep();
    }
    return isSaved;
  }

  /** Saves the readings that something took the place of. */
  async saveAside(): Promise<void> {
    await this.#guard('The reading could not be saved; it is still held', async () => {
      await this.aside.save();
      this.#store.set({ notice: { text: 'Saved.' } });
    });
    await this.#refresh();
  }

  /** Records the addition: the chosen suggestion, or what was really added. An unsaved reading is saved first. */
  async added(addition?: PotGrams): Promise<void> {
    const { nudge, held } = this.#store.state;
    const grams = addition ?? nudge.suggestions[nudge.chosen]?.additions;
    if (!grams) {
      this.#store.set({
        notice: { text: 'There is no suggested addition to record. Read first.' },
      });
      return;
    }
    if (held && !held.saved && !(await this.save())) return;
    await this.#guard('The addition could not be recorded', () => this.mixing.add(grams));
  }

  async statePot(pot: PotGrams): Promise<void> {
    await this.#guard('The pot could not be recorded', () => this.mixing.statePot(pot));
  }

  async undo(): Promise<void> {
    await this.#guard('The addition could not be taken back', () => this.mixing.undo());
  }

  /** Takes back what the notice tells of. */
  async undoNotice(): Promise<void> {
    const undo = this.#store.state.notice?.undo;
    if (undo) await this.#guard('It could not be taken back', undo);
  }

  /** Lets the held reading go, saved or not, as the person asks, and shows the live picture again. */
  letGo(): void {
    this.#captured = undefined;
    this.backToLive();
  }

  /** Shows the live picture again. A reading that is not saved waits. */
  backToLive(): void {
    this.#store.set({ held: undefined, refused: [], nudge: EMPTY_NUDGE, notice: undefined });
  }

  async doNext(): Promise<void> {
    const { action } = nextStep(this.#store.state);
    if (action === 'read') await this.read();
    else if (action === 'save') await this.save();
    else if (action === 'added') await this.added();
  }

  /** Another window, or another screen, has changed the records: what is listed follows. */
  async #refresh(): Promise<void> {
    const { place, busy } = this.#store.state;
    if (!place || busy) return;
    await this.#guard('The records could not be read again', async () => {
      const opened = await this.#tools.records.openArea(place.area.id);
      const { place: now, mixes } = this.#store.state;
      if (now?.area.id !== place.area.id) return;
      // What was read, and suggested, of the mix before is not of this one: it is not to be added again.
      if (opened.mixes.at(-1)?.id !== mixes.at(-1)?.id) this.#take(opened);
      else this.#store.set(opened);
    });
  }

  #take(opened: OpenedArea): void {
    this.#store.set({ ...opened, held: undefined, refused: [], nudge: EMPTY_NUDGE });
  }

  /** Waits, but not for ever, until the live average has settled: a hand has just left the bench. */
  async #steady(): Promise<void> {
    const isSteady = () => {
      const { live, feed, engine } = this.#store.state;
      const cannotSettle = feed.kind === 'photo' || typeof engine === 'object';
      return cannotSettle || (live !== undefined && live.settled >= SETTLED);
    };
    await new Promise<void>((resolve) => {
      const done = () => {
        clearTimeout(patience);
        this.#store.removeEventListener('change', look);
        resolve();
      };
      const look = () => {
        if (isSteady()) done();
      };
      const patience = setTimeout(done, PATIENCE_MS);
      this.#store.addEventListener('change', look);
      look();
    });
  }

  async #capture(): Promise<Omit<Captured, 'cameraSettings'> | undefined> {
    const { photo } = this.feeds;
    if (!photo) return await this.#tools.bench.capture();
    const regions = this.#regions();
    if (!regions.dab || !regions.glaze) return undefined;
    let result: ReadingResult | Superseded = superseded;
    // A reading for the view may overtake this one: it is asked for again, not given up.
    while (result === superseded && this.feeds.photo === photo) {
      result = await this.#tools.bench.readPicture(photo.picture, regions, this.#readingSettings());
    }
    if (result === superseded) return undefined;
    return { result, picture: photo.picture, regions: regions as Regions, at: { x: 0, y: 0 } };
  }

  async #repoint(): Promise<void> {
    if (this.#store.state.held) this.backToLive();
    await this.#guard('The reading engine did not answer', async () => {
      const { photo } = this.feeds;
      const regions = this.#regions();
      if (!photo) {
        await this.#tools.bench.point(regions, this.#readingSettings());
        return;
      }
      if (!regions.dab || !regions.glaze) return;
      const result = await this.#tools.bench.readPicture(
        photo.picture,
        regions,
        this.#readingSettings(),
      );
      if (result === 'superseded' || this.feeds.photo !== photo) return;
      this.#store.set(({ live }) => ({
        live: live && {
          ...live,
          tile: result.tile?.polygon ?? live.tile,
          tileLevel: result.tile?.level ?? live.tileLevel,
          result,
        },
      }));
    });
  }

  #regions(): Partial<Regions> {
    const { tile, dab, glaze, dabOn } = this.#store.state;
    return { dabOn, ...(tile && { tile }), ...(dab && { dab }), ...(glaze && { glaze }) };
  }

  #readingSettings(): ReadingSettings {
    return readingSettings(this.#store.state);
  }

  /** A fault becomes a line the person can read; nothing that was there is lost. True when none. */
  async #guard(what: string, work: () => Promise<void>): Promise<boolean> {
    try {
      await work();
      return true;
    } catch (error) {
      const why = faultInWords(error);
      this.#store.set({ trouble: `${what}: ${why}` });
      return false;
    }
  }
}
