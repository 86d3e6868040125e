/** The theory's side of what a pot teaches: its slopes are those of what it foretells. */
import { expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { ASSUMED } from '../../src/paint/assumed.ts';
import { characterise } from '../../src/paint/characterise.ts';
import { addErrors, ownDiscrepancy, sharedDiscrepancy } from '../../src/paint/discrepancy.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { SURFACE } from '../../src/paint/kubelka-munk.ts';
import { PotModel } from '../../src/paint/pot-model.ts';

const palette = genericPalette();
const gramsOf = (pot: Readonly<Record<string, number>>) =>
  Float64Array.from(palette, ({ id }) => pot[id] ?? 0);
const readings = [
  { grams: gramsOf({ white: 5 }), lab: labD65(95, 0, 2) },
  { grams: gramsOf({ white: 5, ultramarine: 0.1 }), lab: labD65(80, -2, -14) },
  // Half was set aside, black was added.
  {
    grams: gramsOf({ white: 2.5, ultramarine: 0.05, black: 0.01 }),
    kept: 0.5,
    lab: labD65(70, -2, -10),
  },
];
const model = new PotModel(
  characterise(palette, SURFACE),
  palette.map(() => ({ logMean: 0.1, logSd: ASSUMED.strength })),
  readings,
  SURFACE,
  ASSUMED,
);

test('an unknown for each open term and the strength of what was in the pot, each dose, and the light', () => {
  const never = palette.findIndex(({ id }) => !['white', 'ultramarine', 'black'].includes(id));
  expect(model.columnOf(never)).toBeUndefined();
  // White at first, then the two additions; setting aside is no dose.
  expect(model.doses).toHaveLength(3);
  expect(model.n).toBe(model.firstDose + 3 + 1);
  const amounts = model.effectiveAt(model.guess(new Float64Array(model.n)), 2);
  const white = palette.findIndex(({ id }) => id === 'white');
  expect(amounts[white]).toBeCloseTo(2.5 * Math.exp(0.1), 12);
});

test('the slopes are the differences of what is foretold, in whatever light', () => {
  const at = Float64Array.from({ length: model.n }, (_, j) => Math.sin(j) / 2);
  at[model.n - 1] = 1;
  const guess = model.guess(at);
  const step = 1e-5;
  readings.forEach((_, attempt) => {
    const rows = new Float64Array(3 * model.n);
    model.slopes(guess, model.effectiveAt(guess, attempt), attempt, rows);
    for (let j = 0; j < model.n; j++) {
      const [more, less] = [step, -step].map((by) => {
        const moved = Float64Array.from(at, (value, k) => value + (k === j ? by : 0));
        return model.foretold(model.guess(moved))[attempt]!;
      });
      for (const axis of [0, 1, 2] as const) {
        const slope = (more![axis] - less![axis]) / (2 * step);
        expect(Math.abs(rows[axis * model.n + j]! - slope)).toBeLessThan(1e-4);
      }
    }
  });
});

test('mixtures share less of the discrepancy the further apart they are, and none all of it', () => {
  const [grey, near, far] = [labD65(60, 0, 0), labD65(60, 5, 0), labD65(60, 0, 40)];
  const shared = [grey, near, far].map((other) => sharedDiscrepancy(grey, other, ASSUMED));
  expect(shared[0]).toBe(ASSUMED.discrepancy ** 2);
  expect(shared[1]).toBeLessThan(shared[0]!);
  expect(shared[2]).toBeLessThan(0.05 * shared[1]!);
  expect(ownDiscrepancy(ASSUMED)).toBeGreaterThan(shared[0]!);
  // Two readings of one colour: their own errors are not shared, and no axis tells of another.
  const covariance = addErrors(new Float64Array(36), [grey, grey], ASSUMED);
  expect(covariance[3]).toBe(shared[0]);
  expect(covariance[0]).toBeCloseTo(ownDiscrepancy(ASSUMED) + ASSUMED.reading ** 2, 12);
  expect(covariance[1]).toBe(0);
});
