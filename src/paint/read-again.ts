/** Whether a dab that seems to match is read surely enough to stop (guard band, JCGM 106:2012, 8.3). */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { ASSUMED } from './assumed.ts';
import type { ReadPot } from './pot-model.ts';
import { spreadOfDeltaE00 } from './metric.ts';
import { writtenAs, type Writing } from './writing.ts';

/** ΔE₀₀ below which a mix is taken for a match. */
const MATCH = 1;
/** So unlikely a dab must be to miss that for another reading to be spared. */
const RISK = 0.05;
/** More readings of one dab than this settle little. */
const MOST_READINGS = 3;

/** What all readings of the present pot say together. */
export interface PotRead {
  readonly count: number;
  /** Their mean, and its ΔE₀₀ from the glaze. */
  readonly lab: LabD65;
  readonly deltaE00: number;
}

/** @param readings oldest first, against the glaze as `glazeLab` has it; the last is of the present pot */
export function potRead(readings: readonly ReadPot[], glazeLab: LabD65): PotRead {
  const { grams } = readings.at(-1)!;
  const own = readings.filter((one) => one.grams.every((value, p) => value === grams[p]));
  const mean = (axis: 0 | 1 | 2) => own.reduce((sum, { lab }) => sum + lab[axis], 0) / own.length;
  const lab = labD65(mean(0), mean(1), mean(2));
  return { count: own.length, lab, deltaE00: deltaE00(glazeLab, lab) };
}

/**
 * Why the dab is to be read once more before the mix is called done, in the person's words; undefined
 * when it does not seem to match, when it surely does, or when it was read often enough.
 */
export function readAgain(
  { count, lab, deltaE00: off }: PotRead,
  glazeLab: LabD65,
  writing?: Writing,
): string | undefined {
  if (count >= MOST_READINGS || off > MATCH) return undefined;
  const variance = ASSUMED.reading ** 2 / count;
  const covariance = Float64Array.of(variance, 0, 0, 0, variance, 0, 0, 0, variance);
  const spread = spreadOfDeltaE00(glazeLab, lab, covariance);
  const missing = spread.filter((value) => value > MATCH).length / spread.length;
  if (missing < RISK) return undefined;
  const { number } = writtenAs(writing);
  const doubt = `may still be more than ${number(MATCH, 0)}`;
  // One reading's own number stands large beside this; against all readings of the glaze it is another.
  const what =
    count === 1
      ? `what was read ${doubt}`
      : `the mean of ${count} readings is ΔE₀₀ ${number(off, 1)}, which ${doubt}`;
  return `${what}: read dab and glaze once more before you call it a match; the mean counts`;
}
