/** What an addition of the hand's own choice leads to. */
import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { expectationOf } from '../../src/paint/expectation.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { nudge } from '../../src/paint/nudge.ts';
import type { NudgeRequest } from '../../src/paint/types.ts';

const request: NudgeRequest = {
  palette: genericPalette(),
  pot: { white: 5, ultramarine: 0.05 },
  glazeLab: labD65(74, -4, -9),
  dabLab: labD65(82, -2, -12),
  history: [],
  smallest: 0.002,
  largestGrowth: 0.8,
};

describe('the expectation of an addition', () => {
  test('that the nudge itself suggests is what the nudge says of it', () => {
    const answer = nudge(request);
    if (!answer.ok) throw new Error(answer.error);
    expect(answer.suggestions.length).toBeGreaterThan(0);
    for (const suggestion of answer.suggestions) {
      expect(expectationOf(request, suggestion.additions)).toEqual(suggestion);
    }
  });
  // Kubelka–Munk: black absorbs at every wavelength, whatever it is added to.
  test('of black is darker the more of it', () => {
    const lightness = (black: number) => expectationOf(request, { black }).predicted.lab[0];
    expect(lightness(0.01)).toBeLessThan(lightness(0.005));
    expect(lightness(0.005)).toBeLessThan(request.dabLab[0]);
  });
  test('of nothing is the dab as it is known, and the pot does not grow', () => {
    const { predicted, growth } = expectationOf(request, {});
    expect(growth).toBe(0);
    // Within what a reading may err by.
    predicted.lab.forEach((value, axis) => {
      expect(Math.abs(value - request.dabLab[axis]!)).toBeLessThan(1);
    });
  });
  test('of a pigment that is not there, or no mass, is refused by its name', () => {
    expect(() => expectationOf(request, { rose: 0.1 })).toThrow(/“rose” is not in the palette/);
    expect(() => expectationOf(request, { black: -1 })).toThrow(/“black”: -1 g/);
    expect(() => expectationOf(request, { black: Number.NaN })).toThrow(/“black”/);
  });
});
