import { describe, expect, it } from 'vitest';
import { answerNudge } from '../../src/paint/answer.ts';

// Found by chance among many thousand requests: readings at opposite corners of CIELAB, of one pot,
// whose paints may be e³ times stronger than known. The estimate ran on until exp overflowed.
const RAN_AWAY = {
  palette: [
    { id: 'white', isWhite: true, masstone: [74, -26, -140] },
    { id: 'a', masstone: [49, -27, 150] },
    { id: 'b', masstone: [45, 64, 120] },
  ],
  strengths: {
    white: { logMean: -1.6, logSd: 3 },
    a: { logMean: 2.7, logSd: 3 },
    b: { logMean: 1.2, logSd: 1.9 },
  },
  pot: { white: 5500, b: 0.0000029, a: 92000 },
  dabLab: [0, 160, 160],
  glazeLab: [75, -26, 92],
  history: [
    { pot: { white: 1.2e-8 }, dabLab: [0, 160, -160] },
    { pot: { white: 5500, b: 4.7e-7 }, dabLab: [0, -160, 160] },
  ],
};

/** Every number in an answer. */
function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.values(value).flatMap(numbersOf);
}

describe('a history that no paint explains', () => {
  it('is answered, finite, with the contradiction named', () => {
    const answer = answerNudge(RAN_AWAY);
    if (!answer.ok) throw new Error(answer.error);
    expect(numbersOf(answer).filter((value) => !Number.isFinite(value))).toEqual([]);
    expect(answer.warnings[0]).toMatch(/^“(white|a|b)”: .* do not go together/);
    for (const { logSd } of Object.values(answer.learned)) expect(logSd).toBeGreaterThan(0);
  });
});
