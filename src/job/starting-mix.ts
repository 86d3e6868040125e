/** Which mix of an area the second of the pair starts from, and how near the glaze that one came. */
import { FILM_STATES } from '../paint/drying.ts';
import type { ReadingRecord } from './reading-record.ts';
import type { Attempt } from './records.ts';

export interface StartingMix {
  readonly attempt: Attempt;
  /** What tells how near it came, and which of the area's readings it is, from 1. */
  readonly told?: { readonly reading: ReadingRecord; readonly number: number };
  readonly blends: boolean;
}

/**
 * The last mix that blended, else the one that came nearest, else the newest. A mix is judged by the
 * newest reading of its driest dab: what blended wet and showed dry did not blend. What blended dry
 * goes before what blended wet.
 * @param readings of the area, oldest first
 * @param attempts of the area, oldest first
 * @param acceptable the area's threshold now, ΔE₀₀ > 0
 */
export function startingMix(
  readings: readonly ReadingRecord[],
  attempts: readonly Attempt[],
  acceptable: number,
): StartingMix | undefined {
  const judged = attempts.map((attempt): StartingMix => {
    const own = readings.filter((one) => one.attempt === attempt.id);
    const reading = newestOfDriest(own, (one) => one);
    if (!reading) return { attempt, blends: false };
    const told = { reading, number: readings.indexOf(reading) + 1 };
    return { attempt, told, blends: blendsWithin(reading, acceptable) };
  });
  return (
    newestOfDriest(
      judged.filter(({ blends }) => blends),
      ({ told }) => told!.reading,
    ) ??
    nearest(judged.filter(({ told }) => told)) ??
    judged.at(-1)
  );
}

function newestOfDriest<T>(all: readonly T[], readingOf: (one: T) => ReadingRecord): T | undefined {
  const dryness = (one: T) => FILM_STATES.indexOf(readingOf(one).film);
  const driest = Math.max(...all.map(dryness));
  return all.findLast((one) => dryness(one) === driest);
}

function nearest(read: readonly StartingMix[]): StartingMix | undefined {
  const away = ({ told }: StartingMix) => told!.reading.difference.deltaE00;
  const least = Math.min(...read.map(away));
  return read.findLast((one) => away(one) === least);
}

/** The verdict as it was given; by another threshold, the whole interval must lie below that. */
function blendsWithin({ verdict, thresholds, difference }: ReadingRecord, acceptable: number) {
  return thresholds.acceptable === acceptable
    ? verdict.acceptable === 'blends'
    : difference.interval95[1] <= acceptable;
}
