import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answerNudge } from '../../src/paint/answer.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';

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

/** Readings at the corners of CIELAB, of a pot that hardly changes or grows from milligrams to tonnes. */
const corner = fc
  .tuple(fc.constantFrom(0, 100), fc.constantFrom(-160, 160), fc.constantFrom(-160, 160))
  .map(([L, a, b]) => [L, a, b]);
const contradictory = fc
  .record({
    palette: fc.tuple(...ids.map(pigment)),
    steps: fc.array(fc.record({ added: pot, dabLab: fc.oneof(corner, lab) }), {
      minLength: 2,
      maxLength: 12,
    }),
    glazeLab: lab,
    lightSigma: optional(fc.constantFrom(0, 0.2, 2)),
    smallest: optional(grams),
    mayPreDilute: optional(fc.boolean()),
    scaleStep: optional(grams),
    doses: optional(fc.dictionary(fc.constantFrom(...ids), grams)),
    logSd: fc.constantFrom(0.25, 3),
  })
  .map(({ steps, logSd, ...rest }) => {
    const now = new Map([['white', 1e-3]]);
    const attempts = steps.map(({ added, dabLab }) => {
      for (const [id, mass] of Object.entries(added)) {
        now.set(id, Math.min(1e6, (now.get(id) ?? 0) + mass));
      }
      return { pot: Object.fromEntries([...now].filter(([, mass]) => mass > 0)), dabLab };
    });
    const { pot: present, dabLab } = attempts.pop()!;
    return {
      ...rest,
      pot: present,
      dabLab,
      history: attempts,
      strengths: Object.fromEntries(ids.map((id) => [id, { logMean: 0, logSd }])),
    };
  });

/** Every number in an answer. */
function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.values(value).flatMap(numbersOf);
}

/** Walks into an object by the numbers of its keys, and puts something odd where the way ends. */
function spoil(target: object, way: readonly number[], odd: unknown): void {
  const [first = 0, ...rest] = way;
  const keys = Object.keys(target);
  const key = keys[first % keys.length];
  if (key === undefined) return;
  const entries = target as Record<string, unknown>;
  const inner = entries[key];
  if (rest.length > 0 && typeof inner === 'object' && inner !== null) spoil(inner, rest, odd);
  else entries[key] = odd;
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

  it('is finite for readings that no pot explains, however much was added', () => {
    let answered = 0;
    fc.assert(
      fc.property(contradictory, (given) => {
        const answer = answerNudge(given);
        if (!answer.ok) {
          // The same pot read twice, far apart, is a fault by name; so is what the palette cannot be.
          expect(answer.error).toMatch(/history|palette/);
          return;
        }
        answered++;
        expect(numbersOf(answer).every((value) => Number.isFinite(value))).toBe(true);
        for (const line of answer.warnings) expect(line).not.toMatch(/NaN|Infinity|undefined/);
        for (const { notes } of answer.suggestions) {
          expect(notes.join()).not.toMatch(/NaN|Infinity|undefined/);
        }
      }),
      { numRuns: 150 },
    );
    expect(answered).toBeGreaterThan(50);
  });

  it('is finite, or a fault in words, for a good request of which something was spoilt', () => {
    const whole = () => ({
      palette: genericPalette().map((one): unknown => ({ ...one })),
      pot: { white: 5, ultramarine: 0.05 },
      glazeLab: [70, 0, -10],
      dabLab: [72, 0, -8],
      history: [{ pot: { white: 5 }, dabLab: [90, 0, 0] }],
      smallest: 0.002,
      largestGrowth: 0.8,
      amount: 5,
      doses: { white: 0.03 },
      scaleStep: 0.01,
      mayPreDilute: true,
    });
    const odd = fc.constantFrom<unknown>(
      ...[null, undefined, NaN, Infinity, -1, 0, 1e-300, 1e300, 1e6, 'x', '', [], {}, true],
      ...[[NaN, 0, 0], [1, 2], { white: NaN }],
    );
    const spoilt = fc.array(fc.record({ way: fc.array(fc.nat(9), { maxLength: 4 }), odd }), {
      minLength: 1,
      maxLength: 3,
    });
    let faults = 0;
    fc.assert(
      fc.property(spoilt, (all) => {
        const request = whole();
        for (const { way, odd: value } of all) spoil(request, way, value);
        const answer = answerNudge(request);
        if (!answer.ok) {
          faults++;
          expect(answer.error).toMatch(/\w.*\w/);
        } else {
          expect(numbersOf(answer).every((number) => Number.isFinite(number))).toBe(true);
        }
      }),
      { numRuns: 200 },
    );
    expect(faults).toBeGreaterThan(20);
    expect(faults).toBeLessThan(200);
  });

  it('names the pigment and the fault', () => {
    const white = { id: 'white', isWhite: true, masstone: [97, 0, 2] };
    const blue = { id: 'blue', masstone: [25, 5, -40] };
    const tint = { lab: [70, -3, -25], pigment: 1, white: 9 };
    const whole = {
      palette: [white, { ...blue, tint }],
      pot: { white: 5, blue: 0.1 },
      glazeLab: [70, 0, -20],
      dabLab: [75, 0, -18],
    };
    const errorOf = (more: Readonly<Record<string, unknown>>) => {
      const answer = answerNudge({ ...whole, ...more });
      return answer.ok ? 'none' : answer.error;
    };
    expect(errorOf({})).toBe('none');
    const twice = [white, blue, blue];
    expect(errorOf({ palette: twice })).toBe('palette: “blue” is there twice');
    expect(errorOf({ palette: [{ ...blue, tint }], pot: { blue: 1 } })).toMatch(
      /no pigment is marked as white.*“blue”/,
    );
    expect(errorOf({ pot: { white: 5, red: 1 } })).toMatch(/“red” is not in the palette/);
    expect(errorOf({ pot: { white: 5, blue: -0.1 } })).toMatch(/blue.*negative mass/);
    expect(errorOf({ pot: { white: 0 } })).toMatch(/the pot is empty/);
    const trace = [{ pot: { white: 1e-300 }, dabLab: [90, 0, 0] }];
    expect(errorOf({ history: trace })).toMatch(/history\[0\]: the pot is empty/);
    const pale = { ...tint, lab: [99.5, 0, 0] };
    expect(errorOf({ palette: [white, { ...blue, tint: pale }] })).toMatch(
      /tint of “blue”.*lighter than the white/,
    );
    const dark = { ...tint, lab: [15, 0, 0] };
    expect(errorOf({ palette: [white, { ...blue, tint: dark }] })).toMatch(
      /tint of “blue”.*darker than its masstone/,
    );
    const none = { ...tint, white: 0 };
    expect(errorOf({ palette: [white, { ...blue, tint: none }] })).toMatch(
      /tint\.white of “blue” must be a mass greater than zero/,
    );
    const fell = [{ pot: { white: 5, blue: 0.2 }, dabLab: [60, 0, -30] }];
    expect(errorOf({ history: fell })).toMatch(/“blue” falls from 0\.2 g/);
    const same = [{ pot: whole.pot, dabLab: [40, 0, -18] }];
    expect(errorOf({ history: same })).toMatch(/record the same pot, but their dabs are/);
    expect(errorOf({ doses: { blue: 0 } })).toMatch(/doses\.blue must be a mass greater than zero/);
  });

  it('takes any JSON for a request', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (given) => {
        expect(answerNudge(given).ok).toBe(false);
      }),
    );
  });
});
