/** Jobs, pieces, areas and photographs as a person keeps them: listed, edited, deleted, matched, each with undo. */
import type { LabD65 } from '../../colour/spaces.ts';
import { ancestorsOf, parentOf, type Id } from '../../job/ids.ts';
import { SCHEMA_VERSION } from '../../job/commission.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import {
  recordInWords,
  type AnyRecord,
  type Area,
  type Attempt,
  type Job,
  type Picture,
  type Piece,
} from '../../job/records.ts';
import { startingMix, type StartingMix } from '../../job/starting-mix.ts';
import type { PutItem, Store } from '../../store/store.ts';
import { formatNumber } from '../elements/numbers.ts';
import { preparePhotograph } from './photograph.ts';

export interface AreaEntry {
  readonly area: Area;
  readonly readings: number;
  readonly last: ReadingRecord | undefined;
  /** The area it must match, while that is still here. */
  readonly matches: { readonly area: Area; readonly piece: Piece } | undefined;
}
export interface PieceEntry {
  readonly piece: Piece;
  readonly areas: readonly AreaEntry[];
  readonly pictures: readonly Picture[];
}
export interface JobEntry {
  readonly job: Job;
  readonly pieces: readonly PieceEntry[];
  /** ISO 8601, UTC: the newest thing in it. */
  readonly lastWorked: string;
}

/** What was done, and how it is taken back. */
export interface Done {
  readonly text: string;
  readonly undo: () => Promise<void>;
}

export type PhotographTexts = Pick<Picture, 'stage' | 'caption' | 'takenAt' | 'area'>;

export class JobBook {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  /** Every job with what lies in it, last worked on first. */
  async list(): Promise<readonly JobEntry[]> {
    const [jobs, pieces, areas, readings, pictures] = await Promise.all([
      this.#store.list('job'),
      this.#store.list('piece'),
      this.#store.list('area'),
      this.#store.list('reading'),
      this.#store.list('picture'),
    ]);
    const areaEntry = (area: Area): AreaEntry => {
      const own = readings.filter(({ id }) => parentOf(id) === area.id);
      const first = areas.find(({ id }) => id === area.matches);
      const piece = first && pieces.find(({ id }) => id === parentOf(first.id));
      const matches = first && piece && { area: first, piece };
      return { area, readings: own.length, last: own.at(-1), matches };
    };
    const pieceEntry = (piece: Piece): PieceEntry => ({
      piece,
      areas: areas.filter(({ id }) => parentOf(id) === piece.id).map(areaEntry),
      pictures: pictures.filter(({ id }) => parentOf(id) === piece.id),
    });
    const all: readonly AnyRecord[] = [...jobs, ...pieces, ...areas, ...readings, ...pictures];
    return jobs
      .map((job): JobEntry => {
        const within = all.filter(({ id }) => id === job.id || ancestorsOf(id).includes(job.id));
        return {
          job,
          pieces: pieces.filter(({ id }) => parentOf(id) === job.id).map(pieceEntry),
          lastWorked: within.map(({ updatedAt }) => updatedAt).reduce((a, b) => (a > b ? a : b)),
        };
      })
      .sort((a, b) => b.lastWorked.localeCompare(a.lastWorked));
  }

  /** Keeps an edit. Edits made elsewhere to other fields stand beside it. */
  async edit<R extends AnyRecord>(base: R, changed: R): Promise<Done> {
    const kept = await this.#keep(changed, base);
    return {
      text: `Changed: ${recordInWords(kept)}.`,
      undo: async () => {
        // Only what this edit changed goes back; what was changed since stays.
        await this.#keep(base, changed);
      },
    };
  }

  /** Into the bin, with all that lies in it. */
  async remove(record: AnyRecord): Promise<Done> {
    const kept = await this.#store.remove(record.id);
    if (!kept.ok) throw new Error(kept.message);
    return {
      text: `Deleted: ${recordInWords(record)}.`,
      undo: () => this.restore(record.id),
    };
  }

  async restore(id: Id): Promise<void> {
    const kept = await this.#store.restore(id);
    if (!kept.ok) throw new Error(kept.message);
  }

  bin(): Promise<readonly AnyRecord[]> {
    return this.#store.bin();
  }

  /** Deletes for good what lies in the bin. */
  async emptyBin(): Promise<number> {
    // The moment after now: what was deleted in this very millisecond goes too.
    const { purged } = await this.#store.purge(new Date(this.#store.now().getTime() + 1));
    return purged;
  }

  /**
   * The mix that a match of this area starts from.
   * @param acceptable the threshold where the area has none of its own
   */
  async startOf(first: Area, acceptable: number): Promise<StartingMix | undefined> {
    const [readings, attempts] = await Promise.all([
      this.#store.list('reading', first.id),
      this.#store.list('attempt', first.id),
    ]);
    return startingMix(readings, attempts, first.thresholds?.acceptable ?? acceptable);
  }

  /**
   * A new area that must match another: the second of a pair, or the same piece years later. It
   * begins with the other's target glaze, thresholds, palette and the mix of `start`.
   */
  async match(
    first: Area,
    start: StartingMix | undefined,
    piece: Id<'piece'>,
    name: string,
  ): Promise<Id<'area'>> {
    return await this.#match(first, start, piece, name, []);
  }

  /** The same on a new piece of a job. */
  async matchOnNewPiece(
    first: Area,
    start: StartingMix | undefined,
    job: Id<'job'>,
    pieceName: string,
    name: string,
  ): Promise<Id<'area'>> {
    const id = this.#store.newId('piece', job);
    const like = await this.#store.get(parentOf(first.id));
    const piece: Piece = {
      ...this.#fresh('piece', id),
      name: pieceName,
      reference: '',
      description: '',
      conditionAsFound: '',
      treatment: '',
      reversibility: '',
      treatedBy: like?.treatedBy ?? '',
      materials: [],
      notes: '',
    };
    return await this.#match(first, start, id, name, [piece]);
  }

  async #match(
    first: Area,
    start: StartingMix | undefined,
    piece: Id<'piece'>,
    name: string,
    besides: readonly Piece[],
  ): Promise<Id<'area'>> {
    const recipe = start?.attempt;
    const targetLab = first.targetLab ?? (await this.#lastGlaze(first, start));
    const id = this.#store.newId('area', piece);
    const palette = recipe?.palette ?? first.palette;
    const area: Area = {
      ...this.#fresh('area', id),
      name,
      notes: '',
      matches: first.id,
      ...(targetLab && { targetLab }),
      ...(first.thresholds && { thresholds: first.thresholds }),
      ...(palette && { palette }),
    };
    const begun: readonly Attempt[] = recipe
      ? [
          {
            ...this.#fresh('attempt', this.#store.newId('attempt', id)),
            palette: recipe.palette,
            pot: recipe.pot,
            addition: {},
            ...(recipe.medium !== undefined && { medium: recipe.medium }),
            ...(recipe.thinner !== undefined && { thinner: recipe.thinner }),
            note: `From ${recordInWords(first)}: ${startInWords(start)}.`,
          },
        ]
      : [];
    await this.#keepAll([...besides, area, ...begun].map((record) => ({ record })));
    return id;
  }

  async #lastGlaze(first: Area, start: StartingMix | undefined): Promise<LabD65 | undefined> {
    const read = start?.told?.reading ?? (await this.#store.list('reading', first.id)).at(-1);
    return read?.glazeLab;
  }

  /** Keeps photographs of a piece, all or none. Throws with the reason when one cannot be read. */
  async addPhotographs(
    piece: Id<'piece'>,
    files: readonly File[],
    texts: Pick<PhotographTexts, 'stage' | 'area'>,
  ): Promise<Done> {
    const items: PutItem<Picture>[] = [];
    for (const file of files) {
      const { width, height, attachments } = await preparePhotograph(file);
      const takenAt = new Date(file.lastModified).toISOString();
      const id = this.#store.newId('picture', piece);
      const record = {
        ...this.#fresh('picture', id),
        ...texts,
        caption: '',
        takenAt,
        width,
        height,
      };
      items.push({ record, attachments });
    }
    await this.#keepAll(items);
    const many = items.length === 1 ? '1 photograph is' : `${items.length} photographs are`;
    return {
      text: `${many} kept.`,
      undo: async () => {
        for (const { record } of items) await this.remove(record);
      },
    };
  }

  async pictureOf(id: Id<'picture'>, which: 'picture' | 'thumbnail'): Promise<Blob | undefined> {
    const kept = await this.#store.attachment(id, which);
    return kept && new Blob([new Uint8Array(kept.bytes)], { type: kept.contentType });
  }

  #fresh<K extends AnyRecord['kind']>(kind: K, id: Id<K>) {
    const at = this.#store.now().toISOString();
    return { kind, schema: SCHEMA_VERSION, id, createdAt: at, updatedAt: at } as const;
  }

  async #keep<R extends AnyRecord>(record: R, base: R): Promise<R> {
    const kept = await this.#store.put(record, { base });
    if (!kept.ok) throw new Error(kept.message);
    return kept.record;
  }

  async #keepAll(items: readonly PutItem<AnyRecord>[]): Promise<void> {
    const kept = await this.#store.putAll(items);
    if (!kept.ok) throw new Error(kept.message);
  }
}

/** Which mix it is and how close it came: “the mix of attempt 3, the last that blended: ΔE₀₀ 0.6, dry”. */
export function startInWords({ told, blends }: StartingMix): string {
  if (!told) return 'its newest mix, of which no dab was read';
  const { number, reading } = told;
  const which = blends ? 'the last that blended' : 'the nearest, for none blended';
  return `the mix of attempt ${number}, ${which}: ΔE₀₀ ${formatNumber(reading.difference.deltaE00, 1)}, ${reading.film}`;
}
