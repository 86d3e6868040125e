import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MASK_TYPE, type Attachments } from '../../src/job/attachments.ts';
import { readBundle, writeBundle, type BundleItem } from '../../src/job/bundle.ts';
import { kindOf, type Id, type Kind } from '../../src/job/ids.ts';
import { writeGraymap } from '../../src/job/picture-forms.ts';
import type { AnyRecord } from '../../src/job/records.ts';
import { bundleFile, readBundleFile } from '../../src/store/bundle-file.ts';
import * as example from '../unit/job-examples.ts';
import { anyRecord } from './arbitrary-records.ts';

const at = new Date('2026-03-03T08:00:00.000Z');
const photograph = { contentType: 'image/png', bytes: example.onePixelPng };

/** A valid record of a kind, put at a place. */
function placed(kind: Kind, id: string): fc.Arbitrary<BundleItem> {
  return anyRecord(kind).map((made) => {
    const record = { ...made, id: id as Id } as AnyRecord;
    if (record.kind !== 'reading') return { record, attachments: {} };
    const attempt = 'attempt/J/P/A/T';
    const { width, height } = { width: 2, height: 1 };
    const mask = { x: 0, y: 0, width, height, step: 1 };
    const bytes = writeGraymap({ width, height, values: Uint8Array.of(1, 2) });
    const attachments: Attachments = { crop: photograph, mask: { contentType: MASK_TYPE, bytes } };
    return { record: { ...record, attempt, evidence: { ...record.evidence, mask } }, attachments };
  });
}
/** A whole valid job. */
const jobs: fc.Arbitrary<readonly BundleItem[]> = fc.tuple(
  placed('job', 'job/J'),
  placed('piece', 'piece/J/P'),
  placed('area', 'area/J/P/A'),
  placed('attempt', 'attempt/J/P/A/T'),
  placed('reading', 'reading/J/P/A/R'),
  placed('reading', 'reading/J/P/A/S'),
  placed('picture', 'picture/J/P/X').map(({ record }) => ({
    record: 'area' in record ? { ...record, area: 'area/J/P/A' as const } : record,
    attachments: { picture: photograph },
  })),
  placed('palette', 'palette/L'),
);
const sorted = (items: readonly BundleItem[]) =>
  [...items].sort((a, b) => a.record.id.localeCompare(b.record.id));

test('any valid job comes back from its file as it was', () => {
  fc.assert(
    fc.property(jobs, (items) => {
      const parsed = readBundleFile(bundleFile(items, 'job', at).bytes);
      expect(parsed.ok || parsed.faults).toBe(true);
      expect(parsed.ok && sorted(parsed.record.items)).toEqual(sorted(items));
    }),
    { numRuns: 60 },
  );
});

type Json = Record<string | number, unknown>;
interface Spot {
  readonly holder: Json;
  readonly key: string | number;
  /** As a complaint spells it: readings[0].glazeLab[2]. */
  readonly path: string;
}
/** Every field of a document, from the outside in. */
function spots(value: unknown, path = ''): readonly Spot[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) => {
    const key = Array.isArray(value) ? Number(name) : name;
    const here = typeof key === 'number' ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`;
    return [{ holder: value as Json, key, path: here }, ...spots(inner, here)];
  });
}
/** Groups whose fields are named by the person: any name goes there. */
const OPEN = /\.(pot|addition|settings|factors|surer)$/;

/** The value of a field made into one that no field of the form can have. */
const spoils = fc.constantFrom<((old: unknown) => unknown)[]>(
  () => null,
  () => ({ strange: { thing: [] } }),
  (old) => (typeof old === 'string' ? 12 : typeof old === 'number' ? [[]] : 'spoilt'),
  (old) => (typeof old === 'number' ? 1e300 : null),
  (old) => (Array.isArray(old) ? [...(old as unknown[]), null] : [null]),
);

function spoilable() {
  return fc.tuple(jobs, fc.nat(), spoils);
}

describe('one field spoilt', () => {
  test('the whole file is refused, with a line that names the field', () => {
    fc.assert(
      fc.property(spoilable(), ([items, pick, spoil]) => {
        const { document, pictures } = writeBundle(items, at);
        const copy = JSON.parse(JSON.stringify(document)) as Json;
        const all = spots(copy).filter(({ path }) => !path.includes('.settings.'));
        const { holder, key, path } = all[pick % all.length]!;
        holder[key] = spoil(holder[key]);
        const parsed = readBundle({ document: copy, pictures });
        expect(parsed.ok, `${path} = ${JSON.stringify(holder[key])}`).toBe(false);
        const lines = parsed.ok ? [] : parsed.faults;
        expect(
          lines.some((line) => line.includes(`(${path}`)),
          `${path}: ${lines.join('\n')}`,
        ).toBe(true);
      }),
      { numRuns: 400 },
    );
  });

  test('a field too many is refused by its name, wherever it stands', () => {
    fc.assert(
      fc.property(jobs, fc.nat(), (items, pick) => {
        const { document, pictures } = writeBundle(items, at);
        const copy = JSON.parse(JSON.stringify(document)) as Json;
        const groups = spots(copy).filter(({ holder, key, path }) => {
          const value = holder[key];
          const isGroup = typeof value === 'object' && value !== null && !Array.isArray(value);
          return isGroup && !OPEN.test(path);
        });
        const { holder, key, path } = groups[pick % groups.length]!;
        (holder[key] as Json)['remark'] = 'x';
        const parsed = readBundle({ document: copy, pictures });
        expect(parsed.ok ? [] : parsed.faults).toEqual([
          expect.stringContaining(`remark: is a field this version does not know (${path}.remark)`),
        ]);
      }),
      { numRuns: 150 },
    );
  });
});

test('one bit of the file changed: refused, or the very same job', () => {
  const items: readonly BundleItem[] = [
    { record: example.job, attachments: {} },
    { record: example.piece, attachments: {} },
    { record: example.picture, attachments: { picture: photograph } },
  ];
  const whole = bundleFile(items, 'job', at).bytes;
  fc.assert(
    fc.property(fc.nat(whole.length * 8 - 1), (bit) => {
      const changed = Uint8Array.from(whole);
      changed[bit >> 3]! ^= 1 << (bit & 7);
      const parsed = readBundleFile(changed);
      if (parsed.ok) expect(sorted(parsed.record.items)).toEqual(sorted(items));
      else expect(parsed.faults.join('')).not.toBe('');
    }),
    { numRuns: 600 },
  );
});

test('the file cut anywhere is refused', () => {
  const whole = bundleFile([{ record: example.job, attachments: {} }], 'job', at).bytes;
  fc.assert(
    fc.property(fc.nat(whole.length - 1), (length) => {
      expect(readBundleFile(whole.subarray(0, length)).ok).toBe(false);
    }),
  );
});

test('ids of made records are of their kind', () => {
  fc.assert(fc.property(anyRecord('reading'), ({ id }) => kindOf(id) === 'reading'));
});
