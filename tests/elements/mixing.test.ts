/** The pot with the real solver behind it: names, doses, dilutions, and what attempts teach. */
import { describe, expect, test } from 'vitest';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import type { Attempt, Palette } from '../../src/job/records.ts';
import { strengthOf } from '../../src/job/strengths.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import type { PotGrams } from '../../src/paint/types.ts';
import type { BenchRecords } from '../../src/ui/state/bench-records.ts';
import {
  INITIAL,
  type BenchState,
  type Place,
  type SavedReading,
} from '../../src/ui/state/bench-state.ts';
import { demoPalette } from '../../src/ui/state/demo-job.ts';
import type { Feeds } from '../../src/ui/state/feeds.ts';
import { Mixing } from '../../src/ui/state/mixing.ts';
import { Store } from '../../src/ui/state/store.ts';
import type { Tools } from '../../src/ui/state/tools.ts';

const at = new Date('2026-03-02T09:00:00.000Z');
const demo = demoPalette('palette/demo', at);
const place = { area: { id: 'area/j/p/a' } } as unknown as Place;

function mix(own: string, pot: PotGrams, addition: PotGrams = {}): Attempt {
  const dates = { createdAt: at.toISOString(), updatedAt: at.toISOString() };
  const id = `attempt/j/p/a/${own}` as const;
  return { kind: 'attempt', schema: 2, id, ...dates, palette: demo.id, pot, addition, note: '' };
}

function benchOf(palette: Palette, mixes: readonly Attempt[]) {
  const store = new Store<BenchState>({ ...INITIAL, place, palette, mixes });
  const records: Pick<BenchRecords, 'changePalette' | 'addMix' | 'openArea'> = {
    changePalette: (_, edit) => Promise.resolve(edit(store.state.palette!)),
    addMix: (_, __, pot, addition) => Promise.resolve(mix('new', pot, addition)),
    openArea: () => Promise.reject(new Error('not asked for here')),
  };
  const paint: Partial<Tools['paint']> = {
    nudge: (request) => Promise.resolve(answerNudge(request)),
    firstMix: (request) => Promise.resolve(answerNudge({ ...request, pot: {} })),
  };
  const tools = { paint, records } as unknown as Tools;
  const feeds = { layDabAfter: (work: () => Promise<void>) => work() } as unknown as Feeds;
  return { store, mixing: new Mixing(store, tools, feeds) };
}

const glaze = labD65(74, -3, -4);
const bluishWhite = labD65(84, -1, -12);

describe('the next addition', () => {
  test('names pigments as the person does, in its cautions too, and adds them by id', async () => {
    const { store, mixing } = benchOf(demo, [mix('1', { white: 5, blue: 0.02 })]);
    await mixing.suggest(glaze, bluishWhite);
    const { suggestions } = store.state.nudge;
    expect(suggestions.length).toBeGreaterThan(0);
    const ids = demo.pigments.map(({ id }) => id);
    for (const { additions, notes } of suggestions) {
      for (const id of Object.keys(additions)) expect(ids).toContain(id);
      for (const note of notes)
        expect(note).not.toMatch(/\b(yellow-earth|red-oxide|bright-yellow)\b/);
    }
  });

  test('counted in drops is whole drops, the better first', async () => {
    const palette: Palette = {
      ...demo,
      dosing: 'drop',
      doseUnits: [{ name: 'drop', grams: 0.01 }],
    };
    const { store, mixing } = benchOf(palette, [mix('1', { white: 5, blue: 0.02 })]);
    await mixing.suggest(glaze, bluishWhite);
    const { suggestions } = store.state.nudge;
    expect(suggestions.length).toBeGreaterThan(0);
    for (const { additions } of suggestions) {
      for (const grams of Object.values(additions)) {
        expect(Math.abs(grams / 0.01 - Math.round(grams / 0.01))).toBeLessThan(1e-6);
      }
    }
    // Better is what is expected to come nearer, all that is unsure of it counted in.
    const off = suggestions.map(({ predicted }) => predicted.interval95[1]);
    expect(off).toEqual([...off].sort((a, b) => a - b));
  });

  test('too small for the hand is proposed as a dilution in white', async () => {
    const coarse: Palette = { ...demo, smallest: 0.05 };
    const { store, mixing } = benchOf(coarse, [mix('1', { white: 2, blue: 0.02 })]);
    // A trace of black is what is missing: far less than 0.05 g of it in 2 g of paint.
    await mixing.suggest(labD65(81.5, -1, -11.2), bluishWhite);
    const [first] = store.state.nudge.suggestions;
    expect(first?.preDiluted?.length).toBeGreaterThan(0);
    let white = 0;
    for (const { pigment, parts, grams } of first!.preDiluted!) {
      expect(grams).toBeGreaterThanOrEqual(0.05);
      // What the dilution holds is what goes into the pot.
      expect(first!.additions[pigment]).toBeCloseTo(grams / (parts + 1), 6);
      white += (grams * parts) / (parts + 1);
    }
    expect(first!.additions['white']).toBeGreaterThanOrEqual(white - 1e-6);
  });

  test('of an empty pot is asked for, not made up', async () => {
    const { store, mixing } = benchOf(demo, []);
    await mixing.suggest(glaze, bluishWhite);
    expect(store.state.nudge.suggestions).toEqual([]);
    expect(store.state.nudge.message).toMatch(/what is in the pot/i);
  });
});

describe('a dab that seems to match', () => {
  const pot = { white: 5, blue: 0.02 };
  const near = labD65(84.9, -1, -12);
  const reading = (own: string, dabLab: LabD65): SavedReading => ({
    attempt: mix('1', pot),
    record: { id: `reading/j/p/a/${own}`, dabLab, glazeLab: bluishWhite, film: 'wet' } as never,
  });

  test('is read once more, and the readings of one dab count together', async () => {
    const { store, mixing } = benchOf(demo, [mix('1', pot)]);
    await mixing.suggest(bluishWhite, near);
    const said = () => {
      const { suggestions, message } = store.state.nudge;
      return [message, ...suggestions.flatMap(({ notes }) => notes)].join('\n');
    };
    expect(said()).toMatch(/may still be more than 1: read dab and glaze once more/i);
    expect(store.state.nudge.readAgain).toBe(true);
    store.set({ film: 'wet', readings: [reading('1', labD65(84.8, -1, -12))] });
    await mixing.suggest(bluishWhite, near);
    expect(said()).toMatch(/mean of 2 readings/i);
    // A reading far off is of another dab, or of one that dried: it does not count, and is no fault.
    store.set({ readings: [reading('1', labD65(70, -1, -12))] });
    await mixing.suggest(bluishWhite, near);
    expect(said()).toMatch(/what was read may still be/i);
  });
});

describe('what to start with', () => {
  test('is a recipe for the wanted amount, by id', async () => {
    const { mixing } = benchOf(demo, []);
    const answer = await mixing.firstMix(glaze, 5);
    if (!answer.ok) throw new Error(answer.error);
    const total = Object.values(answer.recipe.additions).reduce((sum, grams) => sum + grams, 0);
    expect(total).toBeCloseTo(5, 1);
    expect(answer.recipe.additions['white']).toBeGreaterThan(4);
  });
  test('of too little says so', async () => {
    const { mixing } = benchOf(demo, []);
    expect(await mixing.firstMix(glaze, 0.001)).toMatchObject({ ok: false });
  });
});

describe('what attempts teach', () => {
  /** The palette after a pot of white with a little blue gave this dab. */
  async function learnedBy(dab: LabD65) {
    const { store, mixing } = benchOf(demo, [mix('1', { white: 5, blue: 0.02 })]);
    await mixing.suggest(glaze, dab);
    await mixing.keepLearned();
    return store.state.palette!;
  }
  test('is kept with the palette once, however often it is said', async () => {
    const palette = await learnedBy(bluishWhite);
    const strength = strengthOf(palette, 'blue');
    const { store, mixing } = benchOf(palette, [mix('1', { white: 5, blue: 0.02 })]);
    await mixing.suggest(glaze, bluishWhite);
    await mixing.keepLearned();
    expect(strengthOf(store.state.palette!, 'blue')).toBeCloseTo(strength, 3);
    expect(store.state.palette!.learned ?? []).toHaveLength((palette.learned ?? []).length);
  });
  test('is that a bluer dab came of a stronger blue', async () => {
    const pale = strengthOf(await learnedBy(labD65(88, -1, -8)), 'blue');
    const deep = strengthOf(await learnedBy(labD65(76, -1, -20)), 'blue');
    expect(deep).toBeGreaterThan(1.03);
    expect(deep).toBeGreaterThan(pale);
  });
});

test('where adding does not get there a fresh mix is advised, in grams a scale shows', async () => {
  const { store, mixing } = benchOf(demo, [mix('1', { white: 1, black: 0.5, blue: 0.02 })]);
  await mixing.suggest(glaze, labD65(22, -1, 0));
  const { suggestions, message, startAgain } = store.state.nudge;
  expect(suggestions).toEqual([]);
  expect(message).toMatch(/^Start again: too much iron oxide black in the pot/);
  expect(message).not.toMatch(/0\.00\d{3}/);
  expect(startAgain!.pot['white']).toBeGreaterThan(1);
  expect(startAgain!.deltaE00).toBeLessThan(2);
});
