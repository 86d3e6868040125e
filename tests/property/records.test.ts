import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { KINDS } from '../../src/job/ids.ts';
import { parseRecord, type AnyRecord } from '../../src/job/records.ts';
import { merge, same } from '../../src/store/merge.ts';
import { newStore } from '../unit/store-fixture.ts';
import { anyRecord } from './arbitrary-records.ts';

const records = fc.oneof(...KINDS.map((kind) => anyRecord(kind))) as fc.Arbitrary<AnyRecord>;

describe('any valid record', () => {
  test.each(KINDS)('%s: passes its check, and comes back from JSON', (kind) => {
    fc.assert(
      fc.property(anyRecord(kind), (record) => {
        const parsed = parseRecord(JSON.parse(JSON.stringify(record)));
        expect(parsed).toEqual({ ok: true, record });
      }),
      { numRuns: 60 },
    );
  });

  test('comes back from the store but for the date of its last change', async () => {
    const store = await newStore();
    await fc.assert(
      fc.asyncProperty(records, async (record) => {
        // The same id may be drawn twice: then the second is an edit of the first.
        const base = await store.get(record.id);
        const options = base ? { base: base } : {};
        const kept = await store.put(
          { ...record, createdAt: base?.createdAt ?? record.createdAt },
          options,
        );
        expect(kept.ok || kept.message).toBe(true);
        const back = await store.get(record.id);
        expect({ ...back, createdAt: '', updatedAt: '' }).toEqual({
          ...record,
          createdAt: '',
          updatedAt: '',
        });
      }),
      { numRuns: 150 },
    );
  });
});

describe('merging', () => {
  const three = fc.oneof(
    fc.tuple(anyRecord('piece'), anyRecord('piece'), anyRecord('piece')),
    fc.tuple(anyRecord('area'), anyRecord('area'), anyRecord('area')),
    fc.tuple(anyRecord('palette'), anyRecord('palette'), anyRecord('palette')),
  ) as fc.Arbitrary<readonly [AnyRecord, AnyRecord, AnyRecord]>;
  type Loose = Readonly<Record<string, unknown>>;

  /** `mine` and `theirs` with some fields as in `base`, so that edits are sometimes independent. */
  const edits = fc
    .tuple(three, fc.infiniteStream(fc.boolean()))
    .map(([[base, mine, theirs], coins]) => {
      const some = (from: AnyRecord): AnyRecord => {
        const source = from as unknown as Loose;
        const fields = Object.entries(base).map(([key, value]) => {
          const edited = Object.hasOwn(source, key) && (coins.next().value as boolean);
          return [key, edited ? source[key] : value] as const;
        });
        return { ...Object.fromEntries(fields), id: base.id } as unknown as AnyRecord;
      };
      return [base, some(mine), some(theirs)] as const;
    });

  test('keeps every edit of either side, or says which fields clash', () => {
    fc.assert(
      fc.property(edits, ([base, mine, theirs]) => {
        const merged = merge(base, mine, theirs);
        const [b, m, t] = [base, mine, theirs] as unknown as readonly [Loose, Loose, Loose];
        const person = Object.keys(b).filter(
          (key) => !['kind', 'schema', 'id', 'createdAt', 'updatedAt'].includes(key),
        );
        const clashes = person.filter(
          (key) => !same(m[key], b[key]) && !same(t[key], b[key]) && !same(m[key], t[key]),
        );
        if (!merged.ok) {
          expect([...merged.fields].sort()).toEqual([...clashes].sort());
          return;
        }
        expect(clashes).toEqual([]);
        const result = merged.record as unknown as Loose;
        for (const key of person) {
          expect(result[key]).toEqual(same(m[key], b[key]) ? t[key] : m[key]);
        }
      }),
    );
  });
});
