/**
 * What the browser's database would not take, held in this window until it does or is handed out as
 * a file; and the warning before the room on the device ends.
 */
import type { BundleItem } from '../../job/bundle.ts';
import { ancestorsOf, parentOf, type Id } from '../../job/ids.ts';
import { countInWords, type AnyRecord } from '../../job/records.ts';
import type { Space } from '../../store/space.ts';
import type { PutItem, PutOptions, Store as RecordStore } from '../../store/store.ts';
import { Store } from './store.ts';

export interface SafekeepingState {
  /** Said while little room is left. */
  readonly warning: string | undefined;
  /** What the browser tells of the room, when it was last asked. */
  readonly space: Space | undefined;
  /** Held in this window alone. */
  readonly unkept: readonly PutItem<AnyRecord>[];
}

const LOOK_AGAIN_MS = 2000;

export class Safekeeping extends Store<SafekeepingState> {
  readonly #records: RecordStore;
  /** The store as the rest of the app uses it: what it cannot keep is held here. */
  readonly store: RecordStore;

  constructor(records: RecordStore) {
    super({ warning: undefined, space: undefined, unkept: [] });
    this.#records = records;
    this.store = { ...records, put: (record, options) => this.#put(record, options) };
  }

  /** Looks how much room is left, now and a little after each change. */
  begin(): void {
    void this.#lookForRoom();
    let isWaiting = false;
    this.#records.onChange(() => {
      if (isWaiting) return;
      isWaiting = true;
      setTimeout(() => {
        isWaiting = false;
        void this.#lookForRoom();
      }, LOOK_AGAIN_MS);
    });
  }

  /** Tries again to keep what is held. Answers with what was kept, and why the rest was not. */
  async tryAgain(): Promise<{ readonly kept: readonly AnyRecord[]; readonly message?: string }> {
    const kept: AnyRecord[] = [];
    for (const { record, ...options } of this.state.unkept) {
      const first = await this.#records.put(record, options);
      // The first may only find that the full database was closed; it is open again for the second.
      const answer = first.ok ? first : await this.#records.put(record, options);
      if (!answer.ok) return { kept, message: answer.message };
      kept.push(answer.record);
      this.set(({ unkept }) => ({ unkept: unkept.filter((one) => one.record.id !== record.id) }));
    }
    void this.#lookForRoom();
    return { kept };
  }

  /**
   * What is held, with the job it belongs to, as a file that can be taken in again.
   * @param known records this window has at hand: a database without room may not even be read
   */
  async file(known: readonly AnyRecord[]): Promise<File> {
    const { unkept } = this.state;
    const held = new Map(unkept.map((item) => [item.record.id as string, item]));
    const ids = unkept.flatMap(({ record }) => [
      ...ancestorsOf(record.id),
      ...(record.kind === 'reading' && record.attempt ? [record.attempt] : []),
    ]);
    const items: BundleItem[] = [];
    const add = async (id: string) => {
      if (items.some(({ record }) => record.id === id)) return;
      const item = held.get(id);
      const record =
        item?.record ?? known.find((one) => one.id === id) ?? (await this.#stored(id as Id));
      if (!record) return;
      items.push({ record, attachments: item?.attachments ?? {} });
      if (record.kind === 'attempt') await add(record.palette);
    };
    for (const id of [...ids, ...held.keys()]) await add(id);
    const job = items.find(({ record }) => record.kind === 'job')?.record;
    const title = job?.kind === 'job' ? job.title : 'not kept';
    const { bundleFile } = await import('../../store/bundle-file.ts');
    const file = bundleFile(items, `${title} not kept`, this.#records.now());
    return new File([new Uint8Array(file.bytes)], file.name, { type: 'application/zip' });
  }

  async #stored(id: Id): Promise<AnyRecord | undefined> {
    try {
      return await this.#records.get(id);
    } catch {
      return undefined;
    }
  }

  /** Lets go of what is held: it has been handed out as a file. */
  letGo(): void {
    this.set({ unkept: [] });
  }

  async #put<R extends AnyRecord>(record: R, options: PutOptions<R> = {}) {
    const answer = await this.#records.put(record, options);
    if (answer.ok || (answer.reason !== 'full' && answer.reason !== 'failed')) return answer;
    const item = { record, ...options } as PutItem<AnyRecord>;
    this.set(({ unkept }) => ({
      unkept: [...unkept.filter((one) => !isSame(one.record, record)), item],
    }));
    void this.#lookForRoom();
    return answer;
  }

  async #lookForRoom(): Promise<void> {
    const space = await this.#records.space();
    this.set({ warning: space.warning, space });
  }
}

/** The same thing tried again: a second press of Save or Added it must not make two of it. */
function isSame(a: AnyRecord, b: AnyRecord): boolean {
  if (a.id === b.id) return true;
  if (parentOf(a.id) !== parentOf(b.id)) return false;
  if (a.kind === 'reading' && b.kind === 'reading') return a.createdAt === b.createdAt;
  return (
    a.kind === 'attempt' &&
    b.kind === 'attempt' &&
    JSON.stringify([a.pot, a.addition]) === JSON.stringify([b.pot, b.addition])
  );
}

/** "1 reading, 2 attempts". */
export function unkeptInWords(unkept: SafekeepingState['unkept']): string {
  const kinds = [...new Set(unkept.map(({ record }) => record.kind))];
  return kinds
    .map((kind) => countInWords(kind, unkept.filter(({ record }) => record.kind === kind).length))
    .join(', ');
}
