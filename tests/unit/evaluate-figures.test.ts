/** The evaluation's own arithmetic: a table that cannot say "not reached" would be worth nothing. */
import { describe, expect, it } from 'vitest';
import { filmFigures, quantile, readingFigures, strata } from '../evaluate/figures.ts';
import type { SceneOutcome } from '../evaluate/one-scene.ts';
import { patchMeanReading } from '../evaluate/patch-mean.ts';
import { FAULTS, seedsOf } from '../evaluate/plan.ts';
import { throughYuv420 } from '../evaluate/codec.ts';
import { labD65 } from '../../src/colour/spaces.ts';

type Answer = NonNullable<SceneOutcome['answer']>;

const answer = (deltaE00: number, half: number, verdict: Answer['verdicts'][0]['verdict']) =>
  ({
    deltaE00,
    lab: [deltaE00, 0, 0],
    error: 0.1,
    interval95: [Math.max(0, deltaE00 - half), deltaE00 + half],
    mahalanobis: 1,
    verdicts: [{ threshold: 1.8, verdict }],
    shares: '',
  }) satisfies Answer;

const outcome = (
  seed: number,
  truth: number,
  given: Answer | undefined,
  more: Partial<SceneOutcome> = {},
): SceneOutcome => ({
  seed,
  strata: { lamp: seed % 2 === 0 ? 'even' : 'odd' },
  fault: undefined,
  kind: 'ordinary',
  pigments: 'same',
  dabOn: 'piece',
  true: { deltaE00: truth, lab: [truth, 0, 0], glazeLab: [70, 0, 0] },
  answer: given,
  refused: given ? [] : ['dab-highlight'],
  remedies: true,
  tileFound: 'right',
  baseline: { error: 3, deltaE00: truth + 3 },
  cameraError: 0.1,
  cameraDeltaE00: truth,
  toldDeltaE00: truth,
  toldAtLightReadDeltaE00: truth,
  readMs: 1,
  ...more,
});

const figure = (outcomes: readonly SceneOutcome[], name: string) => {
  const found = readingFigures(outcomes).find((each) => each.name.startsWith(name));
  if (!found) throw new Error(`no figure "${name}"`);
  return found;
};

describe('figures of readings', () => {
  const good = Array.from({ length: 20 }, (_, i) => outcome(i, 1, answer(1.1, 0.3, 'blends')));

  it('are reached by good readings', () => {
    expect(figure(good, 'ΔE₀₀ error')).toMatchObject({ reached: true, got: '0.10 (20)' });
    expect(figure(good, 'ΔE₀₀ error').baseline).toBe('3.00');
    expect(figure(good, '`unsure`').reached).toBe(true);
    expect(figure(good, 'wrong `blends`').reached).toBe(true);
    expect(figure(good, 'ordinary scenes refused').reached).toBe(true);
  });

  it('fall short for errors, refusals, misses, wrong and idle verdicts', () => {
    const off = good.map((o) => ({ ...o, answer: answer(1.5, 0.3, 'blends') }));
    expect(figure(off, 'ΔE₀₀ error').reached).toBe(false);
    const refused = [...good.slice(2), outcome(90, 1, undefined), outcome(91, 1, undefined)];
    expect(figure(refused, 'ordinary scenes refused').reached).toBe(false);
    const missed = [
      ...good.slice(2),
      outcome(90, 3, answer(1, 0.3, 'blends')),
      outcome(91, 3, answer(1, 0.3, 'blends')),
    ];
    expect(figure(missed, '95 % intervals cover').got).toBe('90.0 % (18/20)');
    expect(figure(missed, '95 % intervals cover').reached).toBe(false);
    expect(figure(missed, 'wrong `blends`').got).toBe('10.0 % (2/20)');
    expect(figure(missed, 'wrong `blends`').reached).toBe(false);
    const idle = good.map((o) => ({ ...o, answer: answer(1.1, 0.3, 'unsure') }));
    expect(figure(idle, '`unsure`').reached).toBe(false);
  });

  it('intervals that always cover are too wide to count as 95 %', () => {
    const wide = good.map((o) => ({ ...o, answer: answer(1.1, 3, 'unsure') }));
    expect(figure(wide, '95 % intervals cover').reached).toBe(false);
    expect(figure(wide, '… median half-width').reached).toBe(false);
  });

  it('a number on a highlight counts as wrong beyond 0.9, a refusal does not', () => {
    const lit = { kind: 'highlight' } as const;
    const right = [...good, outcome(50, 2, undefined, lit)];
    expect(figure(right, 'highlight on the dab').reached).toBe(true);
    const wrong = [...right, outcome(51, 2, { ...answer(4, 1, 'shows'), error: 2 }, lit)];
    expect(figure(wrong, 'highlight on the dab').reached).toBe(false);
  });

  it('a fault refused for another reason, or read, is not reached', () => {
    const fault = { kind: 'fault', fault: 'tile-dark' } as const;
    const dark = outcome(60, 2, undefined, { ...fault, refused: ['tile-dark'] });
    expect(figure([...good, dark], 'tile-dark').reached).toBe(true);
    const other = outcome(61, 2, undefined, { ...fault, refused: ['tile-missing'] });
    expect(figure([...good, dark, other], 'tile-dark').reached).toBe(false);
    const mute = outcome(62, 2, undefined, { ...fault, refused: ['tile-dark'], remedies: false });
    expect(figure([...good, mute], 'tile-dark').reached).toBe(false);
    expect(figure(good, 'tile-dark').reached).toBe(false);
  });

  it('strata count their own', () => {
    const half = good.map((o, i) => (i % 2 === 0 ? { ...o, answer: answer(2, 0.3, 'shows') } : o));
    const lines = strata(half);
    expect(lines.find(({ value }) => value === 'even')?.coverage).toBe(0);
    expect(lines.find(({ value }) => value === 'odd')?.coverage).toBe(1);
  });
});

describe('figures of live feeds', () => {
  const film = {
    seed: 1,
    trueDeltaE00: 2,
    single: 2.3,
    settled: 2.1,
    settledRefused: [],
    framesAveraged: 40,
    moving: { numbers: 0, said: true },
    lamp: { numbers: 0, said: true },
  };
  it('a number while it moves, or silence, falls short', () => {
    const reached = (films: Parameters<typeof filmFigures>[0]) => filmFigures(films)[0]?.reached;
    expect(reached([film])).toBe(true);
    expect(reached([film, { ...film, moving: { numbers: 1, said: true } }])).toBe(false);
    expect(reached([film, { ...film, moving: { numbers: 0, said: false } }])).toBe(false);
    expect(reached([])).toBe(false);
  });
});

describe('what the figures are made with', () => {
  it('quantiles interpolate between order statistics (Hyndman & Fan 1996, definition 7)', () => {
    expect(quantile([1, 2, 3, 4], 0.5)).toBe(2.5);
    expect(quantile([4, 1, 3, 2], 0.95)).toBeCloseTo(3.85, 12);
    expect(quantile([], 0.5)).toBeNaN();
  });

  it('seeds of faults are apart from those of scenes', () => {
    const seeds = seedsOf(400, 1);
    expect(new Set(seeds).size).toBe(seeds.length);
    expect(seeds.length).toBe(400 + FAULTS.length * 10);
  });

  it('patch means tell a flat picture’s colours exactly', () => {
    const [width, height] = [90, 30];
    const rgba = new Uint8ClampedArray(4 * width * height).fill(255);
    // Tile, glaze and dab side by side; the tile is mid-range sRGB grey.
    const codes = [188, 118, 46];
    for (let i = 0; i < width * height; i++) {
      rgba.fill(codes[Math.floor((i % width) / 30)]!, 4 * i, 4 * i + 3);
    }
    const corners = [
      { x: 0, y: 0 },
      { x: 30, y: 0 },
      { x: 30, y: 30 },
      { x: 0, y: 30 },
    ];
    const disc = (x: number) => ({ x, y: 15, radius: 8 });
    const { glazeLab, dabLab } = patchMeanReading(
      { width, height, rgba },
      corners,
      labD65(100, 0, 0),
      disc(45),
      disc(75),
    );
    // sRGB 188, 118 and 46 are 0.503, 0.181 and 0.027 of white: IEC 61966-2-1; L* from CIE 15.
    expect(glazeLab[0]).toBeCloseTo(116 * Math.cbrt(0.1812 / 0.5029) - 16, 1);
    expect(dabLab[0]).toBeCloseTo(116 * Math.cbrt(0.02732 / 0.5029) - 16, 1);
    expect(Math.hypot(glazeLab[1], glazeLab[2])).toBeLessThan(0.05);
  });

  it('video keeps a flat colour within what limited range leaves (two codes)', () => {
    const rgba = Uint8ClampedArray.from(
      Array.from({ length: 64 }, () => [180, 90, 40, 255]).flat(),
    );
    throughYuv420(rgba, 8, 8).forEach((v, i) => {
      expect(Math.abs(v - rgba[i]!)).toBeLessThanOrEqual(2);
    });
  });
});
