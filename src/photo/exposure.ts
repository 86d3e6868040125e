/**
 * How a photograph was exposed, from its Exif data (CIPA DC-008, 4.6.5): JPEG, PNG, TIFF, HEIC, and raw
 * files. These tags are asked for and no others: place, time, maker and owner of a photograph are never
 * read, and so never kept.
 */
import type { loadView } from 'exifreader/src/exif-reader.js';
import { exifPlace } from './exif-place.ts';
import { viewOf } from './header-fields.ts';

/** What is absent the photograph does not say. */
export interface PhotoExposure {
  /** ExposureTime, 0x829A, s; > 0. */
  readonly timeS?: number;
  /** FNumber, 0x829D; > 0. A lens without contacts says 0. */
  readonly fNumber?: number;
  /** PhotographicSensitivity, 0x8827: ISO speed; > 0. 65535 and more is said elsewhere, and so not here. */
  readonly iso?: number;
  /** Flash, 0x9209, bit 0. */
  readonly flashFired?: boolean;
}

/** Tags by number: their names have changed from edition to edition. */
const TAGS: readonly number[] = [0x829a, 0x829d, 0x8827, 0x9209];
const TOO_LARGE_FOR_SHORT = 65535;

/** @returns undefined where the bytes carry nothing of it, or nothing that makes sense */
export async function photoExposure(bytes: Uint8Array): Promise<PhotoExposure | undefined> {
  let exif: ReturnType<typeof loadView>['exif'];
  try {
    const reader = await import('exifreader/src/exif-reader.js');
    const view = viewOf(exifPlace(bytes));
    exif = reader.loadView(view, { expanded: true, includeTags: { exif: TAGS } }).exif;
  } catch {
    // Damaged, of another kind, or the reader could not be fetched: the photograph is as good without.
    return undefined;
  }
  if (!exif) return undefined;
  const timeS = ratio(exif.ExposureTime?.value);
  const fNumber = ratio(exif.FNumber?.value);
  const iso = positive(first(exif.ISOSpeedRatings?.value));
  const flash = first(exif.Flash?.value);
  const said: PhotoExposure = {
    ...(timeS !== undefined && { timeS }),
    ...(fNumber !== undefined && { fNumber }),
    ...(iso !== undefined && iso < TOO_LARGE_FOR_SHORT && { iso }),
    ...(typeof flash === 'number' && { flashFired: (flash & 1) === 1 }),
  };
  return Object.keys(said).length > 0 ? said : undefined;
}

const first = (value: unknown): unknown =>
  Array.isArray(value) ? (value as readonly unknown[])[0] : value;

function ratio(value: unknown): number | undefined {
  if (!Array.isArray(value)) return undefined;
  const [over, under] = value as readonly unknown[];
  return typeof over === 'number' && typeof under === 'number' ? positive(over / under) : undefined;
}

const positive = (value: unknown): number | undefined =>
  typeof value === 'number' && value > 0 && Number.isFinite(value) ? value : undefined;

/** What must be said of a photograph for its light's sake, in whole sentences. */
export const notesOf = (exposure: PhotoExposure | undefined): readonly string[] =>
  exposure?.flashFired
    ? ['The flash fired: its light is not the lamp’s. Take the photograph again without it.']
    : [];
