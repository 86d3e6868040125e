/** The store on a PouchDB database that is handed in: IndexedDB in the browser, anything in a test. */
import type { Attachment, Attachments } from '../job/attachments.ts';
import {
  ancestorsOf,
  childId,
  idRange,
  kindOf,
  kindsWithin,
  recordKey,
  rootId,
  type Id,
  type Kind,
  type ParentKind,
} from '../job/ids.ts';
import type { AnyRecord, RecordOf } from '../job/records.ts';
import { connection, statusOf, type Connection } from './connection.ts';
import { attachmentOf, recordIn, type Database, type StoredDocument } from './documents.ts';
import { isFull, spaceOf, type StorageRoom } from './space.ts';
import type { Change, Kept, PutOptions, Store } from './store.ts';
import { inTurn, rewrite, writeAll } from './writing.ts';

export interface StoreParts {
  /** Opens the database, again each time the browser has closed it. */
  readonly connect: () => Database;
  readonly clock?: () => Date;
  /** Letters and digits, at least eight, for ids that never meet. */
  readonly random?: () => string;
  readonly room?: StorageRoom;
  /** Lets one window at a time write; without it, a window that finds itself outrun tries again. */
  readonly exclusive?: <T>(work: () => Promise<T>) => Promise<T>;
}

export type Opened =
  | { readonly ok: true; readonly store: Store }
  | { readonly ok: false; readonly reason: 'no-database'; readonly message: string };

export const NO_DATABASE = {
  ok: false,
  reason: 'no-database',
  message:
    'This browser does not let the page keep jobs: its database cannot be opened. A private window or a setting that blocks site data does that.',
} as const satisfies Opened;

function randomLetters(): string {
  return [...crypto.getRandomValues(new Uint8Array(10))].map((x) => (x % 36).toString(36)).join('');
}

export async function openStore(parts: StoreParts): Promise<Opened> {
  const database = connection(parts.connect);
  try {
    await database.run((db) => db.info());
  } catch (error) {
    if (!isFull(error)) return NO_DATABASE;
    const message =
      'No room is left on this device, so jobs cannot be opened. Free some space and reload.';
    return { ok: false, reason: 'no-database', message };
  }
  return { ok: true, store: storeOn(database, parts) };
}

function storeOn(
  database: Connection,
  {
    clock = () => new Date(),
    random = randomLetters,
    room,
    exclusive = inTurn(),
  }: Omit<StoreParts, 'connect'>,
): Store {
  async function stored(id: string): Promise<StoredDocument | undefined> {
    try {
      return await database.run((db) => db.get(id));
    } catch (error) {
      if (statusOf(error) === 404) return undefined;
      throw error;
    }
  }

  async function documents(first: string, last: string): Promise<readonly StoredDocument[]> {
    const { rows } = await database.run((db) =>
      db.allDocs({ startkey: first, endkey: last, include_docs: true }),
    );
    return rows.flatMap(({ doc }) => (doc && kindOf(doc._id) ? [doc] : []));
  }

  async function records(kind: Kind, within?: string): Promise<readonly AnyRecord[]> {
    const { first, last } = idRange(kind, within);
    return (await documents(first, last)).flatMap((document) => {
      const parsed = recordIn(document);
      return parsed.ok ? [parsed.record] : [];
    });
  }

  /** Ids among these, and above them, that lie in the bin. */
  async function inBin(ids: readonly string[]): Promise<ReadonlySet<string>> {
    const keys = [...new Set(ids.flatMap((id) => [id, ...ancestorsOf(id)]))];
    const { rows } = await database.run((db) => db.allDocs({ keys, include_docs: true }));
    return new Set(
      rows.flatMap((row) => ('doc' in row && row.doc?.['deletedAt'] ? [row.key] : [])),
    );
  }

  async function list<K extends Kind>(kind: K, within?: Id): Promise<readonly RecordOf<K>[]> {
    const found = await records(kind, within);
    const binned = await inBin(found.map(({ id }) => id));
    const shown = found.filter(({ id }) => ![id, ...ancestorsOf(id)].some((x) => binned.has(x)));
    return shown as readonly AnyRecord[] as readonly RecordOf<K>[];
  }

  async function get<K extends Kind>(id: Id<K>): Promise<RecordOf<K> | undefined> {
    const document = await stored(id);
    const parsed = document && recordIn(document);
    return parsed?.ok ? (parsed.record as RecordOf<K>) : undefined;
  }

  const writing = { database, exclusive };

  const dated = <R extends AnyRecord>(record: R): R => ({
    ...record,
    updatedAt: clock().toISOString(),
  });

  async function put<R extends AnyRecord>(
    record: R,
    options: PutOptions<R> = {},
  ): Promise<Kept<R>> {
    const kept = await writeAll([{ ...options, record: dated(record) }], writing);
    return kept.ok ? { ok: true, record: kept.records[0]! } : { ...kept, record };
  }

  async function change<K extends Kind>(
    id: Id<K>,
    edit: (record: RecordOf<K>) => RecordOf<K>,
  ): Promise<Kept<RecordOf<K>>> {
    const read = (): Promise<AnyRecord | undefined> => get(id);
    const edited = (record: AnyRecord) => dated<AnyRecord>(edit(record as RecordOf<K>));
    const kept = await rewrite(read, edited, writing);
    return (kept.ok ? { ok: true, record: kept.records[0] } : kept) as Kept<RecordOf<K>>;
  }

  async function attachments(id: Id): Promise<Attachments> {
    try {
      const document = await database.run((db) => db.get(id, { attachments: true, binary: true }));
      const all = Object.entries(document._attachments ?? {}).map(async ([name, kept]) => {
        const data = 'data' in kept ? kept.data : undefined;
        return [name, await attachmentOf(kept.content_type, data)] as const;
      });
      return Object.fromEntries(await Promise.all(all));
    } catch (error) {
      if (statusOf(error) === 404) return {};
      throw error;
    }
  }

  async function attachment(id: Id, name: string): Promise<Attachment | undefined> {
    const stub = (await stored(id))?._attachments?.[name];
    if (!stub) return undefined;
    const data = await database.run((db) => db.getAttachment(id, name));
    return attachmentOf(stub.content_type, data);
  }

  async function binned(): Promise<readonly AnyRecord[]> {
    const all = await documents('', '\ufff0');
    return all
      .flatMap((document) => {
        const parsed = document['deletedAt'] ? recordIn(document) : undefined;
        return parsed?.ok ? [parsed.record] : [];
      })
      .sort((a, b) => (b.deletedAt ?? '').localeCompare(a.deletedAt ?? ''));
  }

  async function purge(before: Date): Promise<{ readonly purged: number }> {
    const old = (await binned()).filter(({ deletedAt = '' }) => deletedAt < before.toISOString());
    const ranges = old.flatMap(({ id, kind }) => [
      { first: id, last: id },
      ...kindsWithin(kind).map((k) => idRange(k, id)),
    ]);
    const doomed = new Map<string, StoredDocument>();
    for (const { first, last } of ranges) {
      for (const document of await documents(first, last)) doomed.set(document._id, document);
    }
    // The record of a treatment names its materials by their palette, so a palette outlives its mixes.
    for (const mix of [...(await records('attempt')), ...(await records('jar'))]) {
      const isMix = mix.kind === 'attempt' || mix.kind === 'jar';
      if (isMix && !doomed.has(mix.id)) doomed.delete(mix.palette);
    }
    const tombs = [...doomed.values()].map(({ _id, _rev }) => ({ _id, _rev, _deleted: true }));
    const results = await database.run((db) => db.bulkDocs(tombs));
    return { purged: results.filter((result) => !('error' in result)).length };
  }

  function onChange(listener: (change: Change) => void): () => void {
    return database.follow((id) => {
      const kind = kindOf(id);
      if (kind) listener({ id: id as Id, kind });
    });
  }

  function newId(kind: Kind, parent?: Id): Id {
    const key = recordKey(clock(), random());
    return parent
      ? childId(kind as keyof ParentKind, parent as Id<ParentKind[keyof ParentKind]>, key)
      : rootId(kind as 'job', key);
  }

  return {
    now: clock,
    newId: newId as Store['newId'],
    list,
    get,
    put,
    change,
    putAll: (items) => writeAll(items, writing),
    attachment,
    attachments,
    remove: (id) => change(id, (record) => ({ ...record, deletedAt: clock().toISOString() })),
    restore: (id) =>
      change(id, (record) => {
        const rest = { ...record };
        Reflect.deleteProperty(rest, 'deletedAt');
        return rest;
      }),
    bin: binned,
    purge,
    async unreadable() {
      const { rows } = await database.run((db) => db.allDocs({ include_docs: true }));
      return rows.flatMap(({ doc, id }) => {
        const parsed = doc && recordIn(doc);
        return parsed && !parsed.ok ? [{ id, faults: parsed.faults }] : [];
      });
    },
    onChange,
    persist: async () => (await room?.persist?.()) ?? false,
    space: () => spaceOf(room),
    close: () => database.close(),
  };
}
