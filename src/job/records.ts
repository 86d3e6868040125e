/** Every kind of record, and the one way to check something that claims to be one. */
import * as v from 'valibot';
import { area, job, picture, piece } from './commission.ts';
import { faultLine, faultsOf, fieldInWords, type Fault } from './faults.ts';
import type { Frozen } from './fields.ts';
import { kindOf, parentOf, type Kind } from './ids.ts';
import { jar } from './jar.ts';
import { map } from './map-record.ts';
import { migrate } from './migrations.ts';
import { attempt, palette } from './mixing.ts';
import { reading } from './reading-record.ts';
import { settings } from './settings.ts';
import { plan } from './spray-plan.ts';

export const SCHEMAS = {
  job,
  piece,
  area,
  attempt,
  reading,
  map,
  plan,
  jar,
  picture,
  palette,
  settings,
};

export type RecordOf<K extends Kind> = Frozen<v.InferOutput<(typeof SCHEMAS)[K]>>;
export type Job = RecordOf<'job'>;
export type Piece = RecordOf<'piece'>;
export type Area = RecordOf<'area'>;
export type Attempt = RecordOf<'attempt'>;
export type Picture = RecordOf<'picture'>;
export type Palette = RecordOf<'palette'>;
export type AnyRecord = { [K in Kind]: RecordOf<K> }[Kind];

export type Parsed<T> =
  | { readonly ok: true; readonly record: T }
  | {
      readonly ok: false;
      /** One line for each thing that is wrong, each naming its field. */
      readonly faults: readonly string[];
    };

function isFields(input: unknown): input is Readonly<Record<string, unknown>> {
  return typeof input === 'object' && input !== null && !Array.isArray(input);
}

/** What one field of a record cannot know: that the record lies where the others do. */
function misplaced(record: AnyRecord): readonly Fault[] {
  const fault = (field: string, message: string) => [{ path: field, field, message }];
  if ('attempt' in record) {
    if (parentOf(record.attempt) === parentOf(record.id)) return [];
    return fault('attempt', `belongs to another area than the ${NOUN[record.kind]}`);
  }
  if (record.kind === 'picture' && record.area !== undefined) {
    if (parentOf(record.area) === parentOf(record.id)) return [];
    return fault('area', 'belongs to another piece than the photograph');
  }
  return [];
}

type Found =
  | { readonly ok: true; readonly record: AnyRecord }
  | { readonly ok: false; readonly faults: readonly Fault[] };

function found(input: unknown, expected?: Kind): Found {
  const refused = (...faults: readonly Fault[]): Found => ({ ok: false, faults });
  if (!isFields(input)) return refused({ path: '', field: '', message: 'is not a record' });
  const kind = input['kind'];
  if (typeof kind !== 'string' || !Object.hasOwn(SCHEMAS, kind) || (expected ?? kind) !== kind) {
    const message = expected ? `must be “${expected}”` : 'is missing or unknown';
    return refused({ path: 'kind', field: 'kind of record', message });
  }
  const migrated = migrate(input);
  if (!migrated.ok) return refused(migrated.fault);
  const schema: v.GenericSchema = SCHEMAS[kind as Kind];
  const result = v.safeParse(schema, migrated.record);
  if (!result.success) return refused(...faultsOf(schema, result.issues));
  const record = result.output as AnyRecord;
  const misplacements = misplaced(record);
  return misplacements.length > 0 ? refused(...misplacements) : { ok: true, record };
}

/**
 * Brings a record of any version up to date and checks every field of it.
 * @param at where it lies in a larger whole, to be named in each line: "readings[2]"
 */
export function parseRecord(input: unknown, at?: string): Parsed<AnyRecord> {
  return inLines(found(input), at);
}
/** Parses a record that must be of one kind. */
export function parseAs<K extends Kind>(kind: K, input: unknown, at?: string): Parsed<RecordOf<K>> {
  return inLines(found(input, kind), at) as Parsed<RecordOf<K>>;
}
function inLines(result: Found, at?: string): Parsed<AnyRecord> {
  if (result.ok) return result;
  return { ok: false, faults: result.faults.map((fault) => faultLine(fault, at)) };
}

const NOUN: Readonly<Record<Kind, string>> = {
  job: 'job',
  piece: 'piece',
  area: 'area',
  attempt: 'attempt',
  reading: 'reading',
  map: 'blend map',
  plan: 'spray plan',
  jar: 'jar',
  picture: 'photograph',
  palette: 'palette',
  settings: 'settings',
};

/** What fields of a kind of record are called: "target glaze" for `targetLab`. */
export function fieldsInWords(kind: Kind, fields: readonly string[]): readonly string[] {
  return fields.map((field) => fieldInWords(SCHEMAS[kind], [field]));
}

/** "2 pieces", "1 photograph". */
export function countInWords(kind: Kind, count: number): string {
  return `${count} ${NOUN[kind]}${count === 1 || kind === 'settings' ? '' : 's'}`;
}

/** What a record is called in a sentence: piece “Lidded jar”, reading of 2026-01-31 10:15 UTC. */
export function recordInWords(record: {
  readonly id?: unknown;
  readonly [field: string]: unknown;
}): string {
  const kind = typeof record.id === 'string' ? kindOf(record.id) : undefined;
  const noun = kind ? NOUN[kind] : 'record';
  const name = record['title'] ?? record['name'] ?? record['label'];
  if (typeof name === 'string' && name !== '') return `${noun} “${name}”`;
  const at = record['createdAt'];
  return typeof at === 'string' ? `${noun} of ${at.slice(0, 16).replace('T', ' ')} UTC` : noun;
}
