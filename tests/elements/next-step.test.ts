import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import type { Reading } from '../../src/reading/types.ts';
import { INITIAL, type BenchState, type LiveView } from '../../src/ui/state/bench-state.ts';
import { nextStep } from '../../src/ui/state/next-step.ts';
import { aReading } from './readings.ts';

const circle = { x: 100, y: 100, radius: 20 };
const running: BenchState = {
  ...INITIAL,
  engine: 'ready',
  feed: { kind: 'camera', status: 'running', label: 'Camera', width: 1280, height: 720 },
};
const live: LiveView = {
  tile: [
    { x: 0, y: 0 },
    { x: 9, y: 0 },
    { x: 9, y: 9 },
  ],
  tileFound: true,
  tileLevel: 0.84,
  settled: 1,
  framesAveraged: 30,
  moving: false,
  result: aReading(),
};
const pointed: BenchState = { ...running, dab: circle, glaze: circle, live };
const taken = (reading: Reading, saved = false): BenchState => ({
  ...pointed,
  held: {
    result: reading,
    at: '2026-01-31T10:15:00.000Z',
    saved: saved ? 'reading/a/b/c/d' : undefined,
    offset: { x: 0, y: 0 },
  },
});

describe('the next step', () => {
  test('asks for the dab, then for the glaze, before anything else', () => {
    expect(nextStep(running)).toMatchObject({ action: undefined });
    expect(nextStep(running).text).toMatch(/tap the dab/i);
    expect(nextStep({ ...running, dab: circle }).text).toMatch(/glaze/i);
  });

  test('says what is missing: a picture, a tile, rest', () => {
    const failed = { ...running.feed, status: 'failed' as const };
    expect(nextStep({ ...running, feed: failed }).text).toMatch(/no picture/i);
    expect(nextStep({ ...pointed, live: { ...live, tile: undefined } }).text).toMatch(/tile/i);
    expect(nextStep({ ...pointed, engine: 'loading' }).text).toMatch(/engine is loading/);
    // After an addition the dab is another: the engine is there, and has yet to see it.
    expect(nextStep({ ...pointed, live: undefined }).text).toMatch(/looking at the picture/i);
    const moving = nextStep({ ...pointed, live: { ...live, moving: true } });
    expect(moving.text).toMatch(/moves/i);
    expect(moving.action).toBeUndefined();
  });

  test('a refused reading puts its remedy forward', () => {
    const result = {
      ok: false as const,
      refused: [{ reason: 'tile-dark' as const, message: 'Too dark.', remedy: 'Raise the lamp.' }],
    };
    expect(nextStep({ ...pointed, live: { ...live, result } }).text).toBe('Raise the lamp.');
  });

  test('what a photograph refuses, reading it once more does not mend: another is asked for, or to point anew', () => {
    const photo = { ...pointed, feed: { ...running.feed, kind: 'photo' as const } };
    const step = (reason: 'tile-dark' | 'dab-missing') => {
      const refused = [{ reason, message: 'Why.', remedy: 'The remedy.' }];
      return nextStep({ ...photo, live: { ...live, result: { ok: false, refused } } });
    };
    expect(step('tile-dark')).toEqual({
      text: 'The remedy. Then take another photograph.',
      action: undefined,
    });
    expect(step('dab-missing')).toEqual({ text: 'The remedy.', action: undefined });
  });

  test('one pedal walks through read, save, added', () => {
    expect(nextStep(pointed).action).toBe('read');
    expect(nextStep(taken(aReading())).action).toBe('save');
    const suggestion = {
      additions: { blue: 0.01 },
      predicted: { lab: labD65(70, 0, 0), deltaE00: 0.5, interval95: [0.1, 1] as const },
      growth: 0.01,
      notes: [],
    };
    const nudge = { suggestions: [suggestion], chosen: 0, message: '' };
    expect(nextStep({ ...taken(aReading(), true), nudge }).action).toBe('added');
  });

  test('nothing is known of the pot: it is asked for, not the dab wiped off', () => {
    const step = nextStep({ ...taken(aReading(), true), mixes: [] });
    expect(step.text).toMatch(/what is in the pot/i);
    expect(step.action).toBeUndefined();
  });

  test('a dab that blends leads to binding and a test spray, not to another addition', () => {
    const blends = aReading({ verdict: { acceptable: 'blends', imperceptible: 'blends' } });
    const step = nextStep(taken(blends, true));
    expect(step.action).toBeUndefined();
    expect(step.text).toMatch(/blends/i);
    // Not even where one could bring it nearer: that is for the person to say.
    const nearer = {
      additions: { blue: 0.01 },
      predicted: { lab: labD65(70, 0, 0), deltaE00: 0.2, interval95: [0, 0.6] as const },
      growth: 0.01,
      notes: [],
    };
    const nudge = { suggestions: [nearer], chosen: 0, message: '' };
    expect(nextStep({ ...taken(blends, true), nudge }).action).toBeUndefined();
    const doubtful = { ...nudge, suggestions: [], readAgain: true };
    expect(nextStep({ ...taken(blends, true), nudge: doubtful }).text).toMatch(
      /read .* once more/i,
    );
  });
});
