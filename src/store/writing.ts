/** Keeping records: checked, reconciled with what other windows wrote, all of them or none. */
import { attachmentFaults } from '../job/attachments.ts';
import { fieldsInWords, parseRecord, recordInWords, type AnyRecord } from '../job/records.ts';
import { statusOf, type Connection } from './connection.ts';
import { documentOf, recordIn, type StoredDocument } from './documents.ts';
import { changedFields, merge } from './merge.ts';
import { isFull } from './space.ts';
import type { KeptAll, NotKept, PutItem } from './store.ts';

export interface Writing {
  readonly database: Connection;
  /** Lets one window at a time read and write. */
  readonly exclusive: <T>(work: () => Promise<T>) => Promise<T>;
}

/** The turn-taking of one window alone; windows without a common lock meet in conflicts and try again. */
export function inTurn(): Writing['exclusive'] {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const next = last.then(work, work);
    last = next;
    return next;
  };
}

const TRIES = 20;

type Refused<R> = Omit<NotKept<R>, 'record' | 'attachments'>;
type Next<R> = { readonly ok: true; readonly record: R; readonly write: boolean } | Refused<R>;

/** What to write over a stored document, or why nothing is written. */
function reconciled<R extends AnyRecord>(
  { record, base }: PutItem<R>,
  document: StoredDocument | undefined,
): Next<R> {
  const refused = (message: string, more: Partial<Refused<R>> = {}): Refused<R> => ({
    ok: false,
    reason: 'changed-elsewhere',
    message,
    ...more,
  });
  const name = recordInWords(record);
  if (!document) {
    if (!base) return { ok: true, record, write: true };
    return refused(
      `The ${name} was deleted for good in another window. Your edit is still here; keep it as new, or let it go.`,
    );
  }
  const parsed = recordIn(document);
  if (!parsed.ok) {
    const { faults } = parsed;
    return refused(
      `What is kept under this id cannot be read and is left alone: ${faults[0] ?? ''}`,
      { faults },
    );
  }
  const theirs = parsed.record as R;
  if (theirs.deletedAt && base && !base.deletedAt && !record.deletedAt) {
    return refused(
      `The ${name} was put into the bin in another window. Restore it to keep your edit.`,
      { fields: ['deletedAt'], stored: theirs },
    );
  }
  const merged = base
    ? merge(base, record, theirs)
    : { ok: false as const, fields: changedFields(record, theirs) };
  if (!merged.ok && merged.fields.length > 0) {
    const words = fieldsInWords(record.kind, merged.fields).join(', ');
    return refused(
      `The ${name} was changed in another window in the same place (${words}). Nothing was overwritten: choose which to keep.`,
      { fields: merged.fields, stored: theirs },
    );
  }
  if (!merged.ok || changedFields(merged.record, theirs).length === 0) {
    return { ok: true, record: theirs, write: false };
  }
  return { ok: true, record: { ...merged.record, updatedAt: record.updatedAt }, write: true };
}

function invalid<R extends AnyRecord>(item: PutItem<R>): NotKept<R> | undefined {
  const { record, attachments = {} } = item;
  const parsed = parseRecord(record);
  const faults = parsed.ok ? attachmentFaults(parsed.record, attachments) : parsed.faults;
  if (faults.length === 0) return undefined;
  const message = `The ${recordInWords(record)} cannot be kept: ${faults.join('; ')}`;
  return { ok: false, reason: 'invalid', message, faults, record, attachments };
}

async function storedOf(
  database: Connection,
  ids: readonly string[],
): Promise<ReadonlyMap<string, StoredDocument>> {
  const { rows } = await database.run((db) => db.allDocs({ keys: [...ids], include_docs: true }));
  return new Map(rows.flatMap((row) => ('doc' in row && row.doc ? [[row.key, row.doc]] : [])));
}

/** One look at the store and one writing; undefined when another window came between. */
async function attempt<R extends AnyRecord>(
  items: readonly PutItem<R>[],
  { database }: Writing,
): Promise<KeptAll<R> | undefined> {
  const stored = await storedOf(
    database,
    items.map(({ record }) => record.id),
  );
  const records: R[] = [];
  const documents: ReturnType<typeof documentOf>[] = [];
  for (const item of items) {
    const { record, attachments = {} } = item;
    const document = stored.get(record.id);
    const next = reconciled(item, document);
    if (!next.ok) return { ...next, record, attachments };
    records.push(next.record);
    if (next.write || Object.keys(attachments).length > 0) {
      documents.push(documentOf(next.record, attachments, document));
    }
  }
  if (documents.length === 0) return { ok: true, records };
  // One transaction of the browser's database: a full disk undoes all of it.
  const results = await database.run((db) => db.bulkDocs(documents));
  const failed = results.filter((result) => 'error' in result);
  const other = failed.find((result) => statusOf(result) !== 409);
  if (other) throw new Error(String((other as { message?: string }).message));
  return failed.length > 0 ? undefined : { ok: true, records };
}

/** Keeps all of the records, with their own `updatedAt`, or none. The caller has the turn. */
async function writeNow<R extends AnyRecord>(
  items: readonly PutItem<R>[],
  writing: Writing,
): Promise<KeptAll<R>> {
  for (const item of items) {
    const fault = invalid(item);
    if (fault) return fault;
  }
  const { record, attachments = {} } = items[0] ?? {};
  const handedBack = { ...(record && { record }), attachments };
  const what =
    items.length === 1 && record ? `the ${recordInWords(record)} was` : 'the records were';
  try {
    for (let tries = 0; tries < TRIES; tries++) {
      const kept = await attempt(items, writing);
      if (kept) return kept;
      await new Promise((done) => setTimeout(done, tries));
    }
    const message = `Another window changes the same things all the time, and ${what} not kept. Close that window and try again.`;
    return { ok: false, reason: 'changed-elsewhere', message, ...handedBack };
  } catch (error) {
    if (isFull(error)) {
      const message = `No room is left on this device: ${what} not kept. What was kept before is safe. Export finished jobs and delete them here, or free space, then try again.`;
      return { ok: false, reason: 'full', message, ...handedBack };
    }
    const message = `The browser’s database failed, and ${what} not kept. Export it, reload the page and try again. (${String(error)})`;
    return { ok: false, reason: 'failed', message, ...handedBack };
  }
}

export function writeAll<R extends AnyRecord>(
  items: readonly PutItem<R>[],
  writing: Writing,
): Promise<KeptAll<R>> {
  return writing.exclusive(() => writeNow(items, writing));
}

/** Reads, edits and keeps one record in one turn; outrun by another window, it starts from what that left. */
export function rewrite<R extends AnyRecord>(
  read: () => Promise<R | undefined>,
  edit: (record: R) => R,
  writing: Writing,
): Promise<KeptAll<R>> {
  return writing.exclusive(async () => {
    for (let tries = 1; ; tries++) {
      const base = await read();
      if (!base) return { ok: false, reason: 'missing', message: 'It is not there any more.' };
      const kept = await writeNow([{ record: edit(base), base }], writing);
      if (kept.ok || kept.reason !== 'changed-elsewhere' || tries === TRIES) return kept;
    }
  });
}
