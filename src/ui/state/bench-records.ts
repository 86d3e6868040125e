/** What the screens need of the store, in their own terms. */
import type { Id } from '../../job/ids.ts';
import type { Attempt, Palette } from '../../job/records.ts';
import type { Settings } from '../../job/settings.ts';
import type { MapContext, MapRecord } from '../../job/map-record.ts';
import type { ReadingContext, ReadingRecord } from '../../job/reading-record.ts';
import type { PotGrams } from '../../paint/types.ts';
import type { BlendMap } from '../../reading/blend-map.ts';
import type { Reading } from '../../reading/types.ts';
import type { CropMask } from '../elements/crop.ts';
import type { Place, SavedReading } from './bench-state.ts';

export interface OpenedArea {
  readonly place: Place;
  readonly palette: Palette;
  readonly mixes: readonly Attempt[];
  readonly readings: readonly SavedReading[];
}

export interface ReadingPictures {
  /** The crop that the mask covers, PNG. */
  readonly crop: Blob;
  readonly thumbnail: Blob;
}

export type NewPalette = Pick<Palette, 'name' | 'pigments' | 'doseUnits' | 'smallest' | 'notes'>;

export interface BenchRecords {
  settings(): Promise<Settings>;
  saveSettings(settings: Settings): Promise<Settings>;
  /** The area last worked on, else the demo's. */
  openLast(): Promise<OpenedArea>;
  openArea(area: Id<'area'>): Promise<OpenedArea>;
  /** A job with its first piece and area. */
  addJob(title: string, piece: string, area: string): Promise<Id<'area'>>;
  addArea(piece: Id<'piece'>, name: string): Promise<Id<'area'>>;
  addPiece(job: Id<'job'>, name: string, area: string): Promise<Id<'area'>>;
  addMix(
    area: Id<'area'>,
    palette: Id<'palette'>,
    pot: PotGrams,
    addition: PotGrams,
  ): Promise<Attempt>;
  palettes(): Promise<readonly Palette[]>;
  addPalette(content: NewPalette): Promise<Palette>;
  /** Reads, edits and keeps; two windows may edit at once. */
  changePalette(id: Id<'palette'>, edit: (palette: Palette) => Palette): Promise<Palette>;
  /** The area is mixed from this palette from now on, and so are new areas. */
  usePalette(area: Id<'area'>, palette: Id<'palette'>): Promise<void>;
  /** Into the bin; call what it gives to bring it back. */
  remove(
    id: Id<'attempt'> | Id<'reading'> | Id<'map'> | Id<'palette'>,
  ): Promise<() => Promise<void>>;
  saveReading(
    area: Id<'area'>,
    reading: Reading,
    context: Omit<ReadingContext, 'id'>,
    pictures: ReadingPictures,
  ): Promise<ReadingRecord>;
  reading(id: Id<'reading'>): Promise<SavedReading | undefined>;
  saveMap(
    area: Id<'area'>,
    map: BlendMap,
    context: Omit<MapContext, 'id'>,
    pictures: ReadingPictures,
  ): Promise<MapRecord>;
  map(id: Id<'map'>): Promise<MapRecord | undefined>;
  pictureOf(id: Id<'reading'> | Id<'map'>, which: 'crop' | 'thumbnail'): Promise<Blob | undefined>;
  /** Which pixels of the crop counted; none for a dab beside the piece. */
  maskOf(reading: ReadingRecord): Promise<CropMask | undefined>;
  /** Calls when anything changes, here or in another window, until the returned function is called. */
  onChange(listener: () => void): () => void;
  /**
   * Asks the browser, once, not to clear the records when space runs short. Nothing waits for the answer:
   * a browser may ask the person, who may leave it standing.
   */
  keep(): void;
}
