import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answerNudge } from '../../src/paint/answer.ts';

// Whatever a caller sends, sense or nonsense: an answer, every number of it finite, or a fault in
// words. Far wider than any bench: grams to tonnes, colours no paint has, strengths of e³.
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const lab = fc.tuple(between(0, 105), between(-160, 160), between(-160, 160));
const grams = between(-20, 13).map(Math.exp);
const ids = ['white', 'a', 'b', 'c', 'd'];
const pot = fc.dictionary(fc.constantFrom(...ids), fc.oneof(grams, fc.constant(0)));
const optional = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined });

/** A tint no lighter than the white and no darker than its masstone, as it must be. */
const tint = (L: number) =>
  fc
    .record({ up: between(0, 1), a: between(-160, 160), b: between(-160, 160), p: grams, w: grams })
    .map(({ up, a, b, p, w }) => ({ lab: [L + up * (70 - L), a, b], pigment: p, white: w }));
const pigment = (id: string) =>
  lab.chain(([L, a, b]) =>
    fc.record({
      id: fc.constant(id),
      isWhite: fc.constant(id === 'white'),
      masstone: fc.constant(id === 'white' ? [70 + L / 3.5, a / 10, b / 10] : [0.6 * L, a, b]),
      tint: optional(id === 'white' ? fc.constant(null) : tint(0.6 * L)),
      moreTints: optional(fc.array(tint(0.6 * L), { maxLength: 2 })),
      strength: optional(grams),
    }),
  );
/** Pots that grow, now and then after a part of all was set aside; some name nothing at all. */
const pots = fc
  .array(fc.record({ added: pot, kept: fc.constantFrom(1, 1, 0.5) }), {
    minLength: 1,
    maxLength: 5,
  })
  .map((steps) => {
    let before = new Map<string, number>();
    return steps.map(({ added, kept }) => {
      const now = new Map<string, number>();
      for (const id of ids) {
        const mass = kept * (before.get(id) ?? 0) + (added[id] ?? 0);
        if (mass > 0) now.set(id, mass);
      }
      before = now;
      return Object.fromEntries(now);
    });
  });
const request = fc
  .record({
    palette: fc.tuple(...ids.map(pigment)),
    pots,
    glazeLab: lab,
    dabs: fc.array(fc.record({ dabLab: lab, glazeLab: optional(lab) }), {
      minLength: 5,
      maxLength: 5,
    }),
    smallest: optional(grams),
    largestGrowth: optional(grams),
    amount: optional(grams),
    strengths: optional(
      fc.dictionary(
        fc.constantFrom(...ids),
        fc.record({ logMean: between(-3, 3), logSd: between(1e-6, 3) }),
      ),
    ),
  })
  .map(({ pots: all, dabs, ...rest }) => ({
    ...rest,
    pot: all.at(-1),
    dabLab: dabs[4]!.dabLab,
    history: all.slice(0, -1).map((one, index) => ({ pot: one, ...dabs[index] })),
  }));

/** Every number in an answer. */
function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.values(value).flatMap(numbersOf);
}

describe('an answer to anything', () => {
  it('is finite, or a fault in words', () => {
    let answered = 0;
    fc.assert(
      fc.property(request, (given) => {
        const answer = answerNudge(given);
        if (!answer.ok) {
          expect(answer.error).toMatch(/\w.*\w/);
          return;
        }
        answered++;
        expect(numbersOf(answer).every((value) => Number.isFinite(value))).toBe(true);
        if (answer.suggestions.length === 0) expect(answer.reason).toMatch(/\w/);
      }),
      { numRuns: 300 },
    );
    // Faults alone would prove nothing.
    expect(answered).toBeGreaterThan(100);
  });

  it('takes any JSON for a request', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (given) => {
        expect(answerNudge(given).ok).toBe(false);
      }),
    );
  });
});
