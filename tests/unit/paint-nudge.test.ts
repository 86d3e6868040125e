import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { metricAt, spreadOfDeltaE00 } from '../../src/paint/metric.ts';
import { preDilution } from '../../src/paint/pre-dilution.ts';
import { nudge } from '../../src/paint/nudge.ts';
import { predictMix } from '../../src/paint/predict.ts';
import type { NudgeRequest, PotGrams } from '../../src/paint/types.ts';
import { randomFrom } from '../evaluate/paint-truth.ts';

const palette = genericPalette();

function answerTo(request: Partial<NudgeRequest> & Pick<NudgeRequest, 'pot' | 'glazeLab'>) {
  const answer = nudge({
    palette,
    dabLab: predictMix(request.palette ?? palette, request.pot),
    history: [],
    smallest: 0.002,
    largestGrowth: 0.8,
    ...request,
  });
  if (!answer.ok) throw new Error(answer.error);
  return answer;
}

describe('a nudge', () => {
  const pot = { white: 5, ultramarine: 0.02 };
  const glazeLab = predictMix(palette, { white: 5, ultramarine: 0.05, 'yellow oxide': 0.06 });
  const answer = answerTo({ pot, glazeLab });

  it('finds the additions that make the glaze', () => {
    // The glaze is the pot with 0.03 g of ultramarine and 0.06 g of yellow oxide more.
    const best = answer.suggestions[0]!;
    expect(best.predicted.deltaE00).toBeLessThan(0.6);
    const after: Record<string, number> = { ...pot };
    for (const [id, grams] of Object.entries(best.additions)) after[id] = (after[id] ?? 0) + grams;
    expect(deltaE00(predictMix(palette, after), glazeLab)).toBeLessThan(0.6);
  });

  it('offers a single addition beside the best recipe, best first', () => {
    const sizes = answer.suggestions.map(({ additions }) => Object.keys(additions).length);
    expect(sizes).toContain(1);
    expect(Math.max(...sizes)).toBeLessThanOrEqual(4);
    const single = answer.suggestions[sizes.indexOf(1)]!;
    expect(single.predicted.deltaE00).toBeGreaterThan(answer.suggestions[0]!.predicted.deltaE00);
  });

  it('adds only, no less than the smallest dose, and tells the growth', () => {
    for (const { additions, growth } of answer.suggestions) {
      const grams = Object.values(additions);
      expect(Math.min(...grams)).toBeGreaterThanOrEqual(0.002);
      const added = grams.reduce((sum, value) => sum + value, 0);
      expect(growth).toBeCloseTo(added / 5.02, 6);
      expect(growth).toBeLessThanOrEqual(0.8);
    }
  });

  it('promises an interval that holds its own prediction', () => {
    for (const { predicted } of answer.suggestions) {
      const [low, high] = predicted.interval95;
      expect(low).toBeLessThanOrEqual(predicted.deltaE00);
      expect(high).toBeGreaterThanOrEqual(predicted.deltaE00);
      expect(deltaE00(glazeLab, predicted.lab)).toBeCloseTo(predicted.deltaE00, 9);
    }
  });

  it('applies the predicted change to the measured dab', () => {
    // A dab that reads 3 L* lighter than its pot should: what is suggested starts from the dab.
    const predicted = predictMix(palette, pot);
    const dabLab = labD65(predicted[0] + 1.5, predicted[1], predicted[2] + 1);
    const same = answerTo({ pot, dabLab, glazeLab: dabLab });
    expect(same.suggestions).toEqual([]);
    expect(same.reason).toMatch(/already blends/);
  });

  it('is pure: the same request has the same answer', () => {
    expect(answerTo({ pot, glazeLab })).toEqual(answer);
  });

  it('does not care in which order the palette lies', () => {
    const turned = answerTo({ pot, glazeLab, palette: [...palette].reverse() });
    expect(turned.suggestions[0]!.additions).toEqual(answer.suggestions[0]!.additions);
  });

  it('does not count the present dab twice when the history ends with it', () => {
    const dabLab = predictMix(palette, pot);
    expect(answerTo({ pot, glazeLab, dabLab, history: [{ pot, dabLab }] })).toEqual(answer);
  });
});

describe('when adding does not get there', () => {
  it('has nothing to suggest when the dab blends', () => {
    const pot = { white: 5, ultramarine: 0.05 };
    const answer = answerTo({ pot, glazeLab: predictMix(palette, pot) });
    expect(answer.suggestions).toEqual([]);
    expect(answer.reason).toMatch(/already blends as far as dosing allows/);
  });

  it('says to start again when there is far too much of a strong pigment, and names it', () => {
    const answer = answerTo({ pot: { white: 2, black: 2 }, glazeLab: labD65(88, 0, 2) });
    expect(answer.suggestions).toEqual([]);
    expect(answer.reason).toMatch(/start again: too much black/);
  });

  it('says what is missing when the glaze lies outside the palette', () => {
    const answer = answerTo({
      pot: { white: 5, 'yellow oxide': 1 },
      glazeLab: labD65(70, 10, 90),
    });
    expect(answer.reason).toMatch(/outside what this palette mixes: nearest ΔE₀₀ \d/);
    expect(answer.reason).toMatch(/yellow is missing/);
    const violet = answerTo({ pot: { white: 5 }, glazeLab: labD65(50, 60, -60) });
    expect(violet.reason).toMatch(/violet is missing/);
  });

  it('names growth when one nudge cannot get there but more can', () => {
    const pot = { white: 5, black: 0.02 };
    const lighter = predictMix(palette, { white: 15, black: 0.02 });
    const answer = answerTo({ pot, glazeLab: lighter });
    expect(answer.suggestions[0]!.growth).toBeGreaterThan(0.7);
    expect(answer.suggestions[0]!.growth).toBeLessThanOrEqual(0.8);
    expect(answer.reason).toMatch(/would have to grow by \d+ %/);
  });
});

describe('notes', () => {
  it('warns of cobalt and says it is not for spraying', () => {
    const pot = { white: 5 };
    const glazeLab = predictMix(palette, { white: 5, 'cobalt blue': 0.3 });
    const notes = answerTo({ pot, glazeLab }).suggestions[0]!.notes.join('\n');
    expect(notes).toMatch(/cobalt blue \(PB 28\) contains cobalt: not for spraying/);
  });

  it('says of a pigment without a tint that what it does is a guess', () => {
    const pot = { white: 5 };
    const glazeLab = predictMix(palette, { white: 5, ultramarine: 0.3 });
    const untinted = palette.map(({ tint, ...one }) =>
      one.id === 'ultramarine' || tint === undefined ? one : { ...one, tint },
    );
    const notes = (of: typeof untinted) =>
      answerTo({ pot, glazeLab, palette: of }).suggestions.flatMap((one) => one.notes);
    expect(notes(untinted).join('\n')).toMatch(/ultramarine: known by its masstone alone/);
    expect(notes(palette).join('\n')).not.toMatch(/masstone alone/);
  });

  it('proposes to pre-dilute what is hard to dose', () => {
    const pot = { white: 5 };
    const glazeLab = predictMix(palette, { white: 5, black: 0.01 });
    const notes = answerTo({ pot, glazeLab, smallest: 0.005 }).suggestions[0]!.notes.join('\n');
    expect(notes).toMatch(/black: hard to dose by hand; stir 1 part into \d+ parts of white/);
  });

  it('pre-dilutes between 1:10 and 1:50, more for less', () => {
    expect(preDilution(0.006, 0.002)).toBe(10);
    expect(preDilution(0.001, 0.002)).toBe(20);
    expect(preDilution(0.00001, 0.002)).toBe(50);
  });

  it('warns of overshoot where a heavy hand shows', () => {
    const pot = { white: 5 };
    const glazeLab = predictMix(palette, { white: 5, black: 0.2 });
    const notes = answerTo({ pot, glazeLab }).suggestions[0]!.notes.join('\n');
    expect(notes).toMatch(/black: overshoot risk/);
  });

  it('spares paint when the pot would grow a lot', () => {
    const pot = { white: 5, black: 0.02 };
    const glazeLab = predictMix(palette, { white: 8, black: 0.02 });
    const notes = answerTo({ pot, glazeLab }).suggestions[0]!.notes.join('\n');
    expect(notes).toMatch(/set half of it aside first/);
  });
});

describe('learning', () => {
  /** Attempts with pots whose ultramarine is really `factor` as strong as its characterisation says. */
  const attempts = (factor: number, grams: readonly number[]) => {
    const read = (ultramarine: number) => ({
      pot: { white: 5, ultramarine },
      dabLab: predictMix(palette, { white: 5, ultramarine: factor * ultramarine }),
    });
    const last = Math.max(...grams);
    return { ...read(last), history: grams.filter((one) => one < last).map(read) };
  };
  const doses = [0.02, 0.04, 0.06, 0.08, 0.1, 0.12];
  const learned = (factor: number, count: number) =>
    answerTo({ ...attempts(factor, doses.slice(0, count)), glazeLab: labD65(60, 0, -30) });

  it('moves the strength towards the truth, further with every attempt', () => {
    const strengths = [1, 3, 6].map((count) => learned(1.4, count).strengths['ultramarine']!);
    expect(strengths[0]).toBeGreaterThan(1);
    expect(strengths[1]).toBeGreaterThan(strengths[0]!);
    expect(strengths[2]).toBeGreaterThan(strengths[1]!);
    expect(strengths[2]).toBeLessThan(1.5);
    expect(learned(0.7, 6).strengths['ultramarine']).toBeLessThan(0.95);
  });

  it('leaves alone what was never in the pot, and starts from what was learned before', () => {
    expect(learned(1.4, 6).strengths['black']).toBe(1);
    const stronger = palette.map((pigment) =>
      pigment.id === 'black' ? { ...pigment, strength: 1.3 } : pigment,
    );
    const answer = answerTo({ palette: stronger, pot: { white: 5 }, glazeLab: labD65(80, 0, 0) });
    expect(answer.strengths['black']).toBe(1.3);
  });

  it('doses a pigment that has proved strong more carefully', () => {
    // Both pots lack 0.04 g of blue; in the second the blue is half as strong again as characterised.
    const dose = (factor: number) =>
      answerTo({
        ...attempts(factor, doses.slice(0, 4)),
        glazeLab: predictMix(palette, { white: 5, ultramarine: factor * 0.12 }),
        palette: palette.filter(({ id }) => id === 'white' || id === 'ultramarine'),
      }).suggestions[0]!.additions['ultramarine']!;
    // A solver that learned nothing would ask for 0.06 g or more in the second.
    expect(Math.abs(dose(1) - 0.04)).toBeLessThan(0.006);
    expect(dose(1.5)).toBeLessThan(0.052);
  });
});

describe('a first mix', () => {
  const whole = (pot: PotGrams) => Object.values(pot).reduce((sum, grams) => sum + grams, 0);

  it.each([
    ['a pale blue', { white: 50, ultramarine: 0.5, black: 0.02 }],
    ['a deep blue', { 'cobalt blue': 5, ultramarine: 3, white: 1 }],
    ['an iron red', { 'red oxide': 8, umber: 1 }],
    ['a celadon', { white: 20, viridian: 2, 'yellow oxide': 1 }],
  ])('finds %s that the palette can mix', (_, recipe) => {
    const glaze = predictMix(palette, recipe);
    const mixed = answerNudge({ palette, pot: {}, glazeLab: glaze, amount: 5, smallest: 0.002 });
    if (!mixed.ok) throw new Error(mixed.error);
    const { additions, predicted } = mixed.suggestions[0]!;
    expect(deltaE00(predicted.lab, glaze)).toBeLessThan(1);
    expect(whole(additions)).toBeCloseTo(5, 1);
    expect(Math.min(...Object.values(additions))).toBeGreaterThanOrEqual(0.00199);
    expect(deltaE00(predictMix(palette, additions), predicted.lab)).toBeLessThan(0.3);
  });

  it('says what is wrong', () => {
    const errorOf = (more: Readonly<Record<string, unknown>>) => {
      const answer = answerNudge({ palette, pot: {}, glazeLab: [80, 0, 0], ...more });
      return answer.ok ? '' : answer.error;
    };
    expect(errorOf({ palette: [] })).toMatch(/no pigment/);
    expect(errorOf({ amount: 0.001, smallest: 0.002 })).toMatch(/too little/);
    expect(errorOf({ smallest: NaN })).toMatch(/smallest/);
    expect(errorOf({ glazeLab: [NaN, 0, 0] })).toMatch(/glazeLab/);
  });
});

describe('the metric of small differences', () => {
  const centres = [labD65(88, -1, 2), labD65(35, 5, -40), labD65(40, 30, 25), labD65(60, 0, 0)];

  it('reproduces ΔE00 near the glaze', () => {
    for (const centre of centres) {
      const M = metricAt(centre);
      for (const d of [
        [0.3, 0, 0],
        [0, 0.4, -0.3],
        [-0.3, 0.2, 0.4],
      ]) {
        const near: LabD65 = labD65(centre[0] + d[0]!, centre[1] + d[1]!, centre[2] + d[2]!);
        let square = 0;
        for (let i = 0; i < 3; i++) {
          for (let j = 0; j < 3; j++) square += d[i]! * M[3 * i + j]! * d[j]!;
        }
        expect(Math.sqrt(square)).toBeCloseTo(deltaE00(centre, near), 1);
      }
    }
  });

  it('spreads ΔE00 as chance does', () => {
    const { normal } = randomFrom(11);
    const mean = labD65(71, 2, -6);
    const target = labD65(70, 2, -5);
    const covariance = Float64Array.of(0.5, 0.1, 0, 0.1, 0.3, -0.1, 0, -0.1, 0.8);
    // Cholesky factor of that covariance, by hand: rows (√½), (0.1/√½, √0.28), (0, −0.1/√0.28, …).
    const a = Math.sqrt(0.5);
    const b = Math.sqrt(0.28);
    const drawn = Array.from({ length: 20_000 }, () => {
      const [x, y, z] = [normal(), normal(), normal()];
      return deltaE00(
        target,
        labD65(
          mean[0] + a * x,
          mean[1] + (0.1 / a) * x + b * y,
          mean[2] - (0.1 / b) * y + Math.sqrt(0.8 - 0.01 / 0.28) * z,
        ),
      );
    }).sort((p, q) => p - q);
    const spread = spreadOfDeltaE00(target, mean, covariance);
    for (const p of [0.1, 0.5, 0.9]) {
      const expected = drawn[Math.floor(p * drawn.length)]!;
      expect(Math.abs(spread[Math.round(p * (spread.length - 1))]! - expected)).toBeLessThan(0.12);
    }
  });
});
