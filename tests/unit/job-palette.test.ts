/** What a palette keeps between jobs: strengths by pot, stand-ins for what was never characterised. */
import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { ASSUMED } from '../../src/paint/assumed.ts';
import { parseAs } from '../../src/job/records.ts';
import { coloursOf, solverPalette } from '../../src/job/solver-palette.ts';
import {
  strengthBelief,
  strengthOf,
  withLearned,
  withoutLearned,
} from '../../src/job/strengths.ts';
import { usualPigments } from '../../src/job/usual-pigments.ts';
import { palette } from './job-examples.ts';

const at = new Date('2026-03-02T09:00:00.000Z');
const [first, second] = ['attempt/J1/P1/A1/T1', 'attempt/J1/P1/A1/T2'] as const;
/** As the paint worker tells it, with what is still doubted of it. */
const learned = (values: Record<string, number>, logSd = 0.1) =>
  Object.fromEntries(
    Object.entries(values).map(([id, value]) => [id, { logMean: Math.log(value), logSd }]),
  );
const strength = (of = palette, without?: typeof first) => strengthOf(of, 'blue', without);

describe('learned strengths', () => {
  // The example's blue has a strength of 1.1 of its own.
  test('of several pots multiply, each replaced by what the same pot says later', () => {
    const one = withLearned(palette, first, at, learned({ blue: 1.32 }));
    expect(strength(one)).toBeCloseTo(1.32, 3);
    const two = withLearned(one, second, at, learned({ blue: 1.98 }));
    expect(strength(two)).toBeCloseTo(1.98, 3);
    const again = withLearned(two, first, at, learned({ blue: 3.3 }));
    expect(again.learned).toHaveLength(2);
    expect(strength(again)).toBeCloseTo(3.3, 3);
  });
  test('a pot is reckoned from what was known before it began', () => {
    const one = withLearned(palette, first, at, learned({ blue: 1.32 }));
    expect(strength(one, first)).toBeCloseTo(1.1, 6);
  });
  test('are taken back for one pigment, and the others stay', () => {
    const one = withLearned(palette, first, at, learned({ blue: 2, white: 0.9 }));
    const back = withoutLearned(one, 'blue');
    expect(strength(back)).toBe(1);
    expect(strengthOf(back, 'white')).toBeCloseTo(0.9, 3);
  });
  test('a strength grows surer with every pot, and never surer than tubes differ', () => {
    const fresh = ASSUMED.strength;
    const one = withLearned(palette, first, at, learned({ blue: 2 }, fresh / 2));
    expect(strengthBelief(one, 'blue').logSd).toBeCloseTo(fresh / 2, 6);
    expect(strengthBelief(one, 'blue').logMean).toBeCloseTo(Math.log(2), 3);
    expect(strengthBelief(one, 'blue', first).logSd).toBeCloseTo(fresh, 6);
    const two = withLearned(one, second, at, learned({ blue: 1.5 }, fresh / 100));
    expect(strengthBelief(two, 'blue').logSd).toBeCloseTo(fresh / 5, 6);
  });
  test('what says nothing is not kept', () => {
    expect(withLearned(palette, first, at, learned({ blue: 1.1, white: 1.001 })).learned).toEqual(
      [],
    );
  });
  test('what hundreds of pots taught stays, folded into the pigment', () => {
    let many = palette;
    let expected = 1.1;
    for (let pot = 0; pot < 210; pot++) {
      expected *= pot % 2 ? 1.02 : 1 / 1.02;
      many = withLearned(many, `attempt/J1/P1/A1/N${pot}`, at, learned({ blue: expected }));
    }
    expect(many.learned).toHaveLength(200);
    expect(strength(many)).toBeCloseTo(expected, 2);
    expect(parseAs('palette', many)).toMatchObject({ ok: true });
  });
});

describe('what the solver is given', () => {
  const unread = {
    ...palette,
    pigments: [
      { id: 'white', name: 'white', colourIndex: 'PW 6', isWhite: true },
      { id: 'earth', name: 'earth', colourIndex: 'PY 42' },
      { id: 'quinacridone', name: 'magenta', colourIndex: 'PR 122' },
      { id: 'lead', name: 'put away', colourIndex: 'PBk 11', putAway: true },
    ],
  };
  test('an uncharacterised pigment has invented colours, and says so', () => {
    expect(coloursOf(unread.pigments[1]!)).toMatchObject({ invented: true });
    expect(coloursOf(palette.pigments[1]!)).toMatchObject({ invented: false });
    expect(coloursOf(unread.pigments[2]!)).toBeUndefined();
  });
  test('nothing is given for a name nothing was invented for, nor for what is put away', () => {
    expect(solverPalette(unread).map(({ id }) => id)).toEqual(['white', 'earth']);
  });
  test('what is put away still counts while it is in the pot', () => {
    const ids = solverPalette(unread, { white: 5, lead: 0.1 }).map(({ id }) => id);
    expect(ids).toContain('lead');
  });
  test('a reading of its own takes the place of the invention', () => {
    const masstone = labD65(50, 10, 40);
    const [, earth] = unread.pigments;
    expect(coloursOf({ ...earth!, masstone })).toEqual({ invented: false, masstone });
  });
});

describe('a palette of the first form', () => {
  const old = {
    ...palette,
    schema: 1,
    doseUnits: [
      { name: 'stick touch', grams: 0.01 },
      { name: 'Drop of the pipette', grams: 0.04 },
    ],
  };
  test('has its doses called drop and touch, and is otherwise as it was', () => {
    expect(parseAs('palette', old)).toEqual({
      ok: true,
      record: {
        ...palette,
        doseUnits: [
          { name: 'touch', grams: 0.01 },
          { name: 'drop', grams: 0.04 },
        ],
      },
    });
  });
  test('that is no palette is refused by its fields, not by a fall', () => {
    expect(parseAs('palette', { ...old, pigments: 7, doseUnits: 'none' }).ok).toBe(false);
  });
});

test('a palette is begun with paints by name alone: one white, and nothing of them read', () => {
  const pigments = usualPigments();
  const begun = { ...palette, pigments };
  expect(parseAs('palette', begun).ok).toBe(true);
  expect(pigments.filter(({ isWhite }) => isWhite)).toHaveLength(1);
  expect(pigments.every((pigment) => coloursOf(pigment)?.invented)).toBe(true);
  expect(solverPalette(begun)).toHaveLength(pigments.length);
});
