import { readFileSync } from 'node:fs';
import { toJsonSchema } from '@valibot/to-json-schema';
import Ajv from 'ajv';
import addFormats from 'ajv-formats';
import { format, resolveConfig } from 'prettier';
import { describe, expect, test } from 'vitest';
import {
  bundleSchema,
  readBundle,
  writeBundle,
  type BundleFiles,
  type BundleItem,
} from '../../src/job/bundle.ts';
import { copyOf } from '../../src/job/copy.ts';
import type { AnyRecord } from '../../src/job/records.ts';
import * as example from './job-examples.ts';

const { job, piece, area, attempt, palette, reading, map, picture, plan, jar } = example;
const at = new Date('2026-03-03T08:00:00.000Z');
const photograph = { contentType: 'image/png', bytes: example.onePixelPng };

const items: readonly BundleItem[] = [
  ...[job, piece, area, attempt].map((record) => ({ record, attachments: {} })),
  { record: reading, attachments: example.readingPictures },
  { record: picture, attachments: { picture: photograph } },
  { record: palette, attachments: {} },
  { record: map, attachments: { crop: photograph } },
  { record: plan, attachments: {} },
  { record: jar, attachments: {} },
];

type Json = Record<string, unknown>;
/** A bundle as JSON carries it, for a test to spoil. */
function written(): { document: Json; pictures: Map<string, Uint8Array> } {
  const { document, pictures } = writeBundle(items, at);
  return {
    document: JSON.parse(JSON.stringify(document)) as Json,
    pictures: new Map(pictures),
  };
}
function faultsOf(files: BundleFiles): readonly string[] {
  const parsed = readBundle(files);
  return parsed.ok ? [] : parsed.faults;
}
function listOf(document: Json, name: string): Json[] {
  return document[name] as Json[];
}

describe('a bundle', () => {
  test('comes back as it was', () => {
    const parsed = readBundle(written());
    expect(parsed.ok && parsed.record.notes).toEqual([]);
    expect(parsed.ok && parsed.record.job).toEqual(job);
    const byId = (a: BundleItem, b: BundleItem) => a.record.id.localeCompare(b.record.id);
    expect(parsed.ok && [...parsed.record.items].sort(byId)).toEqual([...items].sort(byId));
  });

  test('with a field that is wrong names record, field and place', () => {
    const bundle = written();
    (listOf(bundle.document, 'readings')[0]!['glazeLab'] as unknown[])[0] = 'bright';
    expect(faultsOf(bundle)).toEqual([
      'reading of 2026-03-02 09:00 UTC: colour of the glaze, L*: must be a number, but is “bright” (readings[0].glazeLab[0])',
    ]);
  });

  test('with a field too many is refused', () => {
    const bundle = written();
    bundle.document['owner'] = 'someone';
    expect(faultsOf(bundle)).toEqual(['owner: is a field this version does not know (owner)']);
  });

  test('of a newer version says so before anything else', () => {
    const bundle = written();
    bundle.document['schema'] = 3;
    bundle.document['novelty'] = true;
    expect(faultsOf(bundle)).toEqual([
      'The file was written by a newer version of this tool (form 3; this one knows up to 2): update the tool, then try again (schema)',
    ]);
  });

  test('without one of its pictures names the picture', () => {
    const bundle = written();
    bundle.pictures.delete('pictures/picture.J1.P1.X1.picture.png');
    expect(faultsOf(bundle)).toEqual([
      'pictures/picture.J1.P1.X1.picture.png: the picture is missing from the file (files[2].file)',
    ]);
  });

  test('with a picture that is none is refused', () => {
    const bundle = written();
    const path = 'pictures/reading.J1.P1.A1.R1.crop.png';
    bundle.pictures.set(path, new Uint8Array(bundle.pictures.get(path)!.length));
    expect(faultsOf(bundle)).toEqual([
      'reading of 2026-03-02 09:00 UTC: crop: is not a PNG picture (readings[0])',
    ]);
  });

  test('with a piece of another job is refused', () => {
    const bundle = written();
    const other = { ...piece, id: 'piece/OTHER/P1' };
    listOf(bundle.document, 'pieces').push(other);
    expect(faultsOf(bundle)).toEqual([
      'piece “Lid of the tureen”: what it belongs to is not in the file (id: piece/OTHER/P1)',
    ]);
  });

  test('of form 1, which knows no blend maps, is taken in', () => {
    const bundle = written();
    bundle.document['schema'] = 1;
    Reflect.deleteProperty(bundle.document, 'maps');
    bundle.document['files'] = listOf(bundle.document, 'files').filter(
      ({ record }) => record !== map.id,
    );
    const parsed = readBundle(bundle);
    expect(parsed.ok && parsed.record.items.length).toBe(items.length - 1);
  });

  test('of form 2 from before spray plans and jars is taken in', () => {
    const bundle = written();
    Reflect.deleteProperty(bundle.document, 'plans');
    Reflect.deleteProperty(bundle.document, 'jars');
    const parsed = readBundle(bundle);
    expect(parsed.ok && parsed.record.items.length).toBe(items.length - 2);
  });

  test('with a jar of another area’s mix, or a plan of an unknown surface, is refused', () => {
    const bundle = written();
    listOf(bundle.document, 'jars')[0]!['attempt'] = 'attempt/J1/P1/A2/T1';
    listOf(bundle.document, 'plans')[0]!['shape'] = { kind: 'star' };
    const [first, second] = faultsOf(bundle);
    expect(first).toMatch(/^spray plan of .*surface/);
    expect(second).toMatch(/^jar “Pale blue ground”: attempt: belongs to another area/);
  });

  test('whose plan names a map that is not there notes it', () => {
    const bundle = written();
    listOf(bundle.document, 'plans')[0]!['from'] = 'plan/OTHER/P/A/S';
    const parsed = readBundle(bundle);
    expect(parsed.ok && parsed.record.notes).toEqual([
      'spray plan of 2026-03-02 09:00 UTC: refers to plan/OTHER/P/A/S, which is not in the file',
    ]);
  });

  test('with a blend map of another area’s mix is refused', () => {
    const bundle = written();
    listOf(bundle.document, 'maps')[0]!['attempt'] = 'attempt/J1/P1/A2/T1';
    expect(faultsOf(bundle)).toEqual([
      'blend map of 2026-03-02 09:00 UTC: attempt: belongs to another area than the blend map (maps[0].attempt)',
    ]);
  });

  test('with a record twice is refused', () => {
    const bundle = written();
    listOf(bundle.document, 'areas').push({ ...area });
    expect(faultsOf(bundle)).toEqual(['Two records in the file have the same id (id)']);
  });

  test('with a record in the wrong list is refused', () => {
    const bundle = written();
    listOf(bundle.document, 'areas').push({ ...piece });
    expect(faultsOf(bundle)).toEqual([
      'piece “Lid of the tureen”: kind of record: must be “area” (areas[1].kind)',
    ]);
  });

  test('notes what it refers to but does not hold, and what is no part of it', () => {
    const bundle = written();
    bundle.document['palettes'] = [];
    bundle.pictures.set('pictures/stray.png', example.onePixelPng);
    const parsed = readBundle(bundle);
    expect(parsed.ok && parsed.record.notes).toEqual([
      'area “Pale blue ground”: refers to palette/L1, which is not in the file',
      'attempt of 2026-03-02 09:00 UTC: refers to palette/L1, which is not in the file',
      'jar “Pale blue ground”: refers to palette/L1, which is not in the file',
      'pictures/stray.png: is not part of the job and is left out',
    ]);
  });

  test.each([null, 7, 'job', [], {}])('that is %j is refused', (document) => {
    expect(faultsOf({ document, pictures: new Map() }).length).toBeGreaterThan(0);
  });
});

describe('the published schema', () => {
  const path = new URL('../../public/schema/job-bundle.schema.json', import.meta.url);
  const published: unknown = JSON.parse(readFileSync(path, 'utf8'));
  const ajv = new Ajv({ allErrors: true, strict: false });
  addFormats(ajv);
  const accepts = ajv.compile(published as object);

  // `npx vitest run tests/unit/job-bundle.test.ts -u` writes the file anew after a change of the records.
  test('is the one the records are checked by', async () => {
    const { $schema, ...rest } = toJsonSchema(bundleSchema, {
      errorMode: 'ignore',
      typeMode: 'output',
    });
    const schema = { $schema, title: 'A job bundle of Lamp & Tile', ...rest };
    const options = await resolveConfig(path);
    const text = await format(JSON.stringify(schema), { ...options, parser: 'json' });
    await expect(text).toMatchFileSnapshot(path.pathname);
  });

  test('passes a whole bundle, by another validator', () => {
    expect(accepts(written().document)).toBe(true);
  });

  const spoil: readonly (readonly [string, (document: Json) => void])[] = [
    ['/job', ({ job: it }) => delete (it as Json)['title']],
    ['/pieces/0/materials', (d) => (listOf(d, 'pieces')[0]!['materials'] = 'resin')],
    ['/attempts/0/pot/blue', (d) => (listOf(d, 'attempts')[0]!['pot'] = { blue: -1 })],
    ['/readings/0/film', (d) => (listOf(d, 'readings')[0]!['film'] = 'damp')],
    [
      '/readings/0/glazeLab/2',
      (d) => ((listOf(d, 'readings')[0]!['glazeLab'] as unknown[])[2] = '4'),
    ],
    ['/readings/0/glazeLab', (d) => (listOf(d, 'readings')[0]!['glazeLab'] as unknown[]).pop()],
    ['/areas/0/id', (d) => (listOf(d, 'areas')[0]!['id'] = 'area/J1')],
    ['/files/0', (d) => (listOf(d, 'files')[0]!['colour'] = 'blue')],
  ];
  test.each(spoil)('and our own check refuse the same fault at %s', (place, spoiling) => {
    const bundle = written();
    spoiling(bundle.document);
    expect(accepts(bundle.document)).toBe(false);
    expect(accepts.errors?.map(({ instancePath }) => instancePath)).toContain(place);
    expect(faultsOf(bundle).length).toBeGreaterThan(0);
  });
});

test('the example records are of every kind a bundle holds', () => {
  const kinds = items.map(({ record }: { record: AnyRecord }) => record.kind);
  expect(new Set(kinds).size).toBe(10);
});

describe('a copy of a job', () => {
  const read = readBundle(written());
  if (!read.ok) throw new Error(read.faults.join());
  const { record: bundle } = read;

  test('has every id of the job anew, and they fit each other as before', () => {
    const copy = copyOf(bundle, 'J2');
    const ids = copy.items.map(({ record }) => record.id);
    expect(ids.filter((id) => id.includes('/J1'))).toEqual([]);
    expect(copy.items.map(({ attachments }) => attachments)).toEqual(
      bundle.items.map(({ attachments }) => attachments),
    );
    // What is read back has been checked for records that lie nowhere or refer to nothing.
    const again = readBundle(writeBundle(copy.items, new Date('2026-03-04T12:00:00Z')));
    expect(again.ok && again.record.notes).toEqual(bundle.notes);
    const areas = copy.items.flatMap(({ record }) => (record.kind === 'area' ? [record] : []));
    expect(areas.every(({ matches }) => !matches?.includes('J1'))).toBe(true);
    expect(copy.job.title).toBe(`${bundle.job.title} (copy)`);
  });

  test('takes a palette of its own only when told to', () => {
    const palettes = (b: typeof bundle) =>
      b.items.flatMap(({ record }) =>
        record.kind === 'palette' ? [record.id] : record.kind === 'attempt' ? [record.palette] : [],
      );
    expect(palettes(copyOf(bundle, 'J2'))).toEqual(palettes(bundle));
    const own = copyOf(bundle, 'J2', new Map([[example.palette.id, 'palette/NEW']]));
    expect(new Set(palettes(own))).toEqual(new Set(['palette/NEW']));
  });
});
