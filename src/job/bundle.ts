/**
 * A whole job as one thing to hand over: its records in one JSON document, its pictures beside it.
 * Published as public/schema/job-bundle.schema.json.
 */
import * as v from 'valibot';
import { attachmentFaults, type Attachment, type Attachments } from './attachments.ts';
import { SCHEMA_VERSION } from './commission.ts';
import { faultLine, faultsOf } from './faults.ts';
import { count, instant, line, titled } from './fields.ts';
import { ancestorsOf } from './ids.ts';
import {
  parseAs,
  recordInWords,
  SCHEMAS,
  type AnyRecord,
  type Job,
  type Parsed,
} from './records.ts';

export const BUNDLE_FORMAT = 'lamp-and-tile job';

/** Where the records of a bundle lie in its JSON, and of which kind they are. */
const LISTS = {
  pieces: 'piece',
  areas: 'area',
  attempts: 'attempt',
  readings: 'reading',
  maps: 'map',
  plans: 'plan',
  jars: 'jar',
  pictures: 'picture',
  palettes: 'palette',
} as const;
type List = keyof typeof LISTS;
const LIST_NAMES = Object.keys(LISTS) as readonly List[];

const file = v.strictObject({
  record: titled('record of the picture', line()),
  name: titled('name of the picture', line(40)),
  file: titled('file of the picture', v.pipe(v.string(), v.regex(/^pictures\/[A-Za-z0-9._-]+$/))),
  contentType: titled('kind of picture', line(80)),
  bytes: titled('length in bytes', count(1, 2 ** 31)),
});
const frame = {
  format: titled('format', v.literal(BUNDLE_FORMAT)),
  schema: titled('version of the form', v.literal(SCHEMA_VERSION)),
  exportedAt: titled('date of the export', instant),
  files: titled('pictures as files', v.array(file)),
};
/** The frame alone: the records in it are checked one by one, older versions being brought up to date. */
const envelope = v.strictObject({
  ...frame,
  schema: titled('version of the form', count(1, SCHEMA_VERSION)),
  job: titled('job', v.unknown()),
  ...(Object.fromEntries(
    LIST_NAMES.map((name) => [name, titled(name, v.array(v.unknown()))]),
  ) as Record<List, v.ArraySchema<v.UnknownSchema, undefined>>),
});

/** The whole document, for the published schema. */
export const bundleSchema = v.strictObject({
  ...frame,
  job: SCHEMAS.job,
  pieces: v.array(SCHEMAS.piece),
  areas: v.array(SCHEMAS.area),
  attempts: v.array(SCHEMAS.attempt),
  readings: v.array(SCHEMAS.reading),
  maps: v.array(SCHEMAS.map),
  plans: v.array(SCHEMAS.plan),
  jars: v.array(SCHEMAS.jar),
  pictures: v.array(SCHEMAS.picture),
  palettes: v.array(SCHEMAS.palette),
});

export interface BundleItem {
  readonly record: AnyRecord;
  readonly attachments: Attachments;
}
export interface Bundle {
  readonly exportedAt: string;
  readonly job: Job;
  /** Every record, the job first, with its pictures. */
  readonly items: readonly BundleItem[];
  /** What is worth knowing and no fault, in the person's words. */
  readonly notes: readonly string[];
}
/** The parts of a bundle file by name: `job.json` as a document, pictures as bytes. */
export interface BundleFiles {
  readonly document: unknown;
  readonly pictures: ReadonlyMap<string, Uint8Array>;
}

type FileEntry = v.InferOutput<typeof file>;
const ENDINGS: Readonly<Record<string, string>> = {
  'image/png': 'png',
  'image/jpeg': 'jpg',
  'image/x-portable-graymap': 'pgm',
};

/** A bundle as files. */
export function writeBundle(items: readonly BundleItem[], exportedAt: Date): BundleFiles {
  const pictures = new Map<string, Uint8Array>();
  const files = items.flatMap(({ record, attachments }) =>
    Object.entries(attachments).map(([name, { contentType, bytes }]): FileEntry => {
      const ending = ENDINGS[contentType] ?? 'bin';
      const path = `pictures/${record.id.replaceAll('/', '.')}.${name}.${ending}`;
      pictures.set(path, bytes);
      return { record: record.id, name, file: path, contentType, bytes: bytes.length };
    }),
  );
  const of = (kind: AnyRecord['kind']) =>
    items.flatMap(({ record }) => (record.kind === kind ? [record] : []));
  const lists = LIST_NAMES.map((name) => [name, of(LISTS[name])]);
  const document = {
    format: BUNDLE_FORMAT,
    schema: SCHEMA_VERSION,
    exportedAt: exportedAt.toISOString(),
    job: of('job')[0],
    ...(Object.fromEntries(lists) as Record<List, AnyRecord[]>),
    files,
  };
  return { document, pictures };
}

function newerVersion(document: unknown): string | undefined {
  const { format, schema } = (document ?? {}) as { format?: unknown; schema?: unknown };
  if (format !== BUNDLE_FORMAT || typeof schema !== 'number' || schema <= SCHEMA_VERSION) {
    return undefined;
  }
  return `The file was written by a newer version of this tool (form ${schema}; this one knows up to ${SCHEMA_VERSION}): update the tool, then try again (schema)`;
}

/** The pictures of each record, and what is wrong with them. */
function picturesOf(
  files: readonly FileEntry[],
  pictures: ReadonlyMap<string, Uint8Array>,
  ids: ReadonlySet<string>,
) {
  const faults: string[] = [];
  const byRecord = new Map<string, Record<string, Attachment>>();
  for (const [i, { record, name, file: path, contentType, bytes: length }] of files.entries()) {
    const at = `files[${i}]`;
    const bytes = pictures.get(path);
    const all = byRecord.get(record) ?? {};
    if (!ids.has(record)) {
      faults.push(`${path}: belongs to a record that is not in the file (${at}.record)`);
    } else if (!bytes) {
      faults.push(`${path}: the picture is missing from the file (${at}.file)`);
    } else if (bytes.length !== length) {
      faults.push(`${path}: should be ${length} bytes long, but is ${bytes.length} (${at}.bytes)`);
    } else if (Object.hasOwn(all, name)) {
      faults.push(`${path}: the record has two pictures named “${name}” (${at}.name)`);
    } else {
      byRecord.set(record, { ...all, [name]: { contentType, bytes } });
    }
  }
  return { byRecord, faults };
}

/** What the records of a bundle say of each other. */
function misfits(records: readonly AnyRecord[], job: Job) {
  const byId = new Map(records.map((record) => [record.id as string, record]));
  const faults: string[] = [];
  const notes: string[] = [];
  if (byId.size < records.length) faults.push('Two records in the file have the same id (id)');
  for (const record of records) {
    const name = recordInWords(record);
    const above = ancestorsOf(record.id);
    if (above.some((id) => !byId.has(id))) {
      faults.push(`${name}: what it belongs to is not in the file (id: ${record.id})`);
    } else if (above.length > 0 && above.at(-1) !== job.id) {
      faults.push(`${name}: belongs to another job (id: ${record.id})`);
    }
    const named = [
      'attempt' in record ? record.attempt : undefined,
      'palette' in record ? record.palette : undefined,
      record.kind === 'plan' ? record.from : undefined,
      ...(record.kind === 'plan' ? record.steps.flatMap(({ map, reading }) => [map, reading]) : []),
      record.kind === 'area' ? record.matches : undefined,
      record.kind === 'picture' ? record.area : undefined,
    ].filter((id) => id !== undefined && !byId.has(id));
    notes.push(...named.map((id) => `${name}: refers to ${id}, which is not in the file`));
  }
  return { faults, notes };
}

/** Files of form 1 know of no blend maps, older ones of form 2 of no spray plans and jars. */
function withNewerLists(document: unknown): unknown {
  const { schema } = (document ?? {}) as { schema?: unknown };
  if (schema === 1) return { maps: [], plans: [], jars: [], ...(document as object) };
  return schema === 2 ? { plans: [], jars: [], ...(document as object) } : document;
}

/** Checks every field of a bundle. Nothing of a bundle with a fault is taken. */
export function readBundle({ document, pictures }: BundleFiles): Parsed<Bundle> {
  const newer = newerVersion(document);
  if (newer !== undefined) return { ok: false, faults: [newer] };
  const outer = v.safeParse(envelope, withNewerLists(document));
  if (!outer.success) {
    const lines = faultsOf(envelope, outer.issues).map((fault) => faultLine(fault));
    return { ok: false, faults: lines };
  }
  const { job, files, exportedAt, ...lists } = outer.output;
  const inputs = [
    { input: job, at: 'job', kind: 'job' as const },
    ...LIST_NAMES.flatMap((name) =>
      lists[name].map((input, i) => ({ input, at: `${name}[${i}]`, kind: LISTS[name] })),
    ),
  ];
  const faults: string[] = [];
  const records: { record: AnyRecord; at: string }[] = [];
  for (const { input, at, kind } of inputs) {
    const parsed: Parsed<AnyRecord> = parseAs(kind, input, at);
    if (parsed.ok) records.push({ record: parsed.record, at });
    else faults.push(...parsed.faults.map((fault) => `${inputInWords(input, kind)}: ${fault}`));
  }
  if (faults.length > 0) return { ok: false, faults };

  const fit = misfits(
    records.map(({ record }) => record),
    records[0]!.record as Job,
  );
  const ids = new Set(records.map(({ record }) => record.id as string));
  const found = picturesOf(files, pictures, ids);
  const items = records.map(({ record, at }) => ({
    record,
    at,
    attachments: found.byRecord.get(record.id) ?? {},
  }));
  const pictureFaults = items.flatMap(({ record, attachments, at }) => {
    const lines = attachmentFaults(record, attachments);
    return lines.map((fault) => `${recordInWords(record)}: ${fault} (${at})`);
  });
  const all = [...fit.faults, ...found.faults, ...pictureFaults];
  if (all.length > 0) return { ok: false, faults: all };

  const mentioned = new Set(files.map(({ file: path }) => path));
  const strays = [...pictures.keys()].filter((path) => !mentioned.has(path));
  const notes = [
    ...fit.notes,
    ...strays.map((path) => `${path}: is not part of the job and is left out`),
  ];
  const bundle = {
    exportedAt,
    job: records[0]!.record as Job,
    items: items.map(({ record, attachments }) => ({ record, attachments })),
    notes,
  };
  return { ok: true, record: bundle };
}

function inputInWords(input: unknown, kind: string): string {
  return typeof input === 'object' && input !== null ? recordInWords({ ...input }) : kind;
}
