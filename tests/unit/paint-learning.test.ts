import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labFromXyzD65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import { labD65, xyzD65, type LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import { dosesOf, keptSince, shareKept } from '../../src/paint/doses.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { againstOneGlaze } from '../../src/paint/glaze-readings.ts';
import { predictMix } from '../../src/paint/predict.ts';
import type { PotGrams, Strength } from '../../src/paint/types.ts';
import { randomFrom } from '../evaluate/paint-truth.ts';

const palette = genericPalette();
const glazeLab = labD65(60, 0, -30);

interface Attempt {
  readonly pot: PotGrams;
  readonly dabLab: LabD65;
  readonly glazeLab?: LabD65;
}
/** Pots with these grams of ultramarine, read as if it were `factor` times as strong. */
const attemptsWith = (factor: number, grams: readonly number[]): Attempt[] =>
  grams.map((ultramarine) => ({
    pot: { white: 5, ultramarine },
    dabLab: predictMix(palette, { white: 5, ultramarine: factor * ultramarine }),
  }));
function answerTo(attempts: readonly Attempt[], more: Readonly<Record<string, unknown>> = {}) {
  const { pot, dabLab } = attempts.at(-1)!;
  const history = attempts.slice(0, -1);
  const answer = answerNudge({ palette, pot, dabLab, history, glazeLab, smallest: 0.002, ...more });
  if (!answer.ok) throw new Error(answer.error);
  return answer;
}

describe('strengths as a distribution', () => {
  const three = answerTo(attemptsWith(1.4, [0.02, 0.04, 0.06]));

  it('learns a true strength of 1.4 to within a tenth in three attempts, and says how sure it is', () => {
    expect(three.strengths['ultramarine']).toBeGreaterThan(1.4 * 0.9);
    expect(three.strengths['ultramarine']).toBeLessThan(1.4 * 1.1);
    const { logMean, logSd } = three.learned['ultramarine']!;
    expect(Math.exp(logMean)).toBeCloseTo(three.strengths['ultramarine']!, 9);
    expect(Math.abs(Math.log(1.4) - logMean)).toBeLessThan(2 * logSd);
  });

  it('is surer with every attempt, and never surer than a hand allows', () => {
    const sds = [1, 3, 6].map(
      (count) =>
        answerTo(attemptsWith(1.4, [0.02, 0.04, 0.06, 0.08, 0.1, 0.12].slice(0, count))).learned[
          'ultramarine'
        ]!.logSd,
    );
    expect(sds[1]).toBeLessThan(sds[0]!);
    expect(sds[2]).toBeLessThan(sds[1]!);
    expect(sds[2]).toBeGreaterThan(0.02);
    expect(three.learned['black']).toEqual({ logMean: 0, logSd: three.learned['umber']!.logSd });
  });

  it('is kept: sent along with the next pot, it stands from the start and is learned on', () => {
    const next = answerTo(attemptsWith(1.4, [0.03]), { strengths: three.learned });
    expect(next.strengths['ultramarine']).toBeGreaterThan(three.strengths['ultramarine']!);
    expect(next.strengths['ultramarine']).toBeLessThan(1.5);
    const without = answerTo(attemptsWith(1.4, [0.03]));
    expect(next.strengths['ultramarine']).toBeGreaterThan(without.strengths['ultramarine']!);
  });

  it('is reset by leaving it out', () => {
    const pot = { white: 5, black: 0.01 };
    const fresh = answerTo([{ pot, dabLab: predictMix(palette, pot) }]);
    expect(fresh.learned['ultramarine']!.logMean).toBe(0);
  });

  it('doses by what it learned: a blue known to be twice as strong, half as much', () => {
    const pot = { white: 5 };
    const dabLab = predictMix(palette, pot);
    const glaze = predictMix(palette, { white: 5, ultramarine: 0.06 });
    const few = palette.filter(({ id }) => id === 'white' || id === 'ultramarine');
    const dose = (strengths: Readonly<Record<string, Strength>>) =>
      answerTo([{ pot, dabLab }], { palette: few, glazeLab: glaze, strengths }).suggestions[0]!
        .additions['ultramarine']!;
    const ratio =
      dose({ ultramarine: { logMean: Math.log(2), logSd: 0.05 } }) /
      dose({ ultramarine: { logMean: 0, logSd: 0.05 } });
    expect(ratio).toBeGreaterThan(0.45);
    expect(ratio).toBeLessThan(0.55);
  });

  it('stands before the palette’s own strength', () => {
    const own = palette.map((one) => (one.id === 'black' ? { ...one, strength: 1.3 } : one));
    const pot = { white: 5 };
    const attempt = [{ pot, dabLab: predictMix(palette, pot) }];
    const strengths = { black: { logMean: Math.log(0.8), logSd: 0.1 } };
    expect(answerTo(attempt, { palette: own }).strengths['black']).toBeCloseTo(1.3, 9);
    expect(answerTo(attempt, { palette: own, strengths }).strengths['black']).toBeCloseTo(0.8, 9);
  });
});

describe('attempts that do not go together', () => {
  it('blames no dose where none explains it: white alone is not the colour of the glaze', () => {
    const { warnings } = answerTo([{ pot: { white: 5 }, dabLab: glazeLab }]);
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatch(/no wrong dose explains it/);
    expect(warnings[0]).not.toMatch(/ g is recorded/);
  });

  /** Recorded: 0.04 g more ultramarine. Really: `really` grams. */
  const misrecorded = (really: number) => {
    const recorded = [0.02, 0.06, 0.07];
    const real = [0.02, 0.02 + really, 0.03 + really];
    return recorded.map((ultramarine, index) => ({
      pot: { white: 5, ultramarine },
      dabLab: predictMix(palette, { white: 5, ultramarine: real[index]! }),
    }));
  };

  it.each([
    ['ten times the dose', 0.4],
    ['a dose that was forgotten', 0],
  ])('are warned of, with the pigment: %s', (_, really) => {
    const { warnings, suggestions, learned } = answerTo(misrecorded(really));
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatch(/^“ultramarine”: .* do not go together/);
    expect(warnings[0]).toMatch(/0\.04 g is recorded \(attempt 2\)/);
    for (const { predicted } of suggestions)
      expect(predicted.lab.every(Number.isFinite)).toBe(true);
    for (const { logMean, logSd } of Object.values(learned)) {
      expect(Number.isFinite(logMean) && logSd > 0).toBe(true);
    }
  });

  it('are not warned of while a hand’s error explains them', () => {
    expect(answerTo(misrecorded(0.04)).warnings).toEqual([]);
    expect(answerTo(misrecorded(0.05)).warnings).toEqual([]);
    expect(answerTo(misrecorded(0.032)).warnings).toEqual([]);
  });

  it('are warned of when a dab goes the other way', () => {
    const attempts = attemptsWith(1, [0.02, 0.04, 0.06]);
    // The last dab is red.
    const wrong = [...attempts.slice(0, 2), { ...attempts[2]!, dabLab: labD65(55, 45, 20) }];
    expect(answerTo(wrong).warnings[0]).toMatch(/^“(ultramarine|white)”/);
  });
});

describe('light on the piece that was misjudged', () => {
  // Dab and glaze read in four fifths of the light: X, Y and Z by one factor (CIE 15, from memory).
  const dimmed = (lab: LabD65) => {
    const [X, Y, Z] = xyzD65FromLab(lab);
    return labFromXyzD65(xyzD65(0.8 * X, 0.8 * Y, 0.8 * Z));
  };
  const glaze = predictMix(palette, { white: 5, ultramarine: 0.09 });
  const attempts = attemptsWith(1, [0.02, 0.06]);
  const dim = attempts.map(({ pot, dabLab }) => ({ pot, dabLab: dimmed(dabLab) }));
  const dose = (answer: ReturnType<typeof answerTo>) =>
    answer.suggestions.find(({ additions }) => Object.keys(additions).join() === 'ultramarine')!
      .additions['ultramarine']!;

  it('is no strength of a paint, and contradicts nothing', () => {
    const answer = answerTo(dim, { glazeLab: dimmed(glaze) });
    expect(answer.warnings).toEqual([]);
    expect(Math.abs(answer.learned['ultramarine']!.logMean)).toBeLessThan(Math.log(1.15));
    // The dose is the one that full light would have given.
    const full = dose(answerTo(attempts, { glazeLab: glaze }));
    expect(dose(answer) / full).toBeGreaterThan(0.85);
    expect(dose(answer) / full).toBeLessThan(1.15);
  });

  it('is taken for paint only where the caller says that the light is known', () => {
    const learnedWith = (lightSigma: number) =>
      answerTo(dim, { glazeLab: dimmed(glaze), lightSigma }).learned['ultramarine']!.logMean;
    expect(learnedWith(0)).toBeGreaterThan(2 * Math.abs(learnedWith(0.2)));
    expect(learnedWith(0)).toBeGreaterThan(0.1);
  });

  it('is no number that a request may leave out of reason', () => {
    const answer = answerNudge({
      palette,
      pot: { white: 5 },
      dabLab: glaze,
      glazeLab,
      lightSigma: -1,
    });
    expect(answer).toMatchObject({ ok: false, error: /lightSigma lies outside 0 to 2/ });
  });
});

describe('a pot of which a part was set aside', () => {
  it('is told from masses that contradict each other', () => {
    expect(shareKept([5, 0.1], [5.5, 0.1], 0.001)).toBe(1);
    expect(shareKept([5, 0.1], [2.5, 0.05], 0.001)).toBeCloseTo(0.5, 9);
    // Half set aside, then blue added.
    expect(shareKept([5, 0.1, 0.02], [2.5, 0.3, 0.01], 0.001)).toBeCloseTo(0.5, 9);
    expect(shareKept([5, 0.1], [5, 0.05], 0.001)).toBeUndefined();
    expect(shareKept([5, 0.1], [5, 0], 0.001)).toBeUndefined();
    expect(shareKept([5], [2], 0.001)).toBeCloseTo(0.4, 9);
    // A record rounded to the scale is no change.
    expect(shareKept([5, 0.1], [4.9996, 0.1], 0.001)).toBe(1);
  });

  it('has the doses it had, each by the share that was kept', () => {
    const pots = [
      { grams: Float64Array.of(5, 0.1) },
      { grams: Float64Array.of(2.5, 0.05), kept: 0.5 },
      { grams: Float64Array.of(2.5, 0.08), kept: 1 },
    ];
    const doses = dosesOf(pots, { dose: 0.15, firstDose: 0.1 });
    expect(doses.map(({ pigment, from }) => [pigment, from])).toEqual([
      [0, 0],
      [1, 0],
      [1, 2],
    ]);
    expect(doses[2]!.grams).toBeCloseTo(0.03, 9);
    expect(keptSince(pots)(0, 2)).toBeCloseTo(0.5, 9);
  });

  it('is nudged like any other', () => {
    const half = { white: 2.5, ultramarine: 0.03 };
    const whole = { white: 5, ultramarine: 0.06 };
    const glaze = predictMix(palette, { white: 2.5, ultramarine: 0.05 });
    const dabLab = predictMix(palette, half);
    const { suggestions } = answerTo(
      [
        { pot: whole, dabLab },
        { pot: half, dabLab },
      ],
      {
        glazeLab: glaze,
      },
    );
    expect(suggestions[0]!.additions['ultramarine']).toBeGreaterThan(0.012);
    expect(suggestions[0]!.additions['ultramarine']).toBeLessThan(0.024);
  });
});

describe('one glaze read beside many dabs', () => {
  const truth = { dab: labD65(70, 1, -8), glaze: labD65(68, 2, -10) };
  const { normal } = randomFrom(3);
  const near = ([L, a, b]: LabD65, sigma: number) =>
    labD65(L + sigma * normal(), a + sigma * normal(), b + sigma * normal());
  /** Mean square error of the last dab against its glaze, per axis, over many sets of six shots. */
  const error = (shared: number, own: number, use: boolean) => {
    let sum = 0;
    const sets = 400;
    for (let set = 0; set < sets; set++) {
      const shots = Array.from({ length: 6 }, () => {
        const drift = near(labD65(0, 0, 0), shared);
        const plus = (lab: LabD65) =>
          near(labD65(lab[0] + drift[0], lab[1] + drift[1], lab[2] + drift[2]), own);
        return { dabLab: plus(truth.dab), glazeLab: plus(truth.glaze) };
      });
      const dabs = use ? againstOneGlaze(shots, 0.3) : shots.map(({ dabLab }) => dabLab);
      // The same dab in every shot: its mean is what a solver with a perfect model would believe.
      for (let axis = 0; axis < 3; axis++) {
        const dab = dabs.reduce((total, lab) => total + lab[axis]!, 0) / dabs.length;
        const difference = dab - shots[5]!.glazeLab[axis]!;
        sum += (difference - (truth.dab[axis]! - truth.glaze[axis]!)) ** 2;
      }
    }
    return sum / (3 * sets);
  };

  it('halves the error when every reading errs by itself', () => {
    // Known: var(mean of 6 dabs) + var(last glaze) = σ²/6 + σ² against σ²/6 + σ²/6.
    expect(error(0, 0.25, true)).toBeLessThan(0.6 * error(0, 0.25, false));
  });

  it('takes off what glaze and dab share when the light drifts', () => {
    expect(error(2, 0.25, true)).toBeLessThan(0.1 * error(2, 0.25, false));
  });

  it('changes nothing when the glaze was read once', () => {
    const shots = [
      { dabLab: labD65(50, 0, 0) },
      { dabLab: labD65(51, 0, 0), glazeLab: truth.glaze },
    ];
    expect(againstOneGlaze(shots, 0.3)).toEqual(shots.map(({ dabLab }) => dabLab));
  });

  it('is used by the nudge: a lamp that drifts does not look like a paint that does', () => {
    const pots = [0.02, 0.04, 0.06].map((ultramarine) => ({ white: 5, ultramarine }));
    const glaze = predictMix(palette, { white: 5, ultramarine: 0.09 });
    const drifts = [-3, 0, 3];
    const lighter = ([L, a, b]: LabD65, by: number) => labD65(L + by, a, b);
    const attempts = pots.map((pot, index) => ({
      pot,
      dabLab: lighter(predictMix(palette, pot), drifts[index]!),
      glazeLab: lighter(glaze, drifts[index]!),
    }));
    const steady = pots.map((pot) => ({ pot, dabLab: predictMix(palette, pot), glazeLab: glaze }));
    const given = answerTo(attempts, { glazeLab: attempts[2]!.glazeLab }).suggestions[0]!;
    const wanted = answerTo(steady, { glazeLab: glaze }).suggestions[0]!;
    expect(
      Math.abs(given.additions['ultramarine']! / wanted.additions['ultramarine']! - 1),
    ).toBeLessThan(0.3);
    expect(deltaE00(given.predicted.lab, attempts[2]!.glazeLab)).toBeCloseTo(
      given.predicted.deltaE00,
      9,
    );
  });
});
