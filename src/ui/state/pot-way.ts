/** The way of a pot: its readings, where each dab lay, and whether the last one blends. */
import { labD65, type LabD65 } from '../../colour/spaces.ts';
import type { Matrix3 } from '../../reading/types.ts';
import type { AttemptOnPath } from '../elements/colour-path/picture.ts';
import { potMixes, type BenchState } from './bench-state.ts';

/** A reading of this pot with what the picture of its way needs. */
export interface ReadDab {
  readonly number: number;
  readonly glazeLab: LabD65;
  readonly dabLab: LabD65;
  readonly difference: readonly [number, number, number];
  readonly covariance: Matrix3;
}

/** The readings of this pot, oldest first, with the held one that is not saved yet. */
export function readDabs(now: BenchState): readonly ReadDab[] {
  const ids = new Set(potMixes(now).map(({ id }) => id));
  const saved = now.readings.flatMap(({ record, attempt }, index): readonly ReadDab[] =>
    attempt && ids.has(attempt.id)
      ? [
          {
            number: index + 1,
            glazeLab: record.glazeLab,
            dabLab: record.dabLab,
            difference: record.difference.lab,
            covariance: record.difference.covariance,
          },
        ]
      : [],
  );
  if (!now.held || now.held.saved) return saved;
  const { glazeLab, dabLab, difference } = now.held.result;
  const held = { number: now.readings.length + 1, glazeLab, dabLab };
  return [...saved, { ...held, difference: difference.lab, covariance: difference.covariance }];
}

/**
 * Each dab where it lay against its own reading of the glaze: the difference is read far better than
 * either colour alone.
 */
export function pathOf(read: readonly ReadDab[], glaze: LabD65): readonly AttemptOnPath[] {
  return read.map(({ number, difference: [L, a, b] }) => ({
    number,
    lab: labD65(glaze[0] + L, glaze[1] + a, glaze[2] + b),
  }));
}

/** The last dab of this mix blends: it may be sprayed. */
export function mixBlends(now: BenchState): boolean {
  const mix = potMixes(now).at(-1);
  const last = now.readings.findLast(({ attempt }) => attempt?.id === mix?.id);
  return mix !== undefined && last?.record.verdict.acceptable === 'blends';
}
