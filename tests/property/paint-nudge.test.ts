import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { nudge } from '../../src/paint/nudge.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { predictMix } from '../../src/paint/predict.ts';
import { checkNudgeRequest } from '../../src/paint/request.ts';

// Anything that passes the check is answered: finite, in bounds, and with a reason when empty — also
// when palette, pot and dab cannot belong together.
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const lab = (low = 0, high = 100) =>
  fc.tuple(between(low, high), between(-90, 90), between(-90, 90));
const grams = between(-6, 4).map((exponent) => Math.exp(exponent));
const ids = ['white', 'a', 'b', 'c', 'd', 'e'];

const pigment = (id: string) =>
  fc
    .record({ masstone: lab(0, 80), up: between(0, 1), tinted: fc.boolean(), c: grams })
    .map((p) => ({
      id,
      masstone: p.masstone,
      ...(p.tinted && {
        tint: {
          lab: [p.masstone[0] + p.up * (85 - p.masstone[0]), p.masstone[1] / 2, p.masstone[2] / 2],
          pigment: p.c,
          white: 1,
        },
      }),
    }));
const request = fc
  .record({
    white: fc.tuple(between(85, 100), between(-3, 3), between(-3, 3)),
    others: fc.tuple(...ids.slice(1).map(pigment)),
    doses: fc.array(fc.dictionary(fc.constantFrom(...ids), grams), { minLength: 1, maxLength: 6 }),
    dabs: fc.array(lab(), { minLength: 7, maxLength: 7 }),
    glaze: lab(),
    smallest: between(-8, -1).map(Math.exp),
    largestGrowth: between(0.05, 2),
  })
  .map(({ white, others, doses, dabs, glaze, smallest, largestGrowth }) => {
    const pots: Record<string, number>[] = [{ white: 1 }];
    for (const dose of doses) {
      const pot = { ...pots.at(-1) };
      for (const [id, g] of Object.entries(dose)) pot[id] = (pot[id] ?? 0) + g;
      if (Object.keys(dose).length > 0) pots.push(pot);
    }
    const history = pots.map((pot, index) => ({ pot, dabLab: dabs[index] }));
    const present = history.pop();
    return {
      palette: [{ id: 'white', isWhite: true, masstone: white }, ...others],
      pot: present!.pot,
      dabLab: present!.dabLab,
      glazeLab: glaze,
      history,
      smallest,
      largestGrowth,
    };
  });

describe('a nudge for anything that passes the check', () => {
  it('is finite, adds within bounds, and says why when it has nothing', () => {
    fc.assert(
      fc.property(request, (given) => {
        const checked = checkNudgeRequest(given);
        if (!checked.ok) throw new Error(checked.error);
        const { pot, glazeLab, smallest, largestGrowth } = checked.request;
        const answer = nudge(checked.request);
        if (!answer.ok) throw new Error(answer.error);
        const potGrams = Object.values(pot).reduce((sum, value) => sum + value, 0);
        for (const { additions, predicted, growth } of answer.suggestions) {
          const added = Object.values(additions);
          expect(added.length).toBeGreaterThan(0);
          for (const value of added) expect(value).toBeGreaterThanOrEqual(smallest * (1 - 1e-9));
          expect(growth).toBeLessThanOrEqual(largestGrowth * (1 + 1e-6));
          const grown = added.reduce((sum, value) => sum + value, 0) / potGrams;
          expect(Math.abs(growth / grown - 1)).toBeLessThan(1e-9);
          expect(predicted.deltaE00).toBeCloseTo(deltaE00(glazeLab, predicted.lab), 9);
          const [low, high] = predicted.interval95;
          expect(low).toBeLessThanOrEqual(predicted.deltaE00);
          expect(predicted.deltaE00).toBeLessThanOrEqual(high);
          expect(Number.isFinite(high)).toBe(true);
        }
        if (answer.suggestions.length === 0) expect(answer.reason).toMatch(/\w/);
        for (const strength of Object.values(answer.strengths)) expect(strength).toBeGreaterThan(0);
      }),
      { numRuns: 60 },
    );
  });
});

describe('a glaze that an addition reaches', () => {
  const palette = genericPalette();
  const names = palette.map(({ id }) => id);
  const few = fc.dictionary(
    fc.constantFrom(...names),
    between(-5, 0).map((exponent) => Math.exp(exponent)),
    { maxKeys: 3 },
  );

  it('is never left with nothing to do while the dab shows', () => {
    fc.assert(
      fc.property(few, few, (hints, added) => {
        const pot: Record<string, number> = { white: 2, ...hints };
        const addedGrams = Object.values(added).reduce((sum, grams) => sum + grams, 0);
        const potGrams = Object.values(pot).reduce((sum, grams) => sum + grams, 0);
        fc.pre(addedGrams < 0.7 * potGrams);
        const after = Object.fromEntries(
          names.map((id) => [id, (pot[id] ?? 0) + (added[id] ?? 0)]),
        );
        const glazeLab = predictMix(palette, after);
        const dabLab = predictMix(palette, pot);
        const shows = deltaE00(glazeLab, dabLab);
        // Acceptable to half of all observers: Paravina et al. 2015. Below, growth may outweigh it.
        fc.pre(shows > 1.8);
        const answer = nudge({
          palette,
          pot,
          dabLab,
          glazeLab,
          history: [],
          smallest: 0.002,
          largestGrowth: 0.8,
        });
        if (!answer.ok) throw new Error(answer.error);
        expect(answer.suggestions[0]!.predicted.deltaE00).toBeLessThan(0.5 * shows);
      }),
      { numRuns: 60 },
    );
  });
});
