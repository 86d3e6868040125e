/** Readings of one dab under more than one lamp, and what they say to the next nudge. */
import type { OtherLamp } from '../paint/types.ts';
import { acrossLamps, type AcrossLamps } from '../reading/across-lamps.ts';
import type { Lamp } from './lamps.ts';
import type { ReadingRecord } from './reading-record.ts';

export interface LampPair {
  readonly first: ReadingRecord;
  readonly second: ReadingRecord;
  readonly across: AcrossLamps;
}

/**
 * The newest reading of each dab under each lamp, held against the one under the lamp in use, or under
 * the lamp that was read first. Wet is not held against dry. Newest dab first; readings oldest first.
 */
export function lampPairs(readings: readonly ReadingRecord[], inUse?: string): LampPair[] {
  const dabs = new Map<string, Map<string, ReadingRecord>>();
  for (const reading of readings) {
    if (!reading.attempt || reading.lamp === '' || reading.pointed.dabOn !== 'piece') continue;
    const key = `${reading.attempt} ${reading.film}`;
    const lamps = dabs.get(key) ?? new Map<string, ReadingRecord>();
    dabs.delete(key);
    dabs.set(key, lamps.set(reading.lamp, reading));
  }
  return [...dabs.values()].reverse().flatMap((lamps) => {
    const all = [...lamps.values()];
    const first = (inUse === undefined ? undefined : lamps.get(inUse)) ?? all[0]!;
    return all
      .filter((second) => second !== first)
      .map((second) => ({ first, second, across: acrossLamps(first, second) }));
  });
}

/**
 * The dab of a mix as it read under other lamps than the one in use, for lamps of which the kind is
 * known: what the paint worker needs to prefer additions that hold there too.
 */
export function otherLamps(
  readings: readonly ReadingRecord[],
  attempt: string | undefined,
  inUse: string,
  facts: readonly Lamp[],
): OtherLamp[] {
  const own = readings.filter((one) => one.attempt === attempt && attempt !== undefined);
  const film = own.at(-1)?.film;
  return facts.flatMap(({ name, kind, kelvin, estimate }) => {
    const read = own.findLast((one) => one.lamp === name && one.film === film);
    if (!read || name === inUse) return [];
    const known = kelvin ?? (estimate?.basis === 'profile' ? estimate.kelvin : undefined);
    const { glazeLab, dabLab } = read;
    return { name, kind, ...(known !== undefined && { kelvin: known }), glazeLab, dabLab };
  });
}
