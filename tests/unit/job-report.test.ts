import { describe, expect, test } from 'vitest';
import { readingsCsv } from '../../src/job/readings-csv.ts';
import { treatmentReport, type ReportSource } from '../../src/job/report.ts';
import * as example from './job-examples.ts';

const { job, piece, area, attempt, palette, reading, map, picture } = example;

const second = {
  ...attempt,
  id: 'attempt/J1/P1/A1/T2',
  createdAt: '2026-03-04T09:00:00.000Z',
  pot: { white: 5, blue: 0.4, umber: 0 },
} as const;
const dry = {
  ...reading,
  id: 'reading/J1/P1/A1/R2',
  attempt: attempt.id,
  film: 'dry',
  createdAt: '2026-03-03T09:00:00.000Z',
} as const;
const laterWet = {
  ...reading,
  id: 'reading/J1/P1/A1/R3',
  attempt: second.id,
  createdAt: '2026-03-05T09:00:00.000Z',
} as const;
const source: ReportSource = {
  job,
  piece,
  areas: [area, { ...area, id: 'area/J1/P2/A9', name: 'of another piece' }],
  attempts: [
    second,
    attempt,
    { ...attempt, id: 'attempt/J1/P2/A9/T1', createdAt: '2020-01-01T00:00:00.000Z' },
  ],
  maps: [map, { ...map, id: 'map/J1/P2/A9/M1' }],
  readings: [laterWet, dry, reading, { ...reading, id: 'reading/J1/P2/A9/R1' }],
  palettes: [palette],
  pictures: [picture, { ...picture, id: 'picture/J1/P2/X2', stage: 'after' }],
};

describe('the treatment record', () => {
  const report = treatmentReport(source);
  test('holds the piece’s own areas, readings and pictures only, oldest first', () => {
    expect(report.areas.map(({ area: { name } }) => name)).toEqual(['Pale blue ground']);
    expect(report.areas[0]?.readings.map(({ id }) => id)).toEqual([
      reading.id,
      dry.id,
      laterWet.id,
    ]);
    expect(report.areas[0]?.maps).toEqual([map]);
    expect(report.areas[0]?.maps).toEqual([map]);
    expect(report.areas[0]?.maps).toEqual([map]);
    expect(report.images).toEqual({ before: [picture], during: [], after: [] });
    expect(report.dates).toEqual({ from: '2026-03-02', to: '2026-03-05' });
  });
  test('shows how the area ended by its last dry reading, with the mix that was read', () => {
    const [ground] = report.areas;
    expect(ground?.result?.id).toBe(dry.id);
    expect(ground?.attempts).toBe(2);
    expect(ground?.mix).toEqual([
      { name: 'PW 6, Titanium white', grams: 5, share: 5 / 5.31 },
      { name: 'PB 36, Blue green shade', grams: 0.31, share: 0.31 / 5.31 },
    ]);
    expect(ground?.mediumGrams).toBe(0.4);
  });
  test('names the pigments by id when their palette is gone', () => {
    const bare = treatmentReport({ ...source, palettes: [] });
    expect(bare.areas[0]?.mix.map(({ name }) => name)).toEqual(['white', 'blue']);
  });
  test('says what is still to be written', () => {
    expect(report.missing).toEqual(['photograph after treatment']);
    const empty = treatmentReport({
      ...source,
      piece: { ...piece, treatedBy: ' ', reversibility: '' },
      readings: [],
      maps: [],
      pictures: [],
    });
    expect(empty.missing).toEqual([
      'reversibility note',
      'who did it',
      'photograph before treatment',
      'photograph after treatment',
      'a reading of Pale blue ground',
    ]);
    expect(empty.areas[0]?.mix.map(({ grams }) => grams)).toEqual([5, 0.4]);
  });
  test('keeps tiles, lamps and the cautions', () => {
    expect(report.tiles).toEqual(['plain wall tile']);
    expect(report.lamps).toEqual(['north light tube']);
    expect(report.cautions.join(' ')).toMatch(/not for food or drink/);
  });
});

/** Reads RFC 4180 as its grammar says, so that the writer is not checked by itself. */
function tableOf(csv: string): string[][] {
  const field = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/gy;
  const rows: string[][] = [];
  let row: string[] = [];
  for (const [, quoted, plain, end] of csv.matchAll(field)) {
    row.push(quoted?.replaceAll('""', '"') ?? plain ?? '');
    if (end !== '\r\n') continue;
    rows.push(row);
    row = [];
  }
  return rows;
}

describe('the table of readings', () => {
  const noted = {
    ...reading,
    note: 'said "too blue",\nthen left',
    words: ['=1+1', 'yellower'],
  };
  const csv = readingsCsv({
    pieces: [piece],
    areas: [area],
    attempts: [attempt],
    readings: [dry, noted],
  });
  const [headings = [], ...rows] = tableOf(csv.slice(1));
  const column = (heading: string) => rows.map((row) => row[headings.indexOf(heading)]);

  test('begins with a byte order mark and has a heading for each column', () => {
    expect(csv.charCodeAt(0)).toBe(0xfeff);
    expect(rows.map((row) => row.length)).toEqual([headings.length, headings.length]);
    expect(new Set(headings).size).toBe(headings.length);
  });
  test('has a row a reading, oldest first, with numbers as they are kept', () => {
    expect(column('date (UTC)')).toEqual([reading.createdAt, dry.createdAt]);
    expect(column('piece')).toEqual(['Lid of the tureen', 'Lid of the tureen']);
    expect(column('dE00')).toEqual(['1.72', '1.72']);
    expect(column('dL*')).toEqual(['-1.3', '-1.3']);
    expect(column('dab b*')).toEqual(['-8.1', '-8.1']);
    expect(column('film')).toEqual(['wet', 'dry']);
    expect(column('pot (g)')).toEqual(['white 5; blue 0.31', 'white 5; blue 0.31']);
  });
  test('carries quotes, commas and line ends, and no formula', () => {
    expect(column('note')).toEqual(['said "too blue",\nthen left', '']);
    expect(column('in words')[0]).toBe("'=1+1; yellower");
  });
});
