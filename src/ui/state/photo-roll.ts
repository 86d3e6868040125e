/**
 * Several photographs chosen at once: opened one after the other, then stepped through on the bench. What
 * cannot be read is named, and the others go on.
 */
import type { Photo, PhotoFailure } from '../../camera/photo.ts';
import type { BenchState } from './bench-state.ts';
import { Store } from './store.ts';
import type { Cameras } from './tools.ts';

export interface RollItem {
  readonly file: File;
  readonly state: 'waiting' | 'opened' | 'failed';
  /** Why it cannot be read, and what to do. */
  readonly why?: string;
}

export interface RollState {
  readonly items: readonly RollItem[];
  /** Which of them is on the bench. */
  readonly at: number | undefined;
  /** They are still being opened, one after the other. */
  readonly opening: boolean;
}

/** What the roll asks of the bench. */
interface Bench {
  openPhoto(file: File): Promise<void>;
  showPhoto(photo: Photo, file: File): Promise<void>;
}

const EMPTY: RollState = { items: [], at: undefined, opening: false };
/** Decoded pictures are kept up to this; what is older is decoded again when it is wanted. */
const MOST_BYTES = 400e6;

export class PhotoRoll {
  readonly store = new Store<RollState>(EMPTY);
  readonly #bench: Bench;
  readonly #photoFromFile: Cameras['photoFromFile'];
  readonly #state: Store<BenchState>;
  /** The last one used stands last. */
  readonly #decoded = new Map<File, Photo>();
  #cancelling: AbortController | undefined;
  /** Decoding goes on one by one. */
  #last: Promise<unknown> = Promise.resolve();
  #wanted = 0;

  constructor(
    bench: Bench,
    state: Store<BenchState>,
    { photoFromFile }: Pick<Cameras, 'photoFromFile'>,
  ) {
    this.#bench = bench;
    this.#state = state;
    this.#photoFromFile = photoFromFile;
    state.addEventListener('change', () => {
      const { at, opening } = this.store.state;
      if (at !== undefined && !opening && state.state.feed.kind !== 'photo') this.close();
    });
  }

  /** Opens them in the order they come; the first that can be read is shown. One alone is no roll. */
  async open(files: readonly File[]): Promise<void> {
    const [first] = files;
    if (!first) return;
    this.close();
    if (files.length === 1) {
      await this.#bench.openPhoto(first);
      return;
    }
    const { signal } = (this.#cancelling = new AbortController());
    this.store.set({
      items: files.map((file) => ({ file, state: 'waiting' })),
      at: undefined,
      opening: true,
    });
    for (const [i, file] of files.entries()) {
      const photo = await this.#decode(file, signal);
      if (signal.aborted) return;
      this.#mark(i, photo);
      if (photo.ok && this.store.state.at === undefined) void this.#show(i, photo);
    }
    this.store.set({ opening: false });
  }

  /** Leaves out what is not opened yet. */
  cancel(): void {
    this.#cancelling?.abort();
    this.store.set(({ items }) => ({
      items: items.filter(({ state }) => state !== 'waiting'),
      opening: false,
    }));
  }

  /** The next photograph that could be opened, or the one before. */
  async step(by: 1 | -1): Promise<void> {
    const i = this.neighbour(by);
    const item = i === undefined ? undefined : this.store.state.items[i];
    if (i === undefined || !item) return;
    this.#wanted += 1;
    const wanted = this.#wanted;
    const photo = this.#decoded.get(item.file) ?? (await this.#decode(item.file));
    if (wanted !== this.#wanted || !this.store.state.items.includes(item)) return;
    if (photo.ok) await this.#show(i, photo);
    else this.#state.set({ trouble: `${photo.message} ${photo.remedy}` });
  }

  /** Where a step leads; undefined: nowhere. */
  neighbour(by: 1 | -1): number | undefined {
    const { items, at } = this.store.state;
    if (at === undefined) return undefined;
    for (let i = at + by; i >= 0 && i < items.length; i += by) {
      if (items[i]!.state === 'opened') return i;
    }
    return undefined;
  }

  /** Forgets them all; what is on the bench stays there. */
  close(): void {
    this.#cancelling?.abort();
    this.#cancelling = undefined;
    this.#decoded.clear();
    this.#wanted += 1;
    if (this.store.state.items.length > 0) this.store.set(EMPTY);
  }

  async #show(at: number, photo: Photo): Promise<void> {
    const { file } = this.store.state.items[at]!;
    this.#keep(file, photo);
    this.store.set({ at });
    await this.#bench.showPhoto(photo, file);
  }

  #mark(at: number, photo: Photo | PhotoFailure): void {
    const marked = photo.ok
      ? ({ state: 'opened' } as const)
      : ({ state: 'failed', why: `${photo.message} ${photo.remedy}` } as const);
    this.store.set(({ items }) => ({
      items: items.map((item, i) => (i === at ? { file: item.file, ...marked } : item)),
    }));
  }

  async #decode(file: File, signal?: AbortSignal): Promise<Photo | PhotoFailure> {
    const before = this.#last;
    const decoding = before.then(() => this.#photoFromFile(file, signal));
    this.#last = decoding.catch(() => undefined);
    const photo = await decoding;
    if (photo.ok && !signal?.aborted) this.#keep(file, photo);
    return photo;
  }

  #keep(file: File, photo: Photo): void {
    this.#decoded.delete(file);
    this.#decoded.set(file, photo);
    let bytes = 0;
    for (const [one, { picture }] of [...this.#decoded].reverse()) {
      bytes += picture.rgba.byteLength;
      if (bytes > MOST_BYTES && one !== file) this.#decoded.delete(one);
    }
  }
}
