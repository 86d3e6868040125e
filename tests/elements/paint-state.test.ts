/** What the bench makes of paints: doses, names, what is still to be read, which pot is on the bench. */
import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import type { Attempt, Palette } from '../../src/job/records.ts';
import { INITIAL, potMixes, potOf, type BenchState } from '../../src/ui/state/bench-state.ts';
import { contrastOf, gramsOf, missingStep, nextStepOf } from '../../src/ui/state/characterising.ts';
import { demoPalette } from '../../src/ui/state/demo-job.ts';
import { doseOf, inWholeDoses, smallestOf } from '../../src/ui/state/doses.ts';
import { PaintNames } from '../../src/ui/state/paint-names.ts';
import { faultIn, Palettes } from '../../src/ui/state/palettes.ts';
import { Store } from '../../src/ui/state/store.ts';
import type { Tools } from '../../src/ui/state/tools.ts';

const at = new Date('2026-03-02T09:00:00.000Z');
const demo = demoPalette('palette/demo', at);
const withPigments = (pigments: Palette['pigments']): Palette => ({ ...demo, pigments });

describe('doses', () => {
  const drops: Palette = {
    ...demo,
    dosing: 'drop',
    doseUnits: [{ name: 'drop', grams: 0.03 }],
    pigments: demo.pigments.map((pigment) =>
      pigment.id === 'white'
        ? { ...pigment, doseUnits: [{ name: 'drop' as const, grams: 0.05 }] }
        : pigment,
    ),
  };
  test('a paint that was weighed itself has its own', () => {
    expect(doseOf(drops, 'white', 'drop')?.grams).toBe(0.05);
    expect(doseOf(drops, 'blue', 'drop')?.grams).toBe(0.03);
    expect(doseOf(drops, 'blue', 'touch')).toBeUndefined();
  });
  test('additions are whole doses, at least one, and the uncountable goes by the scale', () => {
    expect(inWholeDoses({ white: 0.12, blue: 0.004 }, drops)).toEqual({ white: 0.1, blue: 0.03 });
    expect(inWholeDoses({ white: 5 }, drops)).toEqual({ white: 5 });
    expect(inWholeDoses({ white: 5.004 }, { ...drops, scaleStep: 0.01 })).toEqual({ white: 5 });
  });
  test('by the scale they are steps of it, where the step is known', () => {
    expect(inWholeDoses({ blue: 0.0123 }, demo)).toEqual({ blue: 0.0123 });
    const scale: Palette = { ...demo, scaleStep: 0.01 };
    expect(inWholeDoses({ blue: 0.0163, white: 0.001 }, scale)).toEqual({
      blue: 0.02,
      white: 0.01,
    });
  });
  test('half the lightest dose is the smallest that is worth proposing', () => {
    expect(smallestOf(drops)).toBeCloseTo(0.015, 9);
    expect(smallestOf(demo)).toBe(demo.smallest);
  });
});

describe('names', () => {
  test('the worker is told the names, and its answers come back by id', () => {
    const names = new PaintNames(demo);
    expect(names.palette.map(({ id }) => id)).toContain('ultramarine');
    expect(names.named({ blue: 1 })).toEqual({ ultramarine: 1 });
    expect(names.byId(names.named({ blue: 1, white: 2 }))).toEqual({ blue: 1, white: 2 });
  });
  test('two paints of one name are told apart', () => {
    const [white, blue] = demo.pigments;
    const twice = [
      white!,
      blue!,
      { ...blue!, id: 'blue-2', colourIndex: 'PB 36' },
      { ...blue!, id: 'b3' },
    ];
    const all = new PaintNames(withPigments(twice)).palette.map(({ id }) => id);
    expect(new Set(all).size).toBe(4);
    expect(all).toContain('ultramarine (PB 36)');
  });
});

describe('what is still to be read', () => {
  const [white, blue, earth] = demo.pigments;
  const bare = ({ id, name, colourIndex, isWhite }: Palette['pigments'][number]) => ({
    id,
    name,
    ...(colourIndex !== undefined && { colourIndex }),
    ...(isWhite && { isWhite }),
  });
  test('the white first, then each paint with masstone and tint before the next', () => {
    const fresh = withPigments([bare(blue!), bare(earth!), bare(white!)]);
    expect(nextStepOf(fresh)).toEqual({ pigment: 'white', step: 'masstone' });
    const begun = withPigments([
      { ...bare(blue!), masstone: blue!.masstone! },
      bare(earth!),
      white!,
    ]);
    expect(nextStepOf(begun)).toEqual({ pigment: 'blue', step: 'tint' });
    expect(nextStepOf(begun, 'yellow-earth')).toEqual({
      pigment: 'yellow-earth',
      step: 'masstone',
    });
  });
  test('nothing when all is read; a white needs no tint, what is put away nothing', () => {
    expect(nextStepOf(demo)).toBeUndefined();
    expect(missingStep(white!)).toBeUndefined();
    expect(nextStepOf(withPigments([white!, { ...bare(blue!), putAway: true }]))).toBeUndefined();
  });
});

describe('a tint', () => {
  const amounts = (pigment: number, white: number, measure: 'g' | 'drop' | 'touch' = 'g') => ({
    pigment: 'blue',
    amounts: { pigment, white, measure },
  });
  test('counted in drops is taken in grams', () => {
    // The demo palette's drop weighs 0.04 g.
    const grams = gramsOf(amounts(2, 18, 'drop'), demo);
    expect(grams).toEqual({ pigment: 0.08, white: 0.72 });
  });
  test('of nothing is refused by the name of the paint', () => {
    expect(gramsOf(amounts(0, 1), demo)).toMatch(/ultramarine/);
    expect(gramsOf(amounts(1, Number.NaN), demo)).toMatch(/titanium white/);
  });
  test('without a white says so', () => {
    const none = withPigments(demo.pigments.filter(({ isWhite }) => !isWhite));
    expect(gramsOf(amounts(1, 9), none)).toMatch(/marked as its white/);
  });
  test('lighter than its white, or darker than its masstone, is named in the person’s words', () => {
    const tinted = (L: number) =>
      faultIn(
        withPigments(
          demo.pigments.map((one) =>
            one.id === 'blue' ? { ...one, tint: { ...one.tint!, lab: labD65(L, 0, 0) } } : one,
          ),
        ),
      );
    expect(tinted(99)).toMatch(
      /^The tint of “ultramarine” .*lighter than the white “titanium white”/,
    );
    expect(tinted(10)).toMatch(/^The tint of “ultramarine” .*darker than its masstone/);
    expect(tinted(60)).toBeUndefined();
  });
});

describe('hiding', () => {
  const [, blue] = demo.pigments;
  test('is the ratio of luminous reflectances over black and white (ISO 6504-1)', () => {
    expect(contrastOf(blue!)).toBeUndefined();
    expect(contrastOf({ ...blue!, overBlack: blue!.masstone! })).toBe(1);
    // CIE L* 50 is Y = 18.42, L* 100 is Y = 100.
    const half = { ...blue!, masstone: labD65(100, 0, 0), overBlack: labD65(50, 0, 0) };
    expect(contrastOf(half)).toBeCloseTo(0.1842, 4);
  });
});

describe('the pot on the bench', () => {
  const mix = (own: string, pot: object, addition: object, palette = demo.id): Attempt =>
    ({
      kind: 'attempt',
      schema: 2,
      id: `attempt/j/p/a/${own}`,
      createdAt: at.toISOString(),
      updatedAt: at.toISOString(),
      palette,
      pot,
      addition,
      note: '',
    }) as Attempt;
  const first = mix('1', { white: 5 }, {});
  const more = mix('2', { white: 5, blue: 0.1 }, { blue: 0.1 });
  const anew = mix('3', { white: 2 }, {});
  const other = mix('4', { rose: 1 }, {}, 'palette/other');
  const of = (...mixes: Attempt[]) => ({ mixes, palette: demo });
  test('is what was mixed since it was last stated as a whole', () => {
    expect(potMixes(of(first, more))).toEqual([first, more]);
    expect(potMixes(of(first, more, anew))).toEqual([anew]);
    expect(potOf(of(first, more, anew))).toEqual({ white: 2 });
  });
  test('is empty while another palette’s mix is the newest', () => {
    expect(potOf(of(first, other))).toEqual({});
    expect(potOf(of(other, first))).toEqual({ white: 5 });
  });
});

test('pressed twice, a paint is added once, and so is a palette', async () => {
  const store = new Store<BenchState>({ ...INITIAL, palette: demo });
  const added: string[] = [];
  const palettes = new Palettes(store, {
    records: {
      changePalette: (_: string, edit: (now: Palette) => Palette) =>
        Promise.resolve(edit(store.state.palette!)),
      addPalette: ({ name }: Palette) =>
        Promise.resolve({ ...demo, id: `palette/${added.push(name)}` }),
    },
  } as unknown as Tools);
  const paint = { name: 'Violet', colourIndex: 'PV 19' };
  // Each press is told what became of it.
  expect(await Promise.all([palettes.addPigment(paint), palettes.addPigment(paint)])).toEqual([
    undefined,
    undefined,
  ]);
  expect(store.state.palette?.pigments.filter(({ name }) => name === 'Violet')).toHaveLength(1);
  await Promise.all([palettes.add('Greys', []), palettes.add('Greys', [])]);
  expect(added).toEqual(['Greys']);
  await palettes.add('Blues', []);
  expect(added).toEqual(['Greys', 'Blues']);
});
