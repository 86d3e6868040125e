/** What leaves the bench: the treatment record, the table of readings, whole jobs as files, and back. */
import type { Bundle } from '../../job/bundle.ts';
import { copyOf } from '../../job/copy.ts';
import { parentOf, type Id } from '../../job/ids.ts';
import { readingsCsv } from '../../job/readings-csv.ts';
import { sprayCsv } from '../../job/spray-csv.ts';
import { treatmentReport, type TreatmentReport } from '../../job/report.ts';
import type { Piece } from '../../job/records.ts';
import { applyImport, planImport, type ImportPlan } from '../../store/import.ts';
import type { Store } from '../../store/store.ts';

export type { ImportPlan, TreatmentReport };

/** Zip and schema are a large part of the code, and wanted seldom. */
const files = () => import('../../store/bundle-file.ts');

export class HandOver {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  /** The treatment record of a piece, with the piece itself; undefined when it is not there. */
  async treatment(
    id: Id<'piece'>,
  ): Promise<{ readonly piece: Piece; readonly report: TreatmentReport } | undefined> {
    const piece = await this.#store.get(id);
    const job = piece && (await this.#store.get(parentOf(piece.id)));
    if (!job) return undefined;
    const [areas, attempts, readings, maps, plans, pictures, palettes] = await Promise.all([
      this.#store.list('area', id),
      this.#store.list('attempt', id),
      this.#store.list('reading', id),
      this.#store.list('map', id),
      this.#store.list('plan', id),
      this.#store.list('picture', id),
      this.#store.list('palette'),
    ]);
    const report = treatmentReport({
      job,
      piece,
      areas,
      attempts,
      readings,
      maps,
      plans,
      palettes,
      pictures,
    });
    return { piece, report };
  }

  /** The readings of a job as a table for a spreadsheet. */
  async table(id: Id<'job'>): Promise<File> {
    const [job, pieces, areas, attempts, readings] = await Promise.all([
      this.#store.get(id),
      this.#store.list('piece', id),
      this.#store.list('area', id),
      this.#store.list('attempt', id),
      this.#store.list('reading', id),
    ]);
    const { fileName } = await files();
    const text = readingsCsv({ pieces, areas, attempts, readings });
    return new File([text], `${fileName(job?.title ?? '')}.csv`, { type: 'text/csv' });
  }

  /** How the areas of a job were sprayed, as a table for a spreadsheet. */
  async sprayTable(id: Id<'job'>): Promise<File> {
    const [job, pieces, areas, plans] = await Promise.all([
      this.#store.get(id),
      this.#store.list('piece', id),
      this.#store.list('area', id),
      this.#store.list('plan', id),
    ]);
    const { fileName } = await files();
    const text = sprayCsv({ pieces, areas, plans });
    return new File([text], `${fileName(job?.title ?? '')}-spraying.csv`, { type: 'text/csv' });
  }

  /** A whole job with its pictures, for another device. */
  async bundle(id: Id<'job'>): Promise<File> {
    const { exportJob } = await files();
    const file = await exportJob(this.#store, id);
    if (!file) throw new Error('this job is no longer there');
    return new File([new Uint8Array(file.bytes)], file.name, { type: 'application/zip' });
  }

  /** What taking a job's file in would change; or, line by line, what is wrong with it. */
  async plan(
    file: Blob,
  ): Promise<
    | { readonly ok: true; readonly plan: ImportPlan; readonly bundle: Bundle }
    | { readonly ok: false; readonly faults: readonly string[] }
  > {
    const { readBundleFile } = await files();
    const read = readBundleFile(new Uint8Array(await file.arrayBuffer()));
    if (!read.ok) return read;
    return { ok: true, plan: await planImport(this.#store, read.record), bundle: read.record };
  }

  /** Takes in what the plan says; what differs here is replaced only when asked for. */
  async takeIn(plan: ImportPlan, replace: boolean): Promise<void> {
    const ids = replace ? plan.differ.map(({ item }) => item.record.id) : [];
    const taken = await applyImport(this.#store, plan, new Set<string>(ids));
    if (!taken.ok) throw new Error(taken.message);
  }

  /** Takes the job in once more, under ids of its own, beside what is here. */
  async takeInAsCopy(bundle: Bundle): Promise<void> {
    const jobKey = this.#store.newId('job').slice('job/'.length);
    const { differ } = await planImport(this.#store, bundle);
    // A palette that is here as it is in the file is shared; one that differs comes as its own.
    const palettes = differ.flatMap(({ item: { record } }) =>
      record.kind === 'palette' ? [[record.id, this.#store.newId('palette')] as const] : [],
    );
    const copy = copyOf(bundle, jobKey, new Map(palettes));
    const taken = await applyImport(this.#store, await planImport(this.#store, copy));
    if (!taken.ok) throw new Error(taken.message);
  }
}
