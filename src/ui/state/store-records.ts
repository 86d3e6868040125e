/** The screens' records on the browser's store. */
import { readGraymap } from '../../job/picture-forms.ts';
import { parentOf, SETTINGS_ID, type Id, type Kind } from '../../job/ids.ts';
import { mapRecord, type MapContext, type MapRecord } from '../../job/map-record.ts';
import {
  readingMask,
  readingRecord,
  type ReadingContext,
  type ReadingRecord,
} from '../../job/reading-record.ts';
import type { AnyRecord, Attempt, Palette } from '../../job/records.ts';
import { SCHEMA_VERSION } from '../../job/commission.ts';
import { firstSettings, type Settings } from '../../job/settings.ts';
import type { PotGrams } from '../../paint/types.ts';
import { DEFAULT_TILE } from '../../reading/settings.ts';
import type { BlendMap } from '../../reading/blend-map.ts';
import type { Reading } from '../../reading/types.ts';
import type { Kept, PutOptions, Store } from '../../store/store.ts';
import type { CropMask } from '../elements/crop.ts';
import type { BenchRecords, NewPalette, OpenedArea, ReadingPictures } from './bench-records.ts';
import type { Place, SavedReading } from './bench-state.ts';
import { demoPalette, seedDemo } from './demo-job.ts';

/** Which area was worked on last; a convenience of this window, no record of the job. */
const LAST_AREA = 'last-area';
const ASKED_TO_KEEP = 'asked-to-keep';

export class StoreRecords implements BenchRecords {
  readonly #store: Store;
  readonly #memory: Pick<globalThis.Storage, 'getItem' | 'setItem'>;

  constructor(store: Store, memory: Pick<globalThis.Storage, 'getItem' | 'setItem'>) {
    this.#store = store;
    this.#memory = memory;
  }

  async settings(): Promise<Settings> {
    const kept = await this.#store.get(SETTINGS_ID);
    if (kept) return kept;
    const tile = { name: 'Glazed white tile', ...DEFAULT_TILE };
    return await this.#put(firstSettings(tile, this.#store.now()));
  }

  async saveSettings(settings: Settings): Promise<Settings> {
    return await this.#put(settings, { base: await this.settings() });
  }

  async openLast(): Promise<OpenedArea> {
    // Without what lies in the bin, by itself or with its piece or job.
    const areas = await this.#store.list('area');
    const last = this.#memory.getItem(LAST_AREA);
    const area = areas.find(({ id }) => id === last) ?? areas.at(-1);
    return await this.openArea(area?.id ?? (await seedDemo(this.#store)));
  }

  async openArea(id: Id<'area'>): Promise<OpenedArea> {
    const place = await this.#placeOf(id);
    const [mixes, readings, palette] = await Promise.all([
      this.#store.list('attempt', id),
      this.#store.list('reading', id),
      this.#paletteOf(place),
    ]);
    this.#memory.setItem(LAST_AREA, id);
    const attempts = new Map(mixes.map((mix) => [mix.id, mix]));
    return {
      place,
      palette,
      mixes,
      readings: readings.map((record) => ({
        record,
        attempt: record.attempt && attempts.get(record.attempt),
      })),
    };
  }

  async addJob(title: string, piece: string, area: string): Promise<Id<'area'>> {
    const id = this.#store.newId('job');
    await this.#put({ ...this.#fresh('job', id), title, notes: '' });
    return await this.addPiece(id, piece, area);
  }

  async addPiece(job: Id<'job'>, name: string, area: string): Promise<Id<'area'>> {
    const id = this.#store.newId('piece', job);
    await this.#put({
      ...this.#fresh('piece', id),
      name,
      reference: '',
      description: '',
      conditionAsFound: '',
      treatment: '',
      reversibility: '',
      treatedBy: (await this.settings()).treatedBy,
      materials: [],
      notes: '',
    });
    return await this.addArea(id, area);
  }

  async addArea(piece: Id<'piece'>, name: string): Promise<Id<'area'>> {
    const id = this.#store.newId('area', piece);
    await this.#put({ ...this.#fresh('area', id), name, notes: '' });
    return id;
  }

  async addMix(
    area: Id<'area'>,
    palette: Id<'palette'>,
    pot: PotGrams,
    addition: PotGrams,
  ): Promise<Attempt> {
    const id = this.#store.newId('attempt', area);
    return await this.#put({ ...this.#fresh('attempt', id), palette, pot, addition, note: '' });
  }

  async palettes(): Promise<readonly Palette[]> {
    return await this.#store.list('palette');
  }

  async addPalette(content: NewPalette): Promise<Palette> {
    const id = this.#store.newId('palette');
    return await this.#put({ ...this.#fresh('palette', id), ...content });
  }

  async changePalette(id: Id<'palette'>, edit: (palette: Palette) => Palette): Promise<Palette> {
    return sure(await this.#store.change(id, edit));
  }

  async usePalette(area: Id<'area'>, palette: Id<'palette'>): Promise<void> {
    sure(await this.#store.change(area, (record) => ({ ...record, palette })));
    await this.saveSettings({ ...(await this.settings()), palette });
  }

  async remove(id: Id): Promise<() => Promise<void>> {
    sure(await this.#store.remove(id));
    return async () => {
      sure(await this.#store.restore(id));
    };
  }

  async saveReading(
    area: Id<'area'>,
    reading: Reading,
    context: Omit<ReadingContext, 'id'>,
    { crop, thumbnail }: ReadingPictures,
  ): Promise<ReadingRecord> {
    const id = this.#store.newId('reading', area);
    return await this.#put(readingRecord(reading, { ...context, id }), {
      attachments: {
        crop: await attached(crop),
        thumbnail: await attached(thumbnail),
        ...readingMask(reading),
      },
    });
  }

  async saveMap(
    area: Id<'area'>,
    map: BlendMap,
    context: Omit<MapContext, 'id'>,
    { crop, thumbnail }: ReadingPictures,
  ): Promise<MapRecord> {
    const id = this.#store.newId('map', area);
    return await this.#put(mapRecord(map, { ...context, id }), {
      attachments: { crop: await attached(crop), thumbnail: await attached(thumbnail) },
    });
  }

  async map(id: Id<'map'>): Promise<MapRecord | undefined> {
    return await this.#store.get(id);
  }

  async reading(id: Id<'reading'>): Promise<SavedReading | undefined> {
    const record = await this.#store.get(id);
    if (!record) return undefined;
    return { record, attempt: record.attempt && (await this.#store.get(record.attempt)) };
  }

  async pictureOf(
    id: Id<'reading'> | Id<'map'>,
    which: 'crop' | 'thumbnail',
  ): Promise<Blob | undefined> {
    const kept = await this.#store.attachment(id, which);
    return kept && new Blob([new Uint8Array(kept.bytes)], { type: kept.contentType });
  }

  async maskOf({ id, evidence: { crop, mask } }: ReadingRecord): Promise<CropMask | undefined> {
    const kept = mask && (await this.#store.attachment(id, 'mask'));
    const used = kept && readGraymap(kept.bytes)?.values;
    return used && { ...mask, x: mask.x - crop.x, y: mask.y - crop.y, used };
  }

  keep(): void {
    // Once: some browsers ask the person, and nobody should be asked twice.
    if (this.#memory.getItem(ASKED_TO_KEEP)) return;
    this.#memory.setItem(ASKED_TO_KEEP, 'yes');
    // Not to be able to ask is a no, and Settings says so.
    void this.#store.persist().catch(() => false);
  }

  onChange(listener: () => void): () => void {
    return this.#store.onChange(listener);
  }

  async #placeOf(id: Id<'area'>): Promise<Place> {
    const area = await this.#store.get(id);
    const piece = area && (await this.#store.get(parentOf(area.id)));
    const job = piece && (await this.#store.get(parentOf(piece.id)));
    if (!job) throw new Error('this area is no longer there');
    return { job, piece, area };
  }

  async #paletteOf({ area }: Place): Promise<Palette> {
    const wanted = [area.palette, (await this.#store.get(SETTINGS_ID))?.palette];
    const palettes = await this.#store.list('palette');
    const chosen =
      wanted.flatMap((id) => palettes.filter((one) => one.id === id))[0] ?? palettes[0];
    return (
      chosen ?? (await this.#put(demoPalette(this.#store.newId('palette'), this.#store.now())))
    );
  }

  #fresh<K extends Kind>(kind: K, id: Id<K>) {
    const at = this.#store.now().toISOString();
    return { kind, schema: SCHEMA_VERSION, id, createdAt: at, updatedAt: at } as const;
  }

  async #put<R extends AnyRecord>(record: R, options?: PutOptions<R>): Promise<R> {
    return sure(await this.#store.put(record, options));
  }
}

async function attached(blob: Blob) {
  return { contentType: blob.type, bytes: new Uint8Array(await blob.arrayBuffer()) };
}

/** What was kept; what was not becomes the message that the person reads. */
function sure<K extends AnyRecord>(kept: Kept<K>): K {
  if (!kept.ok) throw new Error(kept.message);
  return kept.record;
}
