/** Taking a bundle in: first a plan that says what would change, then, if the person agrees, the change. */
import type { Bundle, BundleItem } from '../job/bundle.ts';
import { KINDS } from '../job/ids.ts';
import { countInWords, fieldsInWords, recordInWords, type AnyRecord } from '../job/records.ts';
import { changedFields } from './merge.ts';
import type { NotKept, Store } from './store.ts';

/** A record that is here already and differs. It is replaced only when the person says so. */
export interface Differing {
  readonly item: BundleItem;
  readonly stored: AnyRecord;
  /** What differs, in the person's words; pictures by their names. */
  readonly fields: readonly string[];
}

export interface ImportPlan {
  readonly add: readonly BundleItem[];
  readonly differ: readonly Differing[];
  readonly identical: readonly BundleItem[];
  /** The plan in the person's words, a line for each thing. */
  readonly lines: readonly string[];
}

export type Imported =
  { readonly ok: true; readonly added: number; readonly replaced: number } | NotKept<AnyRecord>;

function sameBytes(a: Uint8Array, b: Uint8Array | undefined): boolean {
  return a.length === b?.length && a.every((byte, i) => byte === b[i]);
}

/** What of an item differs from what is here. */
async function difference(store: Store, { record, attachments }: BundleItem, stored: AnyRecord) {
  const here = await store.attachments(stored.id);
  const pictures = Object.entries(attachments).filter(
    ([name, { bytes }]) => !sameBytes(bytes, here[name]?.bytes),
  );
  const changed = changedFields(record, stored);
  const fields = changed.filter((field) => field !== 'deletedAt');
  return [
    ...(fields.length < changed.length ? ['it lies in the bin here'] : []),
    ...fieldsInWords(record.kind, fields),
    ...pictures.map(([name]) => `picture “${name}”`),
  ];
}

function counted(items: readonly BundleItem[]): string {
  return KINDS.flatMap((kind) => {
    const count = items.filter(({ record }) => record.kind === kind).length;
    return count > 0 ? [countInWords(kind, count)] : [];
  }).join(', ');
}

/** What taking a bundle in would do. Changes nothing. */
export async function planImport(store: Store, bundle: Bundle): Promise<ImportPlan> {
  const add: BundleItem[] = [];
  const differ: Differing[] = [];
  const identical: BundleItem[] = [];
  for (const item of bundle.items) {
    const stored: AnyRecord | undefined = await store.get(item.record.id);
    const fields = stored ? await difference(store, item, stored) : [];
    if (!stored) add.push(item);
    else if (fields.length > 0) differ.push({ item, stored, fields });
    else identical.push(item);
  }
  const lines = [
    ...(add.length > 0 ? [`Would add ${counted(add)}.`] : []),
    ...differ.map(
      ({ item, fields }) =>
        `Is here already and differs: ${recordInWords(item.record)} (${fields.join(', ')}). It stays as it is here unless you choose the file’s.`,
    ),
    ...(identical.length > 0 ? [`Already here and identical: ${counted(identical)}.`] : []),
    ...bundle.notes,
  ];
  return { add, differ, identical, lines };
}

/**
 * Carries a plan out: all of it or nothing.
 * @param replace ids of the differing records that the person wants as the file has them
 */
export async function applyImport(
  store: Store,
  { add, differ }: ImportPlan,
  replace: ReadonlySet<string> = new Set(),
): Promise<Imported> {
  const replaced = differ.filter(({ item }) => replace.has(item.record.id));
  const kept = await store.putAll([
    ...add,
    ...replaced.map(({ item, stored }) => ({ ...item, base: stored })),
  ]);
  return kept.ok ? { ok: true, added: add.length, replaced: replaced.length } : kept;
}
