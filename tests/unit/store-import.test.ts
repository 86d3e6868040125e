import { crc32 as nodeCrc32 } from 'node:zlib';
import { zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import type { Bundle, BundleItem } from '../../src/job/bundle.ts';
import type { AnyRecord } from '../../src/job/records.ts';
import { bundleFile, exportJob, fileName, readBundleFile } from '../../src/store/bundle-file.ts';
import { applyImport, planImport } from '../../src/store/import.ts';
import type { Store } from '../../src/store/store.ts';
import { crc32, unzip, zip } from '../../src/store/zip.ts';
import * as example from './job-examples.ts';
import { newStore } from './store-fixture.ts';

const { job, piece, area, attempt, palette, reading, picture } = example;
const photograph = { picture: { contentType: 'image/png', bytes: example.onePixelPng } };

async function filled(): Promise<Store> {
  const store = await newStore();
  const kept = await store.putAll([
    ...[job, piece, area, palette, attempt].map((record) => ({ record })),
    { record: reading, attachments: example.readingPictures },
    { record: picture, attachments: photograph },
  ]);
  if (!kept.ok) throw new Error(kept.message);
  return store;
}
async function exported(store: Store): Promise<Uint8Array> {
  const file = await exportJob(store, job.id);
  return file!.bytes;
}
function bundleIn(bytes: Uint8Array): Bundle {
  const parsed = readBundleFile(bytes);
  if (!parsed.ok) throw new Error(parsed.faults.join('\n'));
  return parsed.record;
}
function faultsIn(bytes: Uint8Array): readonly string[] {
  const parsed = readBundleFile(bytes);
  return parsed.ok ? [] : parsed.faults;
}
async function everything(store: Store): Promise<readonly BundleItem[]> {
  const kinds = ['job', 'piece', 'area', 'attempt', 'reading', 'picture', 'palette'] as const;
  const lists = await Promise.all(kinds.map((kind) => store.list(kind)));
  return Promise.all(
    lists.flat().map(async (record: AnyRecord) => ({
      record,
      attachments: await store.attachments(record.id),
    })),
  );
}

describe('a job as a file', () => {
  test('opens on another device as it was', async () => {
    const here = await filled();
    const there = await newStore();
    const plan = await planImport(there, bundleIn(await exported(here)));
    expect(plan.lines).toEqual([
      'Would add 1 job, 1 piece, 1 area, 1 attempt, 1 reading, 1 photograph, 1 palette.',
    ]);
    expect(await there.list('job')).toEqual([]);
    expect(await applyImport(there, plan)).toEqual({ ok: true, added: 7, replaced: 0 });
    expect(await everything(there)).toEqual(await everything(here));
  });

  test('is named after the job and the day', async () => {
    const file = await exportJob(await filled(), job.id);
    expect(file?.name).toBe('tureen-with-a-lid-dining-set-2026-03-02.zip');
    expect(fileName('Krug “Größe 3” / œuvre')).toBe('krug-gro-e-3-uvre');
    expect(fileName('…')).toBe('job');
  });

  test('leaves out what lies in the bin, but not the palette that is still needed', async () => {
    const store = await filled();
    await store.remove(attempt.id);
    await store.remove(palette.id);
    const bundle = bundleIn(await exported(store));
    const ids = bundle.items.map(({ record }) => record.id);
    expect(ids).not.toContain(attempt.id);
    expect(bundle.items.find(({ record }) => record.id === palette.id)?.record).not.toHaveProperty(
      'deletedAt',
    );
    expect(bundle.notes).toEqual([
      `reading of 2026-03-02 09:00 UTC: refers to ${attempt.id}, which is not in the file`,
    ]);
  });

  test('of a job that is not there', async () => {
    expect(await exportJob(await newStore(), 'job/NONE')).toBeUndefined();
  });
});

describe('taking a job in', () => {
  test('twice changes nothing the second time', async () => {
    const store = await filled();
    const before = await everything(store);
    const plan = await planImport(store, bundleIn(await exported(store)));
    expect(plan.lines).toEqual([
      'Already here and identical: 1 job, 1 piece, 1 area, 1 attempt, 1 reading, 1 photograph, 1 palette.',
    ]);
    expect(await applyImport(store, plan)).toEqual({ ok: true, added: 0, replaced: 0 });
    expect(await everything(store)).toEqual(before);
  });

  test('never replaces what differs unless the person says so', async () => {
    const store = await filled();
    const file = await exported(store);
    await store.change(job.id, (record) => ({ ...record, title: 'Tureen, second firing' }));
    await store.change(piece.id, (record) => ({ ...record, notes: 'moved to shelf 5' }));
    const plan = await planImport(store, bundleIn(file));
    expect(plan.lines.slice(0, 2)).toEqual([
      'Is here already and differs: job “Tureen with a lid, dining set” (title of the job). It stays as it is here unless you choose the file’s.',
      'Is here already and differs: piece “Lid of the tureen” (notes). It stays as it is here unless you choose the file’s.',
    ]);
    expect(await applyImport(store, plan)).toEqual({ ok: true, added: 0, replaced: 0 });
    expect((await store.get(job.id))?.title).toBe('Tureen, second firing');
    expect(await applyImport(store, plan, new Set([piece.id]))).toEqual({
      ok: true,
      added: 0,
      replaced: 1,
    });
    expect((await store.get(job.id))?.title).toBe('Tureen, second firing');
    expect((await store.get(piece.id))?.notes).toBe('');
  });

  test('tells a picture that differs, and a record in the bin', async () => {
    const store = await filled();
    const file = await exported(store);
    const jpeg = { contentType: 'image/jpeg', bytes: Uint8Array.of(0xff, 0xd8, 0xff, 0xd9) };
    await store.put(picture, { base: picture, attachments: { picture: jpeg } });
    await store.remove(area.id);
    const plan = await planImport(store, bundleIn(file));
    expect(plan.differ.map(({ item, fields }) => [item.record.id, fields])).toEqual([
      [area.id, ['it lies in the bin here']],
      [picture.id, ['picture “picture”']],
    ]);
    const all = new Set(plan.differ.map(({ item }) => item.record.id));
    expect((await applyImport(store, plan, all)).ok).toBe(true);
    expect((await store.list('area')).length).toBe(1);
    expect(await store.attachment(picture.id, 'picture')).toEqual(photograph.picture);
  });

  test('that was changed between plan and agreement changes nothing at all', async () => {
    const store = await filled();
    const file = await exported(store);
    await store.change(job.id, (record) => ({ ...record, title: 'Tureen, second firing' }));
    const plan = await planImport(store, bundleIn(file));
    await store.change(job.id, (record) => ({ ...record, title: 'Tureen, third firing' }));
    const extra = { ...piece, id: 'piece/J1/P2' } as const;
    const bigger = { ...plan, add: [{ record: extra, attachments: {} }] };
    const result = await applyImport(store, bigger, new Set([job.id]));
    expect(result).toMatchObject({ ok: false, reason: 'changed-elsewhere' });
    expect(await store.get(extra.id)).toBeUndefined();
    expect((await store.get(job.id))?.title).toBe('Tureen, third firing');
  });
});

describe('a file that is not whole', () => {
  test('cut short, empty, or another kind of file', async () => {
    const bytes = await exported(await filled());
    const line =
      'The file is not a whole zip archive: it may be another kind of file, or it was not copied to its end.';
    expect(faultsIn(bytes.subarray(0, bytes.length - 30))).toEqual([line]);
    expect(faultsIn(new Uint8Array(0))).toEqual([line]);
    expect(faultsIn(example.onePixelPng)).toEqual([line]);
  });

  test('a picture with one wrong bit is named', async () => {
    const bytes = Uint8Array.from(await exported(await filled()));
    const inPicture = Buffer.from(bytes).indexOf(Buffer.from('IDAT')) + 6;
    bytes[inPicture] = bytes[inPicture]! ^ 1;
    expect(faultsIn(bytes)).toEqual([
      expect.stringMatching(/^pictures\/.*\.png: is damaged; its checksum does not match\.$/),
    ]);
  });

  const text = (words: string) => new TextEncoder().encode(words);
  test.each([
    [{ 'notes.txt': text('x') }, 'job.json is missing: the archive is not a job from this tool.'],
    [{ 'job.json': text('{"format":') }, 'job.json: cannot be read as JSON'],
    [{ 'job.json': Uint8Array.of(0xff, 0xfe) }, 'job.json: cannot be read as JSON'],
    [{ 'job.json': text('{}') }, 'format: is missing (format)'],
  ])('an archive of other things, case %#', (files, line) => {
    expect(faultsIn(zipSync(files))[0]).toContain(line);
  });

  test('one that would unpack to more than a device holds', () => {
    const packed = zipSync({ 'job.json': text('{}') });
    const view = new DataView(packed.buffer);
    const directory = view.getUint32(packed.length - 22 + 16, true);
    view.setUint32(directory + 24, 0xfffffff0, true);
    expect(faultsIn(packed)).toEqual([expect.stringContaining('would unpack to 4096 MB')]);
  });
});

describe('zip', () => {
  test('CRC-32 has the check value of its catalogue, and is Node’s', () => {
    const digits = new TextEncoder().encode('123456789');
    // CRC-32/ISO-HDLC check value 0xCBF43926 (catalogue of parametrised CRC algorithms, from memory).
    expect(crc32(digits)).toBe(0xcbf43926);
    const bytes = Uint8Array.from({ length: 1000 }, (_, i) => (i * 7919) % 256);
    expect(crc32(bytes)).toBe(nodeCrc32(bytes));
    expect(crc32(new Uint8Array(0))).toBe(0);
  });
  test('files come back, folders are passed over', () => {
    const files = new Map([
      ['a/über.txt', new TextEncoder().encode('grün')],
      ['b.png', example.onePixelPng],
    ]);
    expect(unzip(zip(files, new Date('2026-03-02T09:00:00Z')))).toEqual({ ok: true, files });
    const withFolder = zipSync({
      folder: { 'x.txt': Uint8Array.of(1) },
      'empty/': new Uint8Array(0),
    });
    const unzipped = unzip(withFolder);
    expect(unzipped.ok && [...unzipped.files.keys()]).toEqual(['folder/x.txt']);
  });
});

test('a bundle file is the same bytes for the same job at the same time', () => {
  const items = [{ record: job, attachments: {} }];
  const at = new Date('2026-03-02T09:00:00.000Z');
  expect(bundleFile(items, job.title, at)).toEqual(bundleFile(items, job.title, at));
});
