import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { inLight } from '../../src/paint/light.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { inHand, leastDose } from '../../src/paint/hand.ts';
import { hazardOf } from '../../src/paint/hazards.ts';
import { predictMix } from '../../src/paint/predict.ts';
import type { PotGrams, PreDilution } from '../../src/paint/types.ts';
import { writtenAs } from '../../src/paint/writing.ts';

const palette = genericPalette();
const porcelain = predictMix(palette, {
  white: 100,
  ultramarine: 0.5,
  'yellow oxide': 0.4,
  black: 0.05,
});

function ask(request: Readonly<Record<string, unknown>>) {
  const answer = answerNudge({ palette, smallest: 0.01, glazeLab: porcelain, ...request });
  if (!answer.ok) throw new Error(answer.error);
  return answer;
}
const massOf = (pot: PotGrams) => Object.values(pot).reduce((sum, grams) => sum + grams, 0);
const isWhole = (count: number) => Math.abs(count - Math.round(count)) < 1e-6;

describe('what a hand gives', () => {
  const hand = { smallest: 0.015, doses: { blue: 0.03 }, scaleStep: 0.01 };

  it('is whole drops of what is counted, at least one', () => {
    expect(inHand('blue', 0.001, hand)).toBe(0.03);
    expect(inHand('blue', 0.07, hand)).toBe(0.06);
    expect(leastDose('blue', hand)).toBe(0.03);
  });
  it('is whole steps of the scale else, and where there is too much to count', () => {
    expect(inHand('white', 0.127, hand)).toBe(0.13);
    expect(inHand('white', 0.001, hand)).toBe(0.02);
    expect(inHand('blue', 3.004, hand)).toBe(3);
  });
  it('is a tenth of the smallest dose where no step is known, rather less than more', () => {
    expect(inHand('blue', 0.0239, { smallest: 0.02 })).toBe(0.022);
    expect(inHand('blue', 0.001, { smallest: 0.02 })).toBe(0.02);
  });
});

/** Grams that are dosed by themselves, and the dilutions. */
function dosesOf(pot: PotGrams, preDiluted: readonly PreDilution[] = []) {
  const own: Record<string, number> = { ...pot };
  for (const { pigment, parts, grams } of preDiluted) {
    own[pigment] = own[pigment]! - grams / (parts + 1);
    own['white'] = own['white']! - (grams * parts) / (parts + 1);
  }
  return Object.entries(own).filter(([, grams]) => Math.abs(grams) > 1e-5);
}

describe('a first mix', () => {
  it('is in doses of the hand, and predicted for those', () => {
    for (const amount of [2, 5, 20]) {
      const { suggestions } = ask({ pot: {}, amount, scaleStep: 0.01, smallest: 0.01 });
      for (const { additions, preDiluted, predicted } of suggestions) {
        expect(preDiluted).toBeUndefined();
        for (const grams of Object.values(additions)) {
          expect(grams).toBeGreaterThanOrEqual(0.01);
          expect(isWhole(grams / 0.01)).toBe(true);
        }
        // The prediction knows as much as the palette does: what these very grams come to.
        expect(deltaE00(predicted.lab, predictMix(palette, additions))).toBeLessThan(0.3);
      }
    }
  });

  it('is counted in drops where the hand counts', () => {
    const doses = Object.fromEntries(palette.map(({ id }) => [id, 0.03]));
    const { suggestions } = ask({ pot: {}, amount: 5, doses, scaleStep: 0.01, smallest: 0.015 });
    for (const [id, grams] of Object.entries(suggestions[0]!.additions)) {
      expect(isWhole(grams / (id === 'white' ? 0.01 : 0.03))).toBe(true);
    }
  });

  it('is a larger batch where its strong pigment could not be dosed else, and says so', () => {
    const few = palette.filter(({ id }) => ['white', 'ultramarine'].includes(id));
    const hint = predictMix(palette, { white: 5, ultramarine: 0.008 });
    const { suggestions } = ask({ palette: few, glazeLab: hint, pot: {}, amount: 3.5 });
    const { additions, notes, predicted } = suggestions[0]!;
    expect(additions['ultramarine']).toBeGreaterThanOrEqual(0.01);
    expect(predicted.deltaE00).toBeLessThan(0.3);
    expect(massOf(additions)).toBeGreaterThan(5);
    expect(massOf(additions)).toBeLessThan(7.1);
    expect(notes.join()).toMatch(/makes 6(\.\d)? g in place of 3\.5 g/);
  });

  it('is pre-diluted, several pigments at once, where the caller can show that', () => {
    const request = { pot: {}, amount: 1 };
    const [plain] = ask(request).suggestions;
    const [best] = ask({ ...request, mayPreDilute: true }).suggestions;
    expect(best!.predicted.deltaE00).toBeLessThan(plain!.predicted.deltaE00 - 0.3);
    expect(best!.preDiluted!.length).toBeGreaterThan(1);
    for (const { parts, grams } of best!.preDiluted!) {
      expect(parts).toBeGreaterThanOrEqual(10);
      expect(parts).toBeLessThanOrEqual(50);
      expect(grams).toBeGreaterThanOrEqual(0.01);
    }
    for (const [, grams] of dosesOf(best!.additions, best!.preDiluted)) {
      expect(grams).toBeGreaterThanOrEqual(0.01 - 1e-5);
    }
    expect(deltaE00(best!.predicted.lab, predictMix(palette, best!.additions))).toBeLessThan(0.3);
  });

  it('that doses make impossible is not blamed on the palette', () => {
    const { reason } = ask({ pot: {}, amount: 0.5 });
    expect(reason).toMatch(/doses of 0\.01 g are too coarse for 0\.5 g/);
    expect(reason).not.toMatch(/outside/);
  });
});

describe('starting again', () => {
  const pot = { white: 3, black: 1.5, ultramarine: 0.02 };
  const again = (more: Readonly<Record<string, unknown>>) =>
    ask({ pot, dabLab: predictMix(palette, pot), ...more }).startAgain!;

  it('is a recipe in doses, predicted for those', () => {
    const fresh = again({ scaleStep: 0.01 });
    for (const grams of Object.values(fresh.pot)) {
      expect(grams).toBeGreaterThanOrEqual(0.01);
      expect(isWhole(grams / 0.01)).toBe(true);
    }
    // To what the light on the piece leaves open: its estimate is not exactly nothing.
    expect(deltaE00(fresh.predicted.lab, predictMix(palette, fresh.pot))).toBeLessThan(1);
  });

  it('names its dilutions in the reason', () => {
    const answer = ask({
      pot,
      dabLab: predictMix(palette, pot),
      mayPreDilute: true,
      smallest: 0.05,
    });
    const { preDiluted = [] } = answer.startAgain!;
    expect(preDiluted.length).toBeGreaterThan(0);
    for (const { pigment } of preDiluted) {
      expect(answer.reason).toMatch(new RegExp(`${pigment} 1 : \\d+ in white [\\d.]+ g`));
    }
  });
});

describe('a pot of a few tenths of a gram', () => {
  const pot = { white: 0.3, ultramarine: 0.0008 };
  const request = { pot, dabLab: predictMix(palette, pot) };

  it('is given what is pre-diluted first, or a bigger batch, in words', () => {
    const [first] = ask({ ...request, mayPreDilute: true }).suggestions;
    expect(first!.preDiluted!.length).toBeGreaterThan(0);
    expect(first!.predicted.deltaE00).toBeLessThan(1);
    expect(first!.growth).toBeLessThan(0.5);
    expect(first!.notes.join('\n')).toMatch(
      /one dose is too much for a pot of 0\.3 g: stir .* into white first, or make the pot \d+ times as large first, to about \d\.?\d* g/,
    );
  });

  it('is told the same where only plain doses may be suggested', () => {
    const { suggestions, reason = '' } = ask(request);
    for (const { additions, preDiluted } of suggestions) {
      expect(preDiluted).toBeUndefined();
      expect(Math.min(...Object.values(additions))).toBeGreaterThanOrEqual(0.01);
    }
    expect([...suggestions.flatMap(({ notes }) => notes), reason].join('\n')).toMatch(
      /one dose is too much for a pot of 0\.3 g/,
    );
  });
});

describe('pigments that ask for care', () => {
  // A blue like PB 29's: PB 28 may come a little nearer, and contains cobalt.
  const glaze = predictMix(palette, { white: 10, 'cobalt blue': 0.3, ultramarine: 0.1 });
  const usesHazard = (additions: PotGrams) =>
    Object.keys(additions).some(
      (id) => hazardOf(palette.find((one) => one.id === id)!.colourIndex) !== undefined,
    );

  it('are not suggested first where others come within ΔE00 0.3', () => {
    const yellow = (id: string, colourIndex: string, lab: readonly number[]) => ({
      id,
      colourIndex,
      masstone: [84, 8, 88] as never,
      tint: { lab: lab as never, pigment: 1, white: 9 },
    });
    const other = yellow('other yellow', 'PY 74', [91, -5, 48]);
    const pot = { white: 5 };
    const dabLab = predictMix(palette, pot);
    const firstOf = (colourIndex: string) => {
      const cadmium = yellow('first yellow', colourIndex, [91, -2, 48]);
      const own = [palette[0]!, cadmium, other, palette.find(({ id }) => id === 'red oxide')!];
      // With a trace of red the greener yellow comes as near.
      const glazeLab = predictMix(own, { white: 5, 'first yellow': 0.05 });
      return ask({ palette: own, pot, dabLab, glazeLab, smallest: 0.0005 });
    };
    // The glaze is made of the first: without a flag it stands first.
    expect(firstOf('PY 151').suggestions[0]!.additions).toHaveProperty('first yellow');
    const { suggestions } = firstOf('PY 35');
    expect(suggestions[0]!.additions).toHaveProperty('other yellow');
    expect(suggestions[0]!.additions).not.toHaveProperty('first yellow');
    const flagged = suggestions.find(({ additions }) => 'first yellow' in additions)!;
    expect(flagged.notes.join()).toMatch(/contains cadmium: not for spraying/);
    expect(suggestions[0]!.predicted.deltaE00).toBeLessThan(flagged.predicted.deltaE00 + 0.3);
  });

  it('are suggested where nothing else comes near', () => {
    const cadmium = {
      id: 'cadmium yellow',
      colourIndex: 'PY 35',
      masstone: [85, 8, 90],
      tint: { lab: [91, -2, 55], pigment: 1, white: 9 },
    };
    const pot = { white: 5 };
    const [first] = ask({
      palette: [...palette, cadmium],
      pot,
      dabLab: predictMix(palette, pot),
      glazeLab: [91, -2, 55],
    }).suggestions;
    expect(Object.keys(first!.additions)).toContain('cadmium yellow');
    expect(first!.notes.join()).toMatch(/contains cadmium/);
  });

  it('are left out of a first mix where others come as near', () => {
    const [first] = ask({ pot: {}, amount: 20, glazeLab: glaze, smallest: 0.002 }).suggestions;
    const [harmless] = ask({
      pot: {},
      amount: 20,
      glazeLab: glaze,
      smallest: 0.002,
      palette: palette.filter(({ colourIndex }) => !hazardOf(colourIndex)),
    }).suggestions;
    const isNear = harmless!.predicted.deltaE00 < 0.25;
    expect(usesHazard(first!.additions)).toBe(!isNear);
  });
});

describe('two tubes of one paint', () => {
  const blue = palette.find(({ id }) => id === 'ultramarine')!;
  const twice = [...palette, { ...blue, id: 'second ultramarine' }];
  const isBoth = (additions: PotGrams) =>
    'ultramarine' in additions && 'second ultramarine' in additions;
  const glazeLab = predictMix(palette, { white: 5, ultramarine: 0.08, 'yellow oxide': 0.02 });

  it('are dosed from one, and from the one that is in the pot', () => {
    for (const inPot of ['ultramarine', 'second ultramarine']) {
      const pot = { white: 5, [inPot]: 0.02 };
      const dabLab = predictMix(twice, pot);
      const { suggestions } = ask({ palette: twice, pot, dabLab, glazeLab, smallest: 0.002 });
      expect(suggestions[0]!.additions[inPot]).toBeGreaterThan(0.02);
      for (const { additions } of suggestions) expect(isBoth(additions)).toBe(false);
    }
    const { suggestions } = ask({ palette: twice, pot: {}, glazeLab, smallest: 0.002 });
    for (const { additions } of suggestions) expect(isBoth(additions)).toBe(false);
  });

  it('are two paints where their tints differ', () => {
    const other = { ...blue, id: 'a weaker blue', tint: { ...blue.tint!, lab: [78, -4, -20] } };
    const pot = { white: 5 };
    const answer = ask({
      palette: [...palette, other],
      pot,
      dabLab: predictMix(palette, pot),
      glazeLab: [78, -4, -20],
      smallest: 0.002,
    });
    expect(answer.suggestions.some(({ additions }) => 'a weaker blue' in additions)).toBe(true);
  });
});

describe('a paint that is put away', () => {
  it('counts as what the pot holds, and is not added', () => {
    const pot = { white: 5, ultramarine: 0.02 };
    const glazeLab = predictMix(palette, { white: 5, ultramarine: 0.06 });
    const away = palette.map((one) => (one.id === 'ultramarine' ? { ...one, putAway: true } : one));
    const { suggestions } = ask({
      palette: away,
      pot,
      dabLab: predictMix(palette, pot),
      glazeLab,
      smallest: 0.002,
    });
    expect(suggestions.length).toBeGreaterThan(0);
    for (const { additions } of suggestions) expect(additions).not.toHaveProperty('ultramarine');
  });
});

describe('numbers in sentences', () => {
  it('are written as the person writes them', () => {
    const { number, grams, percent } = writtenAs({ locale: 'de', massUnit: 'mg' });
    expect(number(1.25, 1)).toMatch(/^1,[23]$/);
    expect(grams(0.0125)).toBe('12,5 mg');
    expect(percent(0.8)).toBe('80 %');
    expect(writtenAs().grams(0.0125)).toBe('0.0125 g');
    expect(writtenAs({ locale: 'no such tag!' }).number(0.5, 1)).toBe('0.5');
  });

  it('follow the language through reasons, notes and faults', () => {
    const writing = { locale: 'de' };
    const pot = { white: 0.3, ultramarine: 0.0008 };
    const answer = ask({ pot, dabLab: predictMix(palette, pot), writing });
    const lines = [answer.reason ?? '', ...answer.suggestions.flatMap(({ notes }) => notes)];
    expect(lines.join('\n')).toMatch(/\d,\d/);
    expect(lines.join('\n')).not.toMatch(/\d\.\d/);
    const fault = answerNudge({
      palette,
      glazeLab: porcelain,
      dabLab: porcelain,
      pot: { white: 1.25 },
      history: [{ pot: { white: 2.5, black: 1.5 }, dabLab: porcelain }],
      writing,
    });
    expect(fault).toMatchObject({
      ok: false,
      error: expect.stringMatching(/falls from 1,5 g/) as string,
    });
  });

  it('say what was read, not what is believed, of a dab that blends', () => {
    const pot = { white: 5, ultramarine: 0.02 };
    const dabLab = inLight(predictMix(palette, pot), -0.1);
    const { suggestions, reason } = ask({ pot, dabLab, glazeLab: dabLab });
    expect(suggestions).toEqual([]);
    expect(reason).toMatch(/already blends .* it reads ΔE₀₀ 0\.0/);
  });

  it('have no noise of binary fractions in the growth', () => {
    const pot = { white: 5, ultramarine: 0.02 };
    const { suggestions } = ask({ pot, dabLab: predictMix(palette, pot), smallest: 0.002 });
    expect(suggestions.length).toBeGreaterThan(0);
    for (const { growth } of suggestions) expect(String(growth).length).toBeLessThanOrEqual(16);
  });
});
