import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import { missing } from '../../src/paint/gamut.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { labOfOpaqueFilm } from '../../src/paint/film-colour.ts';
import { SURFACE } from '../../src/paint/kubelka-munk.ts';
import { mixtureOf, predictMix } from '../../src/paint/predict.ts';
import type { NudgeRequest, PotGrams } from '../../src/paint/types.ts';
import { randomFrom } from '../evaluate/paint-truth.ts';

const palette = genericPalette();

function ask(pot: PotGrams, glazeLab: LabD65, more: Partial<NudgeRequest> = {}) {
  const dabLab = predictMix(more.palette ?? palette, pot);
  const answer = answerNudge({ palette, pot, glazeLab, dabLab, smallest: 0.002, ...more });
  if (!answer.ok) throw new Error(answer.error);
  return answer;
}
const massOf = (pot: PotGrams) => Object.values(pot).reduce((sum, grams) => sum + grams, 0);
const after = (pot: PotGrams, additions: PotGrams) =>
  Object.fromEntries(
    [...new Set([...Object.keys(pot), ...Object.keys(additions)])].map((id) => [
      id,
      (pot[id] ?? 0) + (additions[id] ?? 0),
    ]),
  );

describe('a glaze outside what the palette mixes', () => {
  // The generic palette has no strong violet and no strong orange.
  it.each([
    ['violet', labD65(35, 45, -45), /a (stronger|pinker) violet/],
    ['orange', labD65(62, 45, 55), /a stronger (orange|red)/],
    ['red', labD65(45, 50, 22), /a (pinker|stronger) red/],
  ])('says what is missing of %s, and how near the palette can get', (_, glaze, words) => {
    const { reason } = ask({ white: 3, ultramarine: 0.3, 'red oxide': 0.3 }, glaze);
    expect(reason).toMatch(/outside what this palette mixes: nearest ΔE₀₀ \d+\.\d/);
    expect(reason).toMatch(words);
    const claimed = Number(/nearest ΔE₀₀ (\d+\.\d)/.exec(reason!)![1]);
    // No mix of many drawn at random comes nearer than was claimed, and the claim is not idle: the best
    // of them is not far off.
    const { uniform } = randomFrom(7);
    const pure = palette.map(({ id }) => mixtureOf(palette, { [id]: 1 }));
    let nearest = Infinity;
    for (let draw = 0; draw < 20_000; draw++) {
      const shares = palette.map(() => (uniform() < 0.6 ? 0 : uniform() ** 3));
      shares[Math.floor(palette.length * uniform())] = 1;
      const kOverS = pure[0]!.K.map((_, band) => {
        const sum = (key: 'K' | 'S') =>
          shares.reduce((total, share, p) => total + share * pure[p]![key][band]!, 0);
        return sum('K') / sum('S');
      });
      nearest = Math.min(nearest, deltaE00(glaze, labOfOpaqueFilm(kOverS, SURFACE)));
    }
    expect(claimed).toBeLessThan(nearest + 0.2);
    expect(claimed).toBeGreaterThan(nearest - 1.5);
  });

  it('does not say so of a glaze that only hands cannot dose', () => {
    // 0.5 g is the smallest dose: the glaze is a mix of the palette, but not one of such doses.
    const glaze = predictMix(palette, { white: 100, ultramarine: 0.5, 'yellow oxide': 1 });
    const { reason = '' } = ask({ white: 5, ultramarine: 0.01 }, glaze, { smallest: 0.5 });
    expect(reason).not.toMatch(/outside/);
  });

  it('names lightness, chroma and hue by what differs most', () => {
    expect(missing(labD65(90, 0, 0), labD65(70, 0, 0))).toBe('a lighter paint');
    expect(missing(labD65(20, 0, 0), labD65(40, 0, 0))).toBe('a darker paint');
    expect(missing(labD65(50, 0, -50), labD65(50, 0, -30))).toBe('a stronger blue');
    expect(missing(labD65(50, 0, -20), labD65(50, 0, -45))).toBe('a duller blue');
    expect(missing(labD65(60, 50, 30), labD65(60, 30, 50))).toMatch(/^a (redder|pinker) red$/);
    expect(missing(labD65(60, 0, 0), labD65(60, 0, 12))).toBe('a bluer paint');
  });
});

describe('starting again', () => {
  it('is the only advice when adding cannot get there: what is missing, and the first mix', () => {
    const glaze = labD65(88, 0, 2);
    const answer = ask({ white: 2, black: 2 }, glaze);
    expect(answer.suggestions).toEqual([]);
    expect(answer.reason).toMatch(/^start again: too much black/);
    expect(answer.reason).toMatch(/a lighter paint is missing/);
    const { pot, predicted } = answer.startAgain!;
    expect(massOf(pot)).toBeCloseTo(4, 1);
    expect(predicted.deltaE00).toBeLessThan(1);
    expect(deltaE00(predictMix(palette, pot), glaze)).toBeLessThan(1.5);
    for (const [id, grams] of Object.entries(pot))
      expect(answer.reason).toContain(`${id} ${grams} g`);
  });

  it('is offered beside adding when a fresh mix takes less paint', () => {
    // A red with half of it white, where a tenth is right: the red must grow fourfold.
    const glaze = predictMix(palette, { 'red oxide': 8, white: 0.8 });
    const pot = { 'red oxide': 2.2, white: 2.2 };
    const answer = ask(pot, glaze);
    expect(answer.suggestions.length).toBeGreaterThan(0);
    expect(answer.reason).toMatch(/the pot would have to grow by \d{3} %/);
    expect(answer.reason).toMatch(/a fresh mix takes less paint: /);
    expect(deltaE00(predictMix(palette, answer.startAgain!.pot), glaze)).toBeLessThan(1.5);
  });

  it('is not spoken of when a nudge gets there', () => {
    const pot = { white: 5, ultramarine: 0.02 };
    const answer = ask(pot, predictMix(palette, { white: 5, ultramarine: 0.04 }));
    expect(answer.startAgain).toBeUndefined();
    expect(answer.reason).toBeUndefined();
  });
});

describe('a way of several nudges', () => {
  it('is walked to its end, never growing by more than allowed in one nudge', () => {
    // A third of the black it has is right: the pot must become three times itself.
    const glaze = predictMix(palette, { white: 15, black: 0.03, 'yellow oxide': 0.06 });
    let pot: PotGrams = { white: 5, black: 0.03, 'yellow oxide': 0.02 };
    let nudges = 0;
    while (deltaE00(predictMix(palette, pot), glaze) > 0.8 && nudges < 6) {
      const [first] = ask(pot, glaze, { largestGrowth: 0.5 }).suggestions;
      expect(first!.growth).toBeLessThanOrEqual(0.5 + 1e-9);
      pot = after(pot, first!.additions);
      nudges++;
    }
    expect(deltaE00(predictMix(palette, pot), glaze)).toBeLessThanOrEqual(0.8);
    // ln 3 / ln 1.5 = 2.7: three nudges at the least, and hardly more paint than that takes.
    expect(nudges).toBeGreaterThanOrEqual(3);
    expect(massOf(pot)).toBeLessThan(18);
  });

  it('is suggested though no single dose helps at once, and the doses may be pre-diluted', () => {
    // A hint of colour is missing, smaller than the hand can dose into 5 g.
    const glaze = predictMix(palette, { white: 100, ultramarine: 0.5, 'yellow oxide': 0.4 });
    const pot = { white: 5, ultramarine: 0.012 };
    const answer = ask(pot, glaze, { smallest: 0.05 });
    expect(answer.suggestions.length).toBeGreaterThan(0);
    expect(answer.reason).toMatch(/pre-dilute/);
  });
});
