/** A job bundle as a file: a zip of `job.json` and the pictures. */
import { readBundle, writeBundle, type Bundle, type BundleItem } from '../job/bundle.ts';
import type { Id } from '../job/ids.ts';
import type { Parsed } from '../job/records.ts';
import type { Store } from './store.ts';
import { unzip, zip } from './zip.ts';

const DOCUMENT = 'job.json';

export interface BundleFile {
  /** "tureen-with-a-lid-2026-03-02.zip" */
  readonly name: string;
  readonly bytes: Uint8Array;
}

export function bundleFile(items: readonly BundleItem[], title: string, at: Date): BundleFile {
  const { document, pictures } = writeBundle(items, at);
  const json = new TextEncoder().encode(`${JSON.stringify(document, undefined, 1)}\n`);
  const bytes = zip(new Map([[DOCUMENT, json], ...pictures]), at);
  return { name: `${fileName(title)}-${at.toISOString().slice(0, 10)}.zip`, bytes };
}

/** A title as a file name that every system takes. */
export function fileName(title: string): string {
  const plain = title
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return plain.slice(0, 60) || 'job';
}

/** Reads a bundle file and checks every field of it; the lines say what is wrong and where. */
export function readBundleFile(file: Uint8Array): Parsed<Bundle> {
  const unzipped = unzip(file);
  if (!unzipped.ok) return unzipped;
  const json = unzipped.files.get(DOCUMENT);
  if (!json) {
    return {
      ok: false,
      faults: [`${DOCUMENT} is missing: the archive is not a job from this tool.`],
    };
  }
  let document: unknown;
  try {
    document = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(json));
  } catch (error) {
    return { ok: false, faults: [`${DOCUMENT}: cannot be read as JSON (${String(error)}).`] };
  }
  const pictures = new Map([...unzipped.files].filter(([name]) => name !== DOCUMENT));
  return readBundle({ document, pictures });
}

/** A whole job with its pictures and the palettes it was mixed from, without what lies in the bin. */
export async function jobItems(store: Store, job: Id<'job'>): Promise<readonly BundleItem[]> {
  const itself = await store.get(job);
  if (!itself) return [];
  const [pieces, areas, attempts, readings, maps, plans, jars, pictures] = await Promise.all([
    store.list('piece', job),
    store.list('area', job),
    store.list('attempt', job),
    store.list('reading', job),
    store.list('map', job),
    store.list('plan', job),
    store.list('jar', job),
    store.list('picture', job),
  ]);
  const named = [...attempts, ...areas, ...jars].flatMap(({ palette }) =>
    palette ? [palette] : [],
  );
  const palettes = await Promise.all([...new Set(named)].map((id) => store.get(id)));
  const plain = [itself, ...pieces, ...areas, ...attempts, ...plans, ...jars].map((record) => ({
    record,
    attachments: {},
  }));
  const pictured = [...readings, ...maps, ...pictures].map(async (record) => ({
    record,
    attachments: await store.attachments(record.id),
  }));
  return [
    ...plain,
    ...(await Promise.all(pictured)),
    ...palettes.flatMap((record) =>
      record ? [{ record: outOfBin(record), attachments: {} }] : [],
    ),
  ];
}

function outOfBin<R extends { readonly deletedAt?: string }>(record: R): R {
  const copy = { ...record };
  Reflect.deleteProperty(copy, 'deletedAt');
  return copy;
}

/** A whole job as a file; undefined when there is no such job. */
export async function exportJob(store: Store, job: Id<'job'>): Promise<BundleFile | undefined> {
  const items = await jobItems(store, job);
  const first = items[0]?.record;
  return first?.kind === 'job' ? bundleFile(items, first.title, store.now()) : undefined;
}
