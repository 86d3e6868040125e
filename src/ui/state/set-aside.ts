/**
 * Readings that something took the place of before they were saved: another picture, another area,
 * another mix, a tap beside the dab. They wait with all that their records need, until they are saved
 * or let go.
 */
import { keptCrop } from '../../job/reading-record.ts';
import type { ReadingContext, ReadingRecord } from '../../job/reading-record.ts';
import type { Area, Attempt } from '../../job/records.ts';
import type { CapturedReading } from '../../link/bench-client.ts';
import type { EncodedPicture } from '../../reading/types.ts';
import type { BenchRecords } from './bench-records.ts';
import type { BenchState, HeldReading } from './bench-state.ts';
import { cropPicture, picturesOf } from './evidence.ts';
import { shotContext } from './reading-settings.ts';
import { Store } from './store.ts';

/** The picture behind a reading, and what its camera said of itself then. */
export type Captured = CapturedReading & { readonly cameraSettings: object };

/** A held reading with all that its record needs, as things stand. */
export interface Keeping {
  readonly held: HeldReading;
  readonly area: Area;
  readonly attempt: Attempt | undefined;
  readonly context: Omit<ReadingContext, 'id'>;
  readonly crop: EncodedPicture;
}

export interface AsideState {
  readonly readings: readonly Keeping[];
}

export function keepingOf(state: BenchState, captured: Captured): Keeping | undefined {
  const { held, place, mixes } = state;
  const shot = shotContext(state);
  if (!held || !place || !shot) return undefined;
  const { picture, regions, cameraSettings } = captured;
  const { width, height, frames } = picture;
  return {
    held,
    area: place.area,
    attempt: mixes.at(-1),
    context: {
      ...shot,
      at: new Date(held.at),
      cameraSettings,
      picture: { width, height, frames },
      regions,
    },
    crop: cropPicture(picture, keptCrop(held.result, regions, picture)),
  };
}

/** Writes the record of a reading, with its evidence. */
export async function keep(
  records: Pick<BenchRecords, 'saveReading'>,
  { area, held, context, crop }: Keeping,
): Promise<ReadingRecord> {
  return await records.saveReading(area.id, held.result, context, await picturesOf(crop));
}

export class SetAside extends Store<AsideState> {
  readonly #records: Pick<BenchRecords, 'saveReading'>;

  /** @param captured what is behind the reading that is, or was just now, held */
  constructor(
    bench: Store<BenchState>,
    records: Pick<BenchRecords, 'saveReading'>,
    captured: () => Captured | undefined,
  ) {
    super({ readings: [] });
    this.#records = records;
    let now = bench.state;
    bench.addEventListener('change', () => {
      const was = now;
      now = bench.state;
      const { held } = was;
      if (!held || held.saved || now.held?.result === held.result) return;
      const behind = captured();
      if (behind?.result === held.result) this.add(keepingOf(was, behind));
    });
  }

  add(keeping: Keeping | undefined): void {
    if (keeping) this.set(({ readings }) => ({ readings: [...readings, keeping] }));
  }

  /** Saves them, oldest first. What cannot be saved stays here, and throws. */
  async save(): Promise<void> {
    for (const keeping of this.state.readings) {
      await keep(this.#records, keeping);
      this.letGo([keeping.held.at]);
    }
  }

  /** @param taken when they were taken */
  letGo(taken: readonly string[]): void {
    this.set(({ readings }) => ({
      readings: readings.filter(({ held }) => !taken.includes(held.at)),
    }));
  }
}
