/** What the store offers to the screens. Expected failures are values; a throw is a bug. */
import type { Attachment, Attachments } from '../job/attachments.ts';
import type { Id, Kind, ParentKind } from '../job/ids.ts';
import type { AnyRecord, RecordOf } from '../job/records.ts';
import type { Space } from './space.ts';

/** A record that was not kept. It is handed back, so that it can be tried again or exported. */
export interface NotKept<R> {
  readonly ok: false;
  readonly reason:
    /** The record or its pictures are not what they must be: see `faults`. */
    | 'invalid'
    /** Another window changed the same fields, or deleted it: see `fields` and `stored`. */
    | 'changed-elsewhere'
    /** No room is left on the device. */
    | 'full'
    /** There is no such record. */
    | 'missing'
    /** The browser's database failed. */
    | 'failed';
  /** What happened and what to do, in the person's words. */
  readonly message: string;
  readonly record?: R;
  readonly attachments?: Attachments;
  /** One line for each thing that is wrong with the record. */
  readonly faults?: readonly string[];
  /** The fields that were changed here and elsewhere. */
  readonly fields?: readonly string[];
  /** The record as it stands in the store. */
  readonly stored?: R;
}
export type Kept<R> = { readonly ok: true; readonly record: R } | NotKept<R>;

export interface PutOptions<R> {
  /**
   * The record as it was read before the edit. With it, edits made elsewhere to other fields stand
   * beside these; without it, the record is new and nothing is ever overwritten.
   */
  readonly base?: R;
  /** Pictures to add or replace; those not named stay. */
  readonly attachments?: Attachments;
}

export interface PutItem<R> extends PutOptions<R> {
  readonly record: R;
}
export type KeptAll<R> = { readonly ok: true; readonly records: readonly R[] } | NotKept<R>;

export interface Change {
  readonly id: Id;
  readonly kind: Kind;
}

export interface Store {
  /** Now, by the store's clock. */
  now(): Date;
  /** An id for a new record, in its place. */
  newId<K extends keyof ParentKind>(kind: K, parent: Id<ParentKind[K]>): Id<K>;
  newId(kind: 'job'): Id<'job'>;
  newId(kind: 'palette'): Id<'palette'>;

  /** Records of a kind, all or those within another at any depth, oldest first, without the bin's. */
  list<K extends Kind>(kind: K, within?: Id): Promise<readonly RecordOf<K>[]>;
  /** One record, in the bin or not (`deletedAt` says so). */
  get<K extends Kind>(id: Id<K>): Promise<RecordOf<K> | undefined>;
  /** Keeps a new record, or an edit of one when `base` is given. Sets `updatedAt`. */
  put<R extends AnyRecord>(record: R, options?: PutOptions<R>): Promise<Kept<R>>;
  /** Keeps all of the records or none, with their own `updatedAt`; on refusal names the one refused. */
  putAll(items: readonly PutItem<AnyRecord>[]): Promise<KeptAll<AnyRecord>>;
  /** Reads, edits and keeps; when another window was faster, edits what it left. */
  change<K extends Kind>(
    id: Id<K>,
    edit: (record: RecordOf<K>) => RecordOf<K>,
  ): Promise<Kept<RecordOf<K>>>;

  attachment(id: Id, name: string): Promise<Attachment | undefined>;
  attachments(id: Id): Promise<Attachments>;

  /** Puts a record, with all that lies in it, into the bin. */
  remove<K extends Kind>(id: Id<K>): Promise<Kept<RecordOf<K>>>;
  /** Takes it out again: the undo of `remove`. */
  restore<K extends Kind>(id: Id<K>): Promise<Kept<RecordOf<K>>>;
  /** What lies in the bin by itself, newest deletion first. */
  bin(): Promise<readonly AnyRecord[]>;
  /**
   * Deletes for good what was put into the bin before a moment, with all that lies in it. A palette
   * that a mix still names stays.
   */
  purge(before: Date): Promise<{ readonly purged: number }>;

  /** Documents that are here but cannot be read, for instance written by a newer version. */
  unreadable(): Promise<readonly { readonly id: string; readonly faults: readonly string[] }[]>;

  /** Calls for every change, from this window or another, until the returned function is called. */
  onChange(listener: (change: Change) => void): () => void;

  /** Asks the browser to keep the jobs for good. */
  persist(): Promise<boolean>;
  space(): Promise<Space>;
  close(): Promise<void>;
}
