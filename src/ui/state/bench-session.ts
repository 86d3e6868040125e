/** What a person does on the bench: open a picture or an area, read, save, add, and read again. */
import type { Photo } from '../../camera/photo.ts';
import type { Id } from '../../job/ids.ts';
import type { Settings } from '../../job/settings.ts';
import type { PotGrams } from '../../paint/types.ts';
import type { OpenedArea } from './bench-records.ts';
import { NOTHING_READ, type BenchState } from './bench-state.ts';
import { CharacterisingSession } from './characterising.ts';
import { guarded } from './fault.ts';
import { Feeds } from './feeds.ts';
import { Mixing } from './mixing.ts';
import { nextStep } from './next-step.ts';
import { OnePress } from './one-press.ts';
import { Palettes } from './palettes.ts';
import { Pointing } from './pointing.ts';
import { Readings } from './readings.ts';
import type { Tools } from './tools.ts';
import type { Store } from './store.ts';

export class BenchSession {
  readonly feeds: Feeds;
  readonly pointing: Pointing;
  readonly mixing: Mixing;
  readonly readings: Readings;
  readonly palettes: Palettes;
  readonly characterising: CharacterisingSession;
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  readonly #pouring = new OnePress();
  /** The records changed while the bench was busy. */
  #isBehind = false;

  constructor(store: Store<BenchState>, tools: Tools) {
    this.#store = store;
    this.#tools = tools;
    this.feeds = new Feeds(store, tools);
    this.pointing = new Pointing(store, tools, this.feeds);
    this.mixing = new Mixing(store, tools, this.feeds);
    this.readings = new Readings(store, tools, this.feeds, this.pointing, this.mixing);
    this.palettes = new Palettes(store, tools);
    this.characterising = new CharacterisingSession(
      store,
      this.feeds,
      this.palettes,
      this.pointing,
      this.readings,
    );
  }

  /** Opens where the person left off, on the demo bench. */
  async begin(): Promise<void> {
    await guarded(this.#store, 'The records could not be opened', async () => {
      this.#store.set({ settings: await this.#tools.records.settings() });
      this.#take(await this.#tools.records.openLast());
    });
    this.feeds.watchCameras();
    this.#tools.records.onChange(() => void this.#refresh());
    this.#store.addEventListener('change', () => {
      if (this.#isBehind && !this.#store.state.busy) void this.#refresh();
    });
    // Whoever was quicker than the records has a picture already.
    if (!this.feeds.isChosen) await this.openDemo();
  }

  async openDemo(): Promise<void> {
    const scene = await this.feeds.openDemo();
    if (scene) await this.pointing.pointAtScene(scene);
  }

  async openPhoto(file: Blob & { readonly name?: string }): Promise<void> {
    if (await this.feeds.openPhoto(file)) await this.pointing.lookOver();
  }

  /** Another photograph of the same bench: what was pointed at stays pointed at. */
  async showPhoto(photo: Photo, file: Blob): Promise<void> {
    this.feeds.showPhoto(photo, file);
    await this.pointing.lookOver();
  }

  async openArea(area: Id<'area'>): Promise<void> {
    await guarded(this.#store, 'The area could not be opened', async () => {
      await this.feeds.layDabAfter(async () => {
        this.#take(await this.#tools.records.openArea(area));
      });
    });
  }

  /** Keeps the settings, and goes by them from now on. */
  async keepSettings(changed: Settings): Promise<Settings> {
    const settings = await this.#tools.records.saveSettings(changed);
    this.#store.set({ settings });
    await this.pointing.watch();
    return settings;
  }

  /** Saves the readings that something took the place of. */
  async saveAside(): Promise<void> {
    await guarded(this.#store, 'The reading could not be saved; it is still held', async () => {
      await this.readings.aside.save();
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
    await this.#pouring.begin(async () => {
      if (held && !held.saved && !(await this.readings.save())) return;
      await guarded(this.#store, 'The addition could not be recorded', () =>
        this.mixing.add(grams),
      );
    });
  }

  async statePot(pot: PotGrams): Promise<void> {
    await this.#pouring.begin(async () => {
      await guarded(this.#store, 'The pot could not be recorded', () => this.mixing.statePot(pot));
    });
  }

  async undo(): Promise<void> {
    await this.#pouring.begin(async () => {
      await guarded(this.#store, 'The addition could not be taken back', () => this.mixing.undo());
    });
  }

  /** Takes back what the notice tells of. */
  async undoNotice(): Promise<void> {
    const undo = this.#store.state.notice?.undo;
    if (undo) await guarded(this.#store, 'It could not be taken back', undo);
  }

  async doNext(): Promise<void> {
    const { action } = nextStep(this.#store.state);
    if (action === 'read') await this.readings.take();
    else if (action === 'save') await this.readings.save();
    else if (action === 'added') await this.added();
  }

  /** Another window, or another screen, has changed the records: what is listed follows. */
  async #refresh(): Promise<void> {
    const { place, busy } = this.#store.state;
    this.#isBehind = busy !== undefined;
    if (!place || busy) return;
    await guarded(this.#store, 'The records could not be read again', async () => {
      const opened = await this.#tools.records.openArea(place.area.id);
      const { place: now, mixes } = this.#store.state;
      if (now?.area.id !== place.area.id) return;
      if (opened.mixes.at(-1)?.id === mixes.at(-1)?.id) {
        this.#store.set(opened);
        return;
      }
      // What was read, suggested and laid of the mix before is not of this one: it is not added again.
      await this.feeds.layDabAfter(() => {
        this.#take(opened);
        return Promise.resolve();
      });
    });
  }

  #take(opened: OpenedArea): void {
    this.#store.set({ ...opened, ...NOTHING_READ });
  }
}
