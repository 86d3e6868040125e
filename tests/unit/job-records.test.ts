import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { attachmentFaults, MASK_TYPE } from '../../src/job/attachments.ts';
import {
  ancestorsOf,
  childId,
  idRange,
  kindOf,
  kindsWithin,
  parentOf,
  recordKey,
  rootId,
} from '../../src/job/ids.ts';
import { migrate } from '../../src/job/migrations.ts';
import { readGraymap, writeGraymap } from '../../src/job/picture-forms.ts';
import {
  keptCrop,
  readingMask,
  readingRecord,
  type ReadingContext,
} from '../../src/job/reading-record.ts';
import { parseAs, parseRecord, recordInWords } from '../../src/job/records.ts';
import type { Reading } from '../../src/reading/types.ts';
import * as example from './job-examples.ts';

const { job, piece, area, attempt, palette, reading, picture, settings } = example;

function faultsOf(input: unknown): readonly string[] {
  const parsed = parseRecord(input);
  return parsed.ok ? [] : parsed.faults;
}

describe('records', () => {
  test.each([job, piece, area, attempt, palette, reading, picture, settings])(
    'a whole $kind passes, and JSON carries it',
    (record) => {
      expect(parseRecord(JSON.parse(JSON.stringify(record)))).toEqual({ ok: true, record });
    },
  );

  test.each([
    [{ ...job, title: ' ' }, 'title of the job: must not be empty, but is “ ” (title)'],
    [{ ...piece, treatedBy: 7 }, 'who did it: must be text, but is 7 (treatedBy)'],
    [
      { ...area, targetLab: [50, 0, Number.NaN] },
      'target glaze, b*: must be a number, but is NaN (targetLab[2])',
    ],
    [{ ...attempt, pot: { blue: -0.2 } }, 'pot, blue: must be at least 0, but is -0.2 (pot.blue)'],
    [
      { ...attempt, pot: { 'b/lue': 1 } },
      'pot, b/lue: may hold letters, digits and hyphens only, but is “b/lue” (pot.b/lue)',
    ],
    [
      { ...reading, film: 'damp' },
      'wet or dry: must be "wet" or "touch-dry" or "dry" or "coated", but is “damp” (film)',
    ],
    [{ ...reading, frames: 1.5 }, 'frames averaged: must be a whole number, but is 1.5 (frames)'],
    [
      { ...picture, area: 'area/J1/P2/A1' },
      'area: belongs to another piece than the photograph (area)',
    ],
    [{ ...picture, mood: 'calm' }, 'mood: is a field this version does not know (mood)'],
    [
      { ...job, createdAt: '2026-02-30T10:00:00.000Z' },
      'date made: must be a date and time such as 2026-01-31T10:15:00.000Z (createdAt)',
    ],
    [
      { ...settings, spoken: 'yes' },
      'spoken results: must be yes or no (true or false), but is “yes” (spoken)',
    ],
    [
      { ...area, id: 'area/J1/P1' },
      'id: must be an id of the form area/…/…/…, but is “area/J1/P1” (id)',
    ],
    [
      { ...reading, attempt: 'attempt/J1/P1/OTHER/T1' },
      'attempt: belongs to another area than the reading (attempt)',
    ],
    [
      { ...reading, difference: { ...reading.difference, interval95: [2, 1] } },
      'difference, 95 % interval of ΔE₀₀: the lower end must not be above the upper end (difference.interval95)',
    ],
    [
      {
        ...reading,
        difference: {
          ...reading.difference,
          covariance: [
            [1, 2, 0],
            [0, 1, 0],
            [0, 0, 1],
          ],
        },
      },
      'difference, covariance of the difference: must be symmetric, with no negative variance (difference.covariance)',
    ],
    [
      { ...palette, pigments: [palette.pigments[0], palette.pigments[0]] },
      'two pigments have the same id',
    ],
    [
      { ...palette, pigments: [{ ...palette.pigments[0], colourIndex: 'sky blue' }] },
      'pigments, 1, Colour Index generic name: must be a Colour Index generic name such as PB 35 or PR 101, but is “sky blue” (pigments[0].colourIndex)',
    ],
    [
      { ...settings, thresholds: { acceptable: 0.8, imperceptible: 1.8 } },
      'thresholds: the imperceptible threshold must not be above the acceptable one (thresholds)',
    ],
  ])('a fault is named by its field, case %#', (record, line) => {
    expect(faultsOf(record)).toEqual([line]);
  });

  test('every fault is told at once', () => {
    const untitled: Record<string, unknown> = { ...job };
    delete untitled['title'];
    expect(faultsOf({ ...untitled, notes: null, tile: 4 })).toEqual([
      'title of the job: is missing (title)',
      'notes: must be text, but is empty (notes)',
      'tile of the job: must be a group of fields, but is 4 (tile)',
    ]);
  });

  test.each([undefined, null, 3, 'job', [], {}, { kind: 'vessel' }, { kind: 'toString' }])(
    'what is no record is refused: %j',
    (input) => {
      expect(faultsOf(input)).toHaveLength(1);
    },
  );

  test.each(['__proto__', 'constructor', 'toString', 'prototype'])(
    'a field named %s is not taken for a known one',
    (name) => {
      const text = JSON.stringify(attempt);
      expect(faultsOf(JSON.parse(`${text.slice(0, -1)},"${name}":1}`))).toEqual([
        `${name}: is a field this version does not know (${name})`,
      ]);
    },
  );

  test.each(['__proto__', 'constructor', 'prototype'])(
    'a pigment named %s is refused, not dropped',
    (name) => {
      const text = JSON.stringify(attempt).replace('"pot":{', `"pot":{"${name}":1,`);
      expect(faultsOf(JSON.parse(text))).toEqual([
        'pot: must be a plain group of fields, but is a group of fields (pot)',
      ]);
    },
  );

  test('a list is no pot', () => {
    expect(faultsOf({ ...attempt, pot: [5] })).toEqual([
      'pot: must be a plain group of fields, but is a list of 1 (pot)',
    ]);
  });

  test('a record of another kind than asked for is refused', () => {
    expect(parseAs('piece', job)).toEqual({
      ok: false,
      faults: ['kind of record: must be “piece” (kind)'],
    });
  });

  test('records are called by their names, else by their dates', () => {
    expect(recordInWords(piece)).toBe('piece “Lid of the tureen”');
    expect(recordInWords(reading)).toBe('reading of 2026-03-02 09:00 UTC');
  });
});

describe('versions', () => {
  const steps = [
    (old: Readonly<Record<string, unknown>>) => ({ ...old, remark: old['comment'] }),
    (old: Readonly<Record<string, unknown>>) =>
      Object.fromEntries(Object.entries(old).filter(([field]) => field !== 'comment')),
  ];
  test('an old record goes through every step since, in order', () => {
    const old = { kind: 'job', schema: 1, comment: 'chip' };
    expect(migrate(old, steps)).toEqual({
      ok: true,
      from: 1,
      record: { kind: 'job', schema: 3, remark: 'chip' },
    });
    expect(old).toEqual({ kind: 'job', schema: 1, comment: 'chip' });
  });
  test('a record in the middle of the chain takes the rest of it', () => {
    expect(migrate({ schema: 2, remark: 'a', comment: 'b' }, steps)).toMatchObject({
      record: { schema: 3, remark: 'a' },
    });
  });
  test('a newer version is refused with what to do', () => {
    expect(faultsOf({ ...job, schema: 3 })).toEqual([
      'version of the record’s form: was written by a newer version of this tool (form 3; this one knows up to 2): update the tool, then try again (schema)',
    ]);
  });
  test.each([0, -1, 1.5, '1', null, undefined])('version %j is refused', (schema) => {
    expect(faultsOf({ ...job, schema })).toEqual([
      'version of the record’s form: is missing or not a whole number (schema)',
    ]);
  });
});

describe('ids', () => {
  const jobId = rootId('job', 'J');
  const pieceId = childId('piece', jobId, 'P');
  const areaId = childId('area', pieceId, 'A');
  test('an id is its place', () => {
    expect(areaId).toBe('area/J/P/A');
    expect(parentOf(areaId)).toBe('piece/J/P');
    expect(ancestorsOf(childId('reading', areaId, 'R'))).toEqual([areaId, pieceId, jobId]);
    expect(parentOf('palette/L')).toBeUndefined();
  });
  test('an id of the wrong depth has no kind', () => {
    expect(kindOf('area/J/P')).toBeUndefined();
    expect(kindOf('area/J/P/A/X')).toBeUndefined();
    expect(kindOf('vessel/J')).toBeUndefined();
    expect(kindOf(areaId)).toBe('area');
  });
  test('one range holds what lies in a record at any depth, and not its neighbours', () => {
    const { first, last } = idRange('reading', jobId);
    const within = (id: string) => id >= first && id <= last;
    expect(within('reading/J/P/A/R')).toBe(true);
    expect(within('reading/J2/P/A/R')).toBe(false);
    expect(within('area/J/P/A')).toBe(false);
    const kinds = ['area', 'attempt', 'reading', 'map', 'plan', 'jar', 'picture'];
    expect(kindsWithin('piece')).toEqual(kinds);
  });
  test('keys sort by their time', () => {
    const keys = [
      '2026-01-02T00:00:00.000Z',
      '2026-01-01T23:59:59.999Z',
      '2025-12-31T00:00:00.000Z',
    ].map((at) => recordKey(new Date(at), 'abcdefgh'));
    expect([...keys].sort()).toEqual([...keys].reverse());
    expect(kindOf(`job/${keys[0] ?? ''}`)).toBe('job');
  });
});

describe('pictures', () => {
  test('a reading takes a crop and a mask that fit it', () => {
    expect(attachmentFaults(reading, example.readingPictures)).toEqual([]);
  });
  test.each([
    ['crop', 'image/png', [1, 2, 3], 'crop: is not a PNG picture'],
    ['crop', 'image/gif', [71, 73, 70], 'crop: must be a PNG or JPEG picture, but is “image/gif”'],
    ['mask', MASK_TYPE, [80, 53], 'mask: is not a whole grey map'],
    ['sketch', 'image/png', [], 'sketch: no such picture belongs to this kind of record'],
    ['toString', 'image/png', [], 'toString: no such picture belongs to this kind of record'],
  ])('%s of %s is refused', (name, contentType, bytes, line) => {
    const attachments = { [name]: { contentType, bytes: Uint8Array.from(bytes) } };
    expect(attachmentFaults(reading, attachments)).toEqual([line]);
  });
  test('a mask of another size than the reading says is refused', () => {
    const bytes = writeGraymap({ width: 1, height: 2, values: Uint8Array.of(1, 2) });
    expect(attachmentFaults(reading, { mask: { contentType: MASK_TYPE, bytes } })).toEqual([
      'mask: is 1 × 2 cells, but the reading says 4 × 3 cells',
    ]);
  });
  test('the grey map is the binary form of the Netpbm graymap (header as in pgm(5), from memory)', () => {
    const map = { width: 2, height: 1, values: Uint8Array.of(3, 1) };
    const bytes = writeGraymap(map);
    expect([...bytes]).toEqual([...Buffer.from('P5\n2 1\n3\n'), 3, 1]);
    expect(readGraymap(bytes)).toEqual(map);
    expect(readGraymap(bytes.subarray(0, -1))).toBeUndefined();
    expect(readGraymap(Uint8Array.from([...bytes.subarray(0, -1), 4]))).toBeUndefined();
  });
});

describe('a reading as a record', () => {
  const mask = {
    x: 100,
    y: 40,
    width: 3,
    height: 2,
    step: 4,
    used: Uint8Array.of(0, 1, 2, 2, 1, 3),
  };
  const result: Reading = {
    ok: true,
    tile: { polygon: reading.tile.polygon, level: 0.8, found: false },
    glazeLab: labD65(70, 1, 2),
    dabLab: labD65(71, 1, 2),
    difference: reading.difference,
    verdict: reading.verdict,
    words: ['a little lighter'],
    warnings: [],
    uncertainty: { shares: [{ source: 'noise', share: 1 }], sentence: '' },
    evidence: { dabOutline: reading.evidence.dabOutline, mask },
    algorithm: 'reading 1',
  };
  const context: ReadingContext = {
    id: 'reading/J1/P1/A1/R9',
    at: new Date('2026-03-02T10:00:00.000Z'),
    film: 'dry',
    source: 'live',
    cameraLabel: 'rear camera',
    cameraSettings: {
      deviceId: 'f00f',
      exposureTime: 125,
      iso: Number.NaN,
      pointsOfInterest: [{ x: 0, y: 0 }],
      torch: false,
    },
    lamp: 'bench lamp',
    picture: { width: 640, height: 480, frames: 12 },
    tile: settings.tiles[0]!,
    thresholds: settings.thresholds,
    regions: {
      glaze: { x: 40, y: 50, radius: 20 },
      dab: { x: 600.5, y: 470, radius: 30 },
      dabOn: 'piece',
    },
  };
  test('is whole and valid, and keeps of the camera’s settings what is plain', () => {
    const record = readingRecord(result, context);
    expect(parseRecord(record)).toEqual({ ok: true, record });
    expect(record.camera.settings).toEqual({ exposureTime: 125, torch: false });
    expect(record.tile).toEqual({ ...settings.tiles[0], ...result.tile });
    expect(attachmentFaults(record, readingMask(result))).toEqual([]);
  });
  test('keeps the pixels under the mask', () => {
    const { crop } = readingRecord(result, context).evidence;
    expect(crop).toEqual({ x: 100, y: 40, width: 12, height: 8 });
  });
  test('of a dab beside the piece has no mask, and keeps dab and glaze within the picture', () => {
    const none = { x: 0, y: 0, width: 0, height: 0, step: 1, used: new Uint8Array(0) };
    const beside = { ...result, evidence: { ...result.evidence, mask: none } };
    const record = readingRecord(beside, context);
    expect(parseRecord(record).ok).toBe(true);
    expect(readingMask(beside)).toEqual({});
    expect(record.evidence.mask).toBeUndefined();
    expect(keptCrop(beside, context.regions, context.picture)).toEqual({
      x: 20,
      y: 30,
      width: 611,
      height: 450,
    });
  });
});
