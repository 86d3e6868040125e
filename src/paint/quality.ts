/** How well a pigment is known from its readings, and what would make it known better. */
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { ASSUMED } from './assumed.ts';
import { learn } from './belief.ts';
import { characterise } from './characterise.ts';
import { SURFACE } from './kubelka-munk.ts';
import { expectedSquare, metricAt } from './metric.ts';
import { strengthsOf } from './strengths.ts';
import type { PalettePigment } from './types.ts';

export interface Characterisation {
  readonly id: string;
  /** Expected error of a predicted mix of one part in thirty of white, ΔE₀₀ (root mean square). */
  readonly deltaE00: number;
  readonly grade: 'good' | 'fair' | 'poor';
  /** What would help most; absent when it is good. */
  readonly remedy?: string;
}

const GOOD = 1.5;
const FAIR = 4;
/** Parts of white in the mix that is judged: between a tint and a hint. */
const PARTS = 30;

/** One characterisation a pigment, in the order of the palette. */
export function characterisationsOf(palette: readonly PalettePigment[]): Characterisation[] {
  const pigments = characterise(palette, SURFACE);
  const white = palette.findIndex(({ isWhite }) => isWhite);
  // A reading that says nothing, so that only what the palette tells is judged.
  const unread = {
    ...ASSUMED,
    reading: 1e3,
    firstDose: 1e-3,
    dose: 1e-3,
    discrepancy: 1e-3,
    light: 0,
  };
  return palette.map((pigment, p) => {
    const grams = new Float64Array(palette.length);
    grams[p] = 1;
    if (white >= 0 && white !== p) grams[white] = PARTS;
    const nowhere: LabD65 = labD65(50, 0, 0);
    const belief = learn(
      pigments,
      strengthsOf(palette),
      [{ grams, lab: nowhere }],
      SURFACE,
      unread,
    );
    const { lab, covariance } = belief.predict(new Float64Array(palette.length));
    const deltaE00 = Math.sqrt(expectedSquare(metricAt(lab), covariance));
    const grade = deltaE00 < GOOD ? 'good' : deltaE00 < FAIR ? 'fair' : 'poor';
    const remedy =
      grade === 'good'
        ? undefined
        : pigment.tint
          ? `a second tint, about 1 part in ${PARTS} of white`
          : pigment.isWhite
            ? 'read the white again, at full hiding'
            : 'a tint in white at a known ratio, about 1 to 9';
    return { id: pigment.id, deltaE00, grade, ...(remedy === undefined ? {} : { remedy }) };
  });
}
