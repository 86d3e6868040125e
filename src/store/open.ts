/** The store on a PouchDB database that is handed in: IndexedDB in the browser, anything in a test. */
import { attachmentFaults, type Attachment, type Attachments } from '../job/attachments.ts';
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
import { parseRecord, recordInWords, type AnyRecord, type RecordOf } from '../job/records.ts';
import { connection, statusOf, type Connection } from './connection.ts';
import {
  attachmentIn,
  blobOf,
  documentOf,
  recordIn,
  type BytesToData,
  type Database,
  type StoredDocument,
} from './documents.ts';
import { changedFields, merge } from './merge.ts';
import { isFull, spaceOf, type StorageRoom } from './space.ts';
import type { Change, Kept, NotKept, PutOptions, Store } from './store.ts';

export interface StoreParts {
  /** Opens the database, again each time the browser has closed it. */
  readonly connect: () => Database;
  readonly clock?: () => Date;
  /** Letters and digits, at least eight, for ids that never meet. */
  readonly random?: () => string;
  readonly room?: StorageRoom;
  readonly dataOf?: BytesToData;
  /** Lets one window at a time read and write; without it, windows try again until they succeed. */
  readonly exclusive?: <T>(work: () => Promise<T>) => Promise<T>;
}

export type Opened =
  | { readonly ok: true; readonly store: Store }
  | { readonly ok: false; readonly reason: 'no-database'; readonly message: string };

const TRIES = 20;

function randomLetters(): string {
  return [...crypto.getRandomValues(new Uint8Array(10))].map((x) => (x % 36).toString(36)).join('');
}

export async function openStore(parts: StoreParts): Promise<Opened> {
  const database = connection(parts.connect);
  try {
    await database.run((db) => db.info());
  } catch (error) {
    return {
      ok: false,
      reason: 'no-database',
      message: isFull(error)
        ? 'No room is left on this device, so jobs cannot be opened. Free some space and reload.'
        : 'This browser does not let the page keep jobs: its database cannot be opened. A private window or a setting that blocks site data does that.',
    };
  }
  return { ok: true, store: storeOn(database, parts) };
}

function storeOn(
  database: Connection,
  {
    clock = () => new Date(),
    random = randomLetters,
    room,
    dataOf = blobOf,
    exclusive = (work) => work(),
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

  /** What to write over a stored document, or why nothing is written. */
  function reconciled<R extends AnyRecord>(
    record: R,
    base: R | undefined,
    document: StoredDocument | undefined,
  ):
    | { readonly ok: true; readonly record: R; readonly write: boolean }
    | Omit<NotKept<R>, 'record'> {
    if (!document) {
      if (!base) return { ok: true, record, write: true };
      return {
        ok: false,
        reason: 'changed-elsewhere',
        message: `The ${recordInWords(record)} was deleted for good in another window. Your edit is still here; keep it as new, or let it go.`,
      };
    }
    const parsed = recordIn(document);
    if (!parsed.ok) {
      return {
        ok: false,
        reason: 'changed-elsewhere',
        message: `What is kept under this id cannot be read and is left alone: ${parsed.faults[0] ?? ''}`,
        faults: parsed.faults,
      };
    }
    const theirs = parsed.record as R;
    const binnedSince = theirs.deletedAt !== undefined && base?.deletedAt === undefined;
    const merged = merge(base ?? theirs, record, theirs);
    const clash = base ? (merged.ok ? [] : merged.fields) : changedFields(record, theirs);
    const fields = binnedSince && record.deletedAt === undefined ? ['deletedAt', ...clash] : clash;
    if (fields.length > 0 || !merged.ok) {
      return {
        ok: false,
        reason: 'changed-elsewhere',
        message: fields.includes('deletedAt')
          ? `The ${recordInWords(record)} was put into the bin in another window. Restore it to keep your edit.`
          : `The ${recordInWords(record)} was changed in another window in the same place (${fields.join(', ')}). Nothing was overwritten: choose which to keep.`,
        fields,
        stored: theirs,
      };
    }
    const write = changedFields(merged.record, theirs).length > 0;
    return { ok: true, record: write ? merged.record : theirs, write };
  }

  async function put<R extends AnyRecord>(
    record: R,
    { base, attachments = {} }: PutOptions<R> = {},
  ): Promise<Kept<R>> {
    const handedBack = { record, attachments };
    const parsed = parseRecord(record);
    const faults = [...(parsed.ok ? attachmentFaults(parsed.record, attachments) : parsed.faults)];
    if (faults.length > 0) {
      const message = `The ${recordInWords(record)} cannot be kept: ${faults.join('; ')}`;
      return { ok: false, reason: 'invalid', message, faults, ...handedBack };
    }
    try {
      return await exclusive(() => write(record, base, attachments));
    } catch (error) {
      if (isFull(error)) {
        const message = `No room is left on this device: the ${recordInWords(record)} was not kept. What was kept before is safe. Export finished jobs and delete them here, or free space, then try again.`;
        return { ok: false, reason: 'full', message, ...handedBack };
      }
      const message = `The browser’s database failed, and the ${recordInWords(record)} was not kept. Export it, reload the page and try again. (${String(error)})`;
      return { ok: false, reason: 'failed', message, ...handedBack };
    }
  }

  async function write<R extends AnyRecord>(
    record: R,
    base: R | undefined,
    attachments: Attachments,
  ): Promise<Kept<R>> {
    for (let attempt = 0; attempt < TRIES; attempt++) {
      const document = await stored(record.id);
      const next = reconciled(record, base, document);
      if (!next.ok) return { ...next, record, attachments };
      if (!next.write && Object.keys(attachments).length === 0) {
        return { ok: true, record: next.record };
      }
      const kept = { ...next.record, updatedAt: clock().toISOString() };
      try {
        await database.run((db) => db.put(documentOf(kept, attachments, dataOf, document)));
        return { ok: true, record: kept };
      } catch (error) {
        // Another window was faster between our reading and our writing: look again.
        if (statusOf(error) !== 409) throw error;
        await new Promise((done) => setTimeout(done, attempt));
      }
    }
    const message = `The ${recordInWords(record)} is being changed in another window all the time. Close that window and try again.`;
    return { ok: false, reason: 'changed-elsewhere', message, record, attachments };
  }

  async function change<K extends Kind>(
    id: Id<K>,
    edit: (record: RecordOf<K>) => RecordOf<K>,
  ): Promise<Kept<RecordOf<K>>> {
    for (let attempt = 0; ; attempt++) {
      const base = await get(id);
      if (!base) {
        return { ok: false, reason: 'missing', message: 'It is not there any more.' };
      }
      const kept = await put<AnyRecord>(edit(base), { base });
      const again = !kept.ok && kept.reason === 'changed-elsewhere' && attempt < TRIES;
      if (!again) return kept as Kept<RecordOf<K>>;
    }
  }

  async function attachments(id: Id): Promise<Attachments> {
    try {
      const document = await database.run((db) => db.get(id, { attachments: true, binary: true }));
      const all = Object.entries(document._attachments ?? {}).map(
        async ([name, data]) => [name, await attachmentIn(data)] as const,
      );
      return Object.fromEntries(await Promise.all(all)) as Record<string, Attachment>;
    } catch (error) {
      if (statusOf(error) === 404) return {};
      throw error;
    }
  }

  async function attachment(id: Id, name: string): Promise<Attachment | undefined> {
    const stub = (await stored(id))?._attachments?.[name];
    if (!stub) return undefined;
    const data = await database.run((db) => db.getAttachment(id, name));
    return attachmentIn({ content_type: stub.content_type, data: data as Blob });
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
