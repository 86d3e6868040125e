/** Takes readings: one is held, and saved, let go or set aside. */
import type { CapturedReading } from '../../link/bench-client.ts';
import { superseded, type Superseded } from '../../link/latest.ts';
import type { ReadingResult, Regions } from '../../reading/types.ts';
import { isReadingUnsaved, NOTHING_READ, type BenchState } from './bench-state.ts';
import { guarded } from './fault.ts';
import type { Feeds } from './feeds.ts';
import type { Mixing } from './mixing.ts';
import type { Pointing } from './pointing.ts';
import { readingSettings } from './reading-settings.ts';
import { keep, keepingOf, SetAside, type Captured } from './set-aside.ts';
import { settle } from './settling.ts';
import type { Store } from './store.ts';
import type { Tools } from './tools.ts';

export class Readings {
  /** Readings that are held no longer and not saved yet. */
  readonly aside: SetAside;
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  readonly #feeds: Feeds;
  readonly #pointing: Pointing;
  readonly #mixing: Mixing;
  /** The picture behind the held reading; it stays out of the store. */
  #captured: Captured | undefined;

  constructor(
    store: Store<BenchState>,
    tools: Tools,
    feeds: Feeds,
    pointing: Pointing,
    mixing: Mixing,
  ) {
    this.#store = store;
    this.#tools = tools;
    this.#feeds = feeds;
    this.#pointing = pointing;
    this.#mixing = mixing;
    this.aside = new SetAside(store, tools.records, () => this.#captured);
  }

  /** Takes the reading of this moment, and holds it. */
  async take(): Promise<void> {
    const before = this.#store.state;
    if (before.busy) return;
    if (!before.dab || !before.glaze) {
      this.#store.set({ notice: { text: 'Point at the dab and at the glaze first.' } });
      return;
    }
    const behind = this.#captured;
    this.#captured = undefined;
    this.#store.set({ ...NOTHING_READ, busy: 'reading', notice: undefined });
    await guarded(this.#store, 'The reading failed', async () => {
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
      this.#captured = { ...captured, cameraSettings: this.#feeds.cameraSettings };
      this.#store.set({
        held: { result, at: new Date().toISOString(), saved: undefined, offset: captured.at },
      });
      void this.#mixing.suggest(result.glazeLab, result.dabLab);
    });
    // The reading before goes for a new one; not for none.
    if (!this.#store.state.held && behind && isReadingUnsaved(before)) {
      this.aside.add(keepingOf(before, behind));
    }
    this.#store.set({ busy: undefined });
  }

  /** A reading of this moment that is not held: what a coat on the tile is read by. */
  async measure(): Promise<ReadingResult | undefined> {
    return (await this.#capture())?.result;
  }

  /** Keeps the held reading with its evidence. True when it is kept, now or before. */
  async save(): Promise<boolean> {
    const { held, busy } = this.#store.state;
    const captured = this.#captured;
    if (busy || !held || !captured) return false;
    if (held.saved) return true;
    const keeping = keepingOf(this.#store.state, captured);
    if (!keeping) return false;
    this.#store.set({ busy: 'saving' });
    const isSaved = await guarded(
      this.#store,
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
      await guarded(this.#store, 'What was learned could not be kept', () =>
        this.#mixing.keepLearned(),
      );
      this.#tools.records.keep();
    }
    return isSaved;
  }

  /** Lets the held reading go, saved or not, as the person asks, and shows the live picture again. */
  letGo(): void {
    this.#captured = undefined;
    this.#store.set({ ...NOTHING_READ, notice: undefined });
  }

  async #capture(): Promise<CapturedReading | undefined> {
    await settle(this.#store);
    const { photo } = this.#feeds;
    if (!photo) return await this.#tools.bench.capture();
    let regions: Partial<Regions>;
    let result: ReadingResult | Superseded;
    // A reading for the view may overtake this one: it is asked for again, not given up.
    do {
      ({ regions } = this.#pointing);
      if (!regions.dab || !regions.glaze) return undefined;
      const settings = readingSettings(this.#store.state);
      result = await this.#tools.bench.readPicture(photo.picture, regions, settings);
    } while (result === superseded && this.#feeds.photo === photo);
    if (result === superseded) return undefined;
    // It may itself have overtaken the one for the view.
    this.#pointing.saw(photo, result);
    return { result, picture: photo.picture, regions: regions as Regions, at: { x: 0, y: 0 } };
  }
}
