/** Nothing appears or vanishes: masses and volumes through scaling, rounding and subtracting. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { genericPigment } from '../../src/paint/generic-pigments.ts';
import { potMass } from '../../src/paint/pot.ts';
import { predictMix } from '../../src/paint/predict.ts';
import { batchOf, mediumWeighed, weighableBatch } from '../../src/paint/spray/batch.ts';
import { dilutionOf, finishShift, withFinish } from '../../src/paint/spray/binder.ts';
import { nearestJars } from '../../src/paint/spray/leftovers.ts';
import { squareCentimetres } from '../../src/paint/spray/quantities.ts';
import { potAfterDabs, scaleRecipe } from '../../src/paint/spray/scale-recipe.ts';

const palette = ['PW 6', 'PB 29', 'PY 42'].map((name) => ({ ...genericPigment(name)!, id: name }));
const pot = fc
  .tuple(
    fc.double({ min: 1, max: 20, noNaN: true }),
    fc.double({ min: 0.01, max: 2, noNaN: true }),
    fc.double({ min: 0, max: 2, noNaN: true }),
  )
  .map(([white, blue, yellow]) => ({ 'PW 6': white, 'PB 29': blue, 'PY 42': yellow }));
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const inputs = fc.record({
  coats: fc.integer({ min: 1, max: 30 }),
  dryFilmMicrometres: real(1, 200),
  volumeSolidsPercent: real(2, 100),
  densityGramsPerMl: real(0.7, 4),
  transferPercent: real(5, 100),
  deadMl: real(0, 20),
  thinnerParts: real(0, 10),
  mediumPercent: real(0, 10),
});

describe('a batch', () => {
  test('all paint is on the piece, in the air or in the brush; colour and medium make it up', () => {
    fc.assert(
      fc.property(inputs, real(0.1, 5000), (given, cm2) => {
        const batch = batchOf(squareCentimetres(cm2), 0.1, given);
        const where = batch.onPieceMl + batch.lostToAirMl + batch.leftInBrushMl;
        expect(where / batch.paintMl).toBeCloseTo(1, 9);
        expect((batch.colour + batch.medium) / batch.paint).toBeCloseTo(1, 9);
        expect(batch.paint / batch.paintMl).toBeCloseTo(given.densityGramsPerMl, 9);
        // The solids of what lies on the piece are the dry film itself: area × coats × film.
        const film = (cm2 * given.coats * given.dryFilmMicrometres) / 1e4;
        expect((batch.onPieceMl * given.volumeSolidsPercent) / 100 / film).toBeCloseTo(1, 9);
        expect(batch.range[0]).toBeLessThanOrEqual(batch.paint);
        expect(batch.range[1]).toBeGreaterThanOrEqual(batch.paint);
        expect(batch.medium).toBeLessThanOrEqual(batch.colour / 10 + 1e-12);
      }),
    );
  });
});

test('a batch made large enough to weigh its medium keeps every ratio, and all paint is somewhere', () => {
  fc.assert(
    fc.property(inputs, real(0.1, 500), fc.constantFrom(0.001, 0.01, 0.1), (given, cm2, step) => {
      const batch = batchOf(squareCentimetres(cm2), 0.1, given);
      const larger = weighableBatch(batch, step);
      // Up to twenty times the paint.
      if (batch.medium * 4 >= step) expect(mediumWeighed(larger, step)).toBe('well');
      expect(larger.paint).toBeGreaterThanOrEqual(batch.paint);
      for (const part of ['colour', 'medium', 'thinnerMl', 'paintMl'] as const) {
        expect(larger[part] * batch.paint).toBeCloseTo(batch[part] * larger.paint, 6);
      }
      const { onPieceMl, lostToAirMl, leftInBrushMl, spareMl } = larger;
      const where = onPieceMl + lostToAirMl + leftInBrushMl + spareMl;
      expect(where / larger.paintMl).toBeCloseTo(1, 9);
      if (mediumWeighed(batch, step) === 'well') expect(larger).toBe(batch);
    }),
  );
});

describe('a recipe', () => {
  test('dabs take the same share of everything, and never more than there is', () => {
    fc.assert(
      fc.property(pot, fc.integer({ min: 0, max: 400 }), real(0.001, 0.2), (before, dabs, each) => {
        const after = potAfterDabs(before, dabs, each);
        const mass = potMass(before);
        expect(potMass(after)).toBeCloseTo(Math.max(0, mass - dabs * each), 9);
        for (const [id, grams] of Object.entries(before)) {
          expect(after[id]! * mass).toBeCloseTo(grams * potMass(after), 9);
        }
      }),
    );
  });
  test('what was left and what is added make the pot, in whole doses, and it is enough', () => {
    const step = 0.01;
    const round = (_: string, grams: number) => Math.round(grams / step) * step;
    fc.assert(
      fc.property(pot, real(0, 0.9), real(1, 60), (recipe, kept, wanted) => {
        const left = potAfterDabs(recipe, 1, potMass(recipe) * (1 - kept));
        const scaled = scaleRecipe(palette, recipe, left, wanted, round);
        for (const id of Object.keys(scaled.pot)) {
          const added = scaled.additions[id] ?? 0;
          expect(scaled.pot[id]!).toBeCloseTo((left[id] ?? 0) + added, 9);
          expect(added / step).toBeCloseTo(Math.round(added / step), 6);
        }
        const missing = Math.max(0, wanted - potMass(left));
        expect(potMass(scaled.additions)).toBeGreaterThanOrEqual(missing * 0.98 - 1e-9);
        expect(potMass(scaled.additions)).toBeLessThanOrEqual(missing * 1.32 + 3 * step);
        const off = deltaE00(predictMix(palette, recipe), predictMix(palette, scaled.pot));
        expect(scaled.roundingDeltaE00).toBeCloseTo(off, 6);
      }),
      { numRuns: 40 },
    );
  });
  test('without rounding the colour stays', () => {
    fc.assert(
      fc.property(pot, real(1, 60), (recipe, wanted) => {
        const scaled = scaleRecipe(palette, recipe, {}, wanted, (_, grams) => grams);
        expect(potMass(scaled.pot)).toBeCloseTo(wanted, 9);
        expect(scaled.roundingDeltaE00).toBeLessThan(1e-6);
      }),
      { numRuns: 20 },
    );
  });
});

describe('clear medium', () => {
  const mix = { 'PW 6': 5, 'PB 29': 0.2, 'PY 42': 0.1 };
  test('none changes nothing; more shows more of the fill', () => {
    expect(dilutionOf(palette, mix, 0)).toEqual({ thickerToHide: 1, deltaE00OverFill: 0 });
    const shifts = [0.02, 0.05, 0.1].map((share) => dilutionOf(palette, mix, share));
    const off = shifts.map(({ deltaE00OverFill }) => deltaE00OverFill);
    expect(off).toEqual([...off].sort((a, b) => a - b));
    expect(off[0]).toBeGreaterThan(0);
  });
  test('a matt film turned glossy reads darker by the surface light, and back again', () => {
    // Saunderson 1942: a matt surface adds k₁ = 0.04 (n = 1.5) of the light. A black matt film that
    // adds 0.04 reads L* = 116 · 0.04^(1/3) − 16 = 23.67 (CIE 15). No film is darker than that light.
    expect(withFinish(labD65(0, 0, 0), 'gloss', 'matt', 1)[0]).toBeCloseTo(23.67, 2);
    fc.assert(
      fc.property(real(45, 95), real(-20, 20), real(-20, 20), real(0, 1), (L, a, b, way) => {
        const lab = labD65(L, a, b);
        const there = withFinish(lab, 'matt', 'gloss', way);
        expect(there[0]).toBeLessThanOrEqual(L + 1e-9);
        const back = withFinish(there, 'gloss', 'matt', way);
        back.forEach((value, axis) => expect(value).toBeCloseTo(lab[axis]!, 6));
      }),
    );
    const [least, most] = finishShift(labD65(50, 0, 0), 'matt', 'gloss', 0.05);
    expect(least).toBeLessThan(most);
    expect(finishShift(labD65(50, 0, 0), 'gloss', 'gloss', 0.05)).toEqual([0, 0]);
  });
});

test('the nearest jars are those of the smallest ΔE₀₀, and none is lost', () => {
  const labs = fc.array(fc.tuple(real(0, 100), real(-60, 60), real(-60, 60)), { maxLength: 12 });
  fc.assert(
    fc.property(labs, fc.integer({ min: 1, max: 5 }), (all, most) => {
      const jars = all.map((lab, id) => ({ id, lab: labD65(...lab) }));
      const wanted = labD65(50, 0, 0);
      const near = nearestJars(jars, wanted, most);
      expect(near).toHaveLength(Math.min(most, jars.length));
      const furthest = near.at(-1)?.deltaE00 ?? 0;
      const others = jars.filter(({ id }) => !near.some(({ jar }) => jar.id === id));
      for (const { lab } of others) {
        expect(deltaE00(lab, wanted)).toBeGreaterThanOrEqual(furthest - 1e-9);
      }
    }),
  );
});
