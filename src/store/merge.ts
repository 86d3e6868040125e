/** Two windows, one record: edits of different fields both stand, edits of the same field do not. */
import type { AnyRecord } from '../job/records.ts';

/** The store's own; never a person's edit. */
const OWN = new Set(['kind', 'schema', 'id', 'createdAt', 'updatedAt']);

export function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const x = a as Readonly<Record<string, unknown>>;
  const y = b as Readonly<Record<string, unknown>>;
  const keys = Object.keys(x);
  return (
    keys.length === Object.keys(y).length &&
    keys.every((key) => Object.hasOwn(y, key) && same(x[key], y[key]))
  );
}

/** The fields in which two states of a record differ. */
export function changedFields(a: AnyRecord, b: AnyRecord): readonly string[] {
  const x: Readonly<Record<string, unknown>> = { ...a };
  const y: Readonly<Record<string, unknown>> = { ...b };
  return [...new Set([...Object.keys(x), ...Object.keys(y)])].filter(
    (key) => !OWN.has(key) && !same(x[key], y[key]),
  );
}

export type Merged<R> =
  | { readonly ok: true; readonly record: R }
  | {
      readonly ok: false;
      /** The fields both have changed, each in its own way. */
      readonly fields: readonly string[];
    };

/**
 * The edits that lead from `base` to `mine`, made on `theirs`.
 * @param base the record as it was read before the edit
 * @param mine the record as edited here
 * @param theirs the record as it stands in the store now
 */
export function merge<R extends AnyRecord>(base: R, mine: R, theirs: R): Merged<R> {
  const edited = changedFields(base, mine);
  const clashing = changedFields(mine, theirs).filter(
    (key) => edited.includes(key) && changedFields(base, theirs).includes(key),
  );
  if (clashing.length > 0) return { ok: false, fields: clashing };
  const fields: Record<string, unknown> = { ...theirs };
  const source: Readonly<Record<string, unknown>> = { ...mine };
  for (const key of edited) {
    if (Object.hasOwn(source, key)) fields[key] = source[key];
    else Reflect.deleteProperty(fields, key);
  }
  return { ok: true, record: fields as unknown as R };
}
