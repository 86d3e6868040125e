import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { predictMix } from '../../src/paint/predict.ts';
import { CONDITIONS, FAMILIES, nudgeScene, readPalette } from '../evaluate/nudges-scene.ts';
import { randomFrom } from '../evaluate/paint-truth.ts';

const palette = genericPalette();

function fromNothing(glazeLab: LabD65, more: Readonly<Record<string, unknown>> = {}) {
  const answer = answerNudge({ palette, pot: {}, glazeLab, smallest: 0.002, ...more });
  if (!answer.ok) throw new Error(answer.error);
  return answer;
}
const errorOf = (more: Readonly<Record<string, unknown>>) => {
  const answer = answerNudge({ palette, pot: {}, glazeLab: [80, 0, 0], ...more });
  return answer.ok ? '' : answer.error;
};
const massOf = (pot: Readonly<Record<string, number>>) =>
  Object.values(pot).reduce((sum, grams) => sum + grams, 0);

describe('a nudge from nothing', () => {
  const glaze = predictMix(palette, {
    white: 50,
    ultramarine: 0.5,
    'yellow oxide': 0.6,
    black: 0.02,
  });

  it('is a starting recipe for the wanted amount, in doses a hand can make', () => {
    for (const amount of [2, 20]) {
      const [best] = fromNothing(glaze, { amount, smallest: 0.001 }).suggestions;
      expect(massOf(best!.additions)).toBeCloseTo(amount, 1);
      expect(Math.min(...Object.values(best!.additions))).toBeGreaterThanOrEqual(0.001);
      expect(best!.predicted.deltaE00).toBeLessThan(0.6);
      expect(deltaE00(predictMix(palette, best!.additions), glaze)).toBeLessThan(0.8);
      expect(best!.growth).toBe(0);
    }
    expect(massOf(fromNothing(glaze).suggestions[0]!.additions)).toBeCloseTo(5, 1);
  });

  it('offers a simpler recipe where that comes about as near', () => {
    // So little umber that it hardly shows.
    const sandy = predictMix(palette, { white: 50, 'yellow oxide': 5, umber: 0.04 });
    const { suggestions } = fromNothing(sandy);
    const sizes = suggestions.map(({ additions }) => Object.keys(additions).length);
    expect(suggestions).toHaveLength(2);
    expect(sizes[1]).toBeLessThan(sizes[0]!);
    expect(suggestions[1]!.predicted.deltaE00).toBeLessThan(
      suggestions[0]!.predicted.deltaE00 + 0.5,
    );
  });

  it('says how near the palette comes when the glaze lies outside it', () => {
    const answer = fromNothing(labD65(62, 45, 55));
    expect(answer.reason).toMatch(
      /outside what this palette mixes: nearest ΔE₀₀ \d+\.\d; a .* is missing/,
    );
    expect(answer.suggestions[0]!.predicted.deltaE00).toBeGreaterThan(1.5);
  });

  it('uses what earlier pots taught of strengths', () => {
    const strengths = { ultramarine: { logMean: Math.log(2), logSd: 0.05 } };
    const few = palette.filter(({ id }) => ['white', 'ultramarine', 'yellow oxide'].includes(id));
    const plain = fromNothing(glaze, { palette: few }).suggestions[0]!.additions['ultramarine']!;
    const strong = fromNothing(glaze, { palette: few, strengths }).suggestions[0]!.additions[
      'ultramarine'
    ]!;
    // A blue twice as strong: half of it.
    expect(strong / plain).toBeGreaterThan(0.4);
    expect(strong / plain).toBeLessThan(0.6);
    // The same learned from the dabs of a pot that was given up.
    const history = [0.02, 0.04, 0.06, 0.08].map((grams) => ({
      pot: { white: 5, ultramarine: grams },
      dabLab: predictMix(palette, { white: 5, ultramarine: 2 * grams }),
    }));
    const learned = fromNothing(glaze, { palette: few, history }).suggestions[0]!.additions[
      'ultramarine'
    ]!;
    expect(learned).toBeLessThan(0.8 * plain);
  });

  it('warns of what is not for spraying', () => {
    const green = predictMix(palette, { 'cobalt blue': 5, white: 2 });
    expect(fromNothing(green).suggestions[0]!.notes.join()).toMatch(/contains cobalt/);
  });

  it('names what is wrong', () => {
    expect(errorOf({ amount: 0 })).toMatch(/amount must be a mass greater than zero/);
    expect(errorOf({ amount: 0.01, smallest: 0.01 })).toMatch(/amount: 0.01 g is too little/);
    expect(errorOf({ glazeLab: undefined })).toMatch(/glazeLab is missing/);
    expect(errorOf({ strengths: { blu: { logMean: 0, logSd: 0.1 } } })).toMatch(
      /strengths: pigment “blu” is not in the palette/,
    );
    expect(errorOf({ pot: { white: 0 } })).toMatch(/dabLab is missing/);
  });

  it('starts every family of targets within a few ΔE00 of paint it does not know, its interval honest', () => {
    const random = randomFrom(99);
    const seen = new Map<string, number[]>();
    let inside = 0;
    let count = 0;
    for (let draw = 0; draw < 66; draw++) {
      const { family, box, glazeLab } = nudgeScene(random, CONDITIONS);
      const read = readPalette(box, CONDITIONS, random);
      const answer = answerNudge({ palette: read, pot: {}, glazeLab, smallest: 0.002 });
      if (!answer.ok) throw new Error(answer.error);
      const { additions, predicted } = answer.suggestions[0]!;
      const off = deltaE00(glazeLab, box.labOf(additions));
      seen.set(family, [...(seen.get(family) ?? []), off]);
      const [low, high] = predicted.interval95;
      if (off >= low && off <= high) inside++;
      count++;
    }
    expect([...seen.keys()].sort()).toEqual(Object.keys(FAMILIES).sort());
    for (const offs of seen.values()) {
      expect(offs.sort((a, b) => a - b)[Math.floor(offs.length / 2)]).toBeLessThan(4);
    }
    // 95 % of 66, loosened by what so few scatter.
    expect(inside / count).toBeGreaterThan(0.86);
  });
});
