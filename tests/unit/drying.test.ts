import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { driedLab, dryingInWords, goalOf, withDried } from '../../src/job/drying.ts';
import type { ReadingRecord } from '../../src/job/reading-record.ts';
import { parseAs } from '../../src/job/records.ts';
import { Drying, FILM_STATES, type DriedPair, type FilmState } from '../../src/paint/drying.ts';
import { attempt, palette, reading } from './job-examples.ts';

const pair = (from: FilmState, to: FilmState, L: number, a = 0, b = 0): DriedPair => ({
  from,
  to,
  shift: [L, a, b],
});

describe('how a palette dries', () => {
  it('knows next to nothing at first: usually darker, and unsure (common practice, no source)', () => {
    const { lab, sigma, pairs } = new Drying([]).shift('wet', 'dry');
    expect(pairs).toBe(0);
    expect(lab[0]).toBeLessThan(0);
    expect(sigma[0]).toBeGreaterThan(Math.abs(lab[0]));
  });

  it('many dabs that dry alike are believed, the prior forgotten', () => {
    const many = Array.from({ length: 30 }, (_, i) =>
      pair('wet', 'dry', -3 + 0.3 * Math.sin(5 * i), 0.8, -1.2),
    );
    const { lab, sigma } = new Drying(many).shift('wet', 'dry');
    expect(lab[0]).toBeCloseTo(-3, 0);
    expect(lab[1]).toBeCloseTo(0.8, 1);
    expect(lab[2]).toBeCloseTo(-1.2, 1);
    // What the next dab does stays as uncertain as dabs differ.
    expect(sigma[0]).toBeGreaterThan(0.6);
    expect(sigma[0]).toBeLessThan(0.9);
  });

  it('one dab from wet to dry: between what was assumed and what was seen (normal–normal rule)', () => {
    // Steps N(−1, 2²) and N(−0.3, 1²): wet → dry N(−1.3, 5). Seen −4 with 0.7²: the mean of both,
    // each weighed by the inverse of its variance (Gelman et al., Bayesian Data Analysis, 2.11).
    const expected = (-1.3 / 5 + -4 / 0.49) / (1 / 5 + 1 / 0.49);
    expect(new Drying([pair('wet', 'dry', -4)]).shift('wet', 'dry').lab[0]).toBeCloseTo(
      expected,
      9,
    );
  });

  it('steps add up, and the way back is the way there reversed', () => {
    const pairs = fc.array(
      fc.record({
        from: fc.constantFrom(...FILM_STATES),
        to: fc.constantFrom(...FILM_STATES),
        shift: fc.tuple(
          fc.double({ min: -8, max: 8, noNaN: true }),
          fc.double({ min: -8, max: 8, noNaN: true }),
          fc.double({ min: -8, max: 8, noNaN: true }),
        ),
      }),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(pairs, (seen) => {
        const drying = new Drying(seen);
        const [first, second, whole, back] = [
          drying.shift('wet', 'touch-dry'),
          drying.shift('touch-dry', 'dry'),
          drying.shift('wet', 'dry'),
          drying.shift('dry', 'wet'),
        ];
        for (const k of [0, 1, 2] as const) {
          expect(whole.lab[k]).toBeCloseTo(first.lab[k] + second.lab[k], 9);
          expect(back.lab[k]).toBeCloseTo(-whole.lab[k], 9);
          expect(whole.sigma[k]).toBeGreaterThan(0);
        }
        expect(drying.shift('dry', 'dry').lab).toEqual([0, 0, 0]);
      }),
    );
  });

  it('predicts dabs it has not seen: nineteen of twenty within two deviations', () => {
    // A paint that dries by −2.2 ± 0.6 in L*: five dabs teach, two hundred are foretold.
    let state = 7;
    const uniform = () => (state = (state * 48271) % 2147483647) / 2147483647;
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    const dab = () => pair('wet', 'dry', -2.2 + 0.6 * normal());
    let within = 0;
    for (let i = 0; i < 200; i++) {
      const { lab, sigma } = new Drying(Array.from({ length: 5 }, dab)).shift('wet', 'dry');
      if (Math.abs(dab().shift[0] - lab[0]) < 1.96 * sigma[0]) within++;
    }
    expect(within / 200).toBeGreaterThan(0.92);
  });
});

describe('a palette learns from readings of one mix, wet and dry', () => {
  const { glazeLab } = reading;
  const read = (
    film: FilmState,
    d: readonly [number, number, number],
    own = {},
  ): ReadingRecord => ({
    ...reading,
    attempt: attempt.id,
    film,
    dabLab: labD65(glazeLab[0] + d[0], glazeLab[1] + d[1], glazeLab[2] + d[2]),
    difference: { ...reading.difference, lab: d },
    ...own,
  });

  it('each state against the next, once however often it is kept', () => {
    const readings = [
      read('wet', [2, 0, 0]),
      read('touch-dry', [0.5, 0, 0]),
      read('dry', [0, 0.2, 0]),
    ];
    const once = withDried(palette, attempt.id, readings);
    expect(once.dried?.map(({ from, to }) => `${from} ${to}`)).toEqual([
      'wet touch-dry',
      'touch-dry dry',
    ]);
    expect(once.dried![0]!.shift[0]).toBeCloseTo(-1.5, 9);
    expect(withDried(once, attempt.id, readings).dried).toEqual(once.dried);
    expect(parseAs('palette', once).ok).toBe(true);
    // A reading whose state was mended is no pair any more.
    expect(withDried(once, attempt.id, readings.slice(0, 1)).dried).toEqual([]);
  });

  it('readings under different lamps or in one state teach nothing', () => {
    expect(withDried(palette, attempt.id, [read('wet', [2, 0, 0])])).toBe(palette);
    const lamps = [read('wet', [2, 0, 0], { lamp: 'a' }), read('dry', [0, 0, 0], { lamp: 'b' })];
    expect(withDried(palette, attempt.id, lamps)).toBe(palette);
  });

  it('finishes do not teach each other; the coat is the goal where one was read', () => {
    const matt = withDried({ ...palette, finish: 'matt' as const }, attempt.id, [
      read('wet', [3, 0, 0]),
      read('dry', [0, 0, 0]),
    ]);
    expect(driedLab(matt, glazeLab, 'wet')).toBeDefined();
    expect(driedLab({ ...matt, finish: 'gloss' }, glazeLab, 'wet')).toBeUndefined();
    expect(goalOf(matt)).toBe('dry');
    const coated = withDried(matt, attempt.id, [
      read('dry', [0, 0, 0]),
      read('coated', [-1, 0, 0]),
    ]);
    expect(goalOf(coated)).toBe('coated');
  });

  it('a wet dab is said to be wet, and what it should dry to', () => {
    const wet = read('wet', [3, 0, 0]);
    expect(dryingInWords(palette, wet)).toMatch(/^The dab was wet: paint usually dries darker/);
    const taught = withDried(palette, attempt.id, [wet, read('dry', [0, 0, 0])]);
    expect(dryingInWords(taught, wet)).toMatch(
      /^The dab was wet: dry it should read ΔE₀₀ \d\.\d \(\d\.\d to \d\.\d\), by 1 dab of this palette\.$/,
    );
    expect(dryingInWords(taught, read('dry', [0, 0, 0]))).toBe('');
    expect(driedLab(taught, wet.dabLab, 'wet')!.lab[0]).toBeLessThan(wet.dabLab[0] - 2);
  });
});
