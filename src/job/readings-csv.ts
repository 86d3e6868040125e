/** The readings of a job as a table for a spreadsheet. */
import { csvText, potInWords, to, type Columns } from './csv.ts';
import { parentOf } from './ids.ts';
import type { ReadingRecord } from './reading-record.ts';
import type { Area, Attempt, Piece } from './records.ts';

export interface ReadingsToList {
  readonly pieces: readonly Piece[];
  readonly areas: readonly Area[];
  readonly attempts: readonly Attempt[];
  readonly readings: readonly ReadingRecord[];
}

interface Row extends ReadingRecord {
  readonly pieceName: string;
  readonly areaName: string;
  readonly mix: Attempt | undefined;
}

/** Columns in order: heading with its unit, and what stands below it. */
const COLUMNS: Columns<Row> = [
  ['date (UTC)', (r) => r.createdAt],
  ['piece', (r) => r.pieceName],
  ['area', (r) => r.areaName],
  ['film', (r) => r.film],
  ['dE00', (r) => to(3, r.difference.deltaE00)],
  ['dE00 lower 95 %', (r) => to(3, r.difference.interval95[0])],
  ['dE00 upper 95 %', (r) => to(3, r.difference.interval95[1])],
  ['dL*', (r) => to(3, r.difference.lab[0])],
  ['da*', (r) => to(3, r.difference.lab[1])],
  ['db*', (r) => to(3, r.difference.lab[2])],
  ['acceptable', (r) => r.verdict.acceptable],
  ['acceptable up to dE00', (r) => r.thresholds.acceptable],
  ['imperceptible', (r) => r.verdict.imperceptible],
  ['imperceptible up to dE00', (r) => r.thresholds.imperceptible],
  ['in words', (r) => r.words.join('; ')],
  ['glaze L* (D65/2°)', (r) => to(3, r.glazeLab[0])],
  ['glaze a*', (r) => to(3, r.glazeLab[1])],
  ['glaze b*', (r) => to(3, r.glazeLab[2])],
  ['dab L* (D65/2°)', (r) => to(3, r.dabLab[0])],
  ['dab a*', (r) => to(3, r.dabLab[1])],
  ['dab b*', (r) => to(3, r.dabLab[2])],
  ['pot (g)', (r) => (r.mix ? potInWords(r.mix.pot) : '')],
  ['added (g)', (r) => (r.mix ? potInWords(r.mix.addition) : '')],
  ['tile', (r) => r.tile.name],
  ['lamp', (r) => r.lamp],
  ['source', (r) => r.source],
  ['camera', (r) => r.camera.label],
  ['frames', (r) => r.frames],
  ['warnings', (r) => r.warnings.join('; ')],
  ['algorithm', (r) => r.algorithm],
  ['note', (r) => r.note],
  ['id', (r) => r.id],
];

/** Oldest reading first. */
export function readingsCsv({ pieces, areas, attempts, readings }: ReadingsToList): string {
  const areaOf = new Map(areas.map((area) => [area.id, area]));
  const pieceOf = new Map(pieces.map((piece) => [piece.id, piece]));
  const mixOf = new Map(attempts.map((mix) => [mix.id, mix]));
  const rows = [...readings]
    .sort((a, b) => a.createdAt.localeCompare(b.createdAt))
    .map((reading): Row => {
      const area = areaOf.get(parentOf(reading.id));
      return {
        ...reading,
        areaName: area?.name ?? '',
        pieceName: (area && pieceOf.get(parentOf(area.id))?.name) ?? '',
        mix: reading.attempt && mixOf.get(reading.attempt),
      };
    });
  return csvText(COLUMNS, rows);
}
