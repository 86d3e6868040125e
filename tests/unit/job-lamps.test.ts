import { describe, expect, it } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { lampMadeUnder } from '../../src/job/camera-profiles.ts';
import { lampPairs, otherLamps } from '../../src/job/lamp-pairs.ts';
import { lampsOf, usingLamp, withLamp, withoutLamp, type Lamp } from '../../src/job/lamps.ts';
import type { ReadingRecord } from '../../src/job/reading-record.ts';
import { parseAs } from '../../src/job/records.ts';
import type { Drift } from '../../src/reading/drift.ts';
import { INITIAL, type BenchState } from '../../src/ui/state/bench-state.ts';
import { LightWatch } from '../../src/ui/state/light-watch.ts';
import { Store } from '../../src/ui/state/store.ts';
import { attempt, reading, settings } from './job-examples.ts';

const bench: Lamp = { name: 'bench lamp', kind: 'led', kelvin: 5000, note: '' };
const window: Lamp = { name: 'window', kind: 'daylight', note: 'north' };

function read(own: Partial<ReadingRecord>): ReadingRecord {
  return { ...reading, attempt: attempt.id, ...own };
}

describe('the lamps of the studio', () => {
  it('one that was only named is a lamp still; facts come beside the name', () => {
    const named = { ...settings, lamps: ['bench lamp', 'old lamp'] };
    const both = withLamp(named, bench);
    expect(lampsOf(both)).toEqual([bench, { name: 'old lamp' }]);
    expect(parseAs('settings', both).ok).toBe(true);
  });

  it('are renamed, chosen and deleted with what is known of them', () => {
    const three = withLamp(withLamp({ ...settings, lamps: [] }, bench), window);
    const renamed = withLamp(three, { ...window, name: 'north window' }, 'window');
    expect(renamed.lamps).toEqual(['bench lamp', 'north window']);
    expect(usingLamp(renamed, 'north window').lamps[0]).toBe('north window');
    const one = withoutLamp(renamed, 'bench lamp');
    expect(lampsOf(one)).toEqual([{ ...window, name: 'north window' }]);
  });

  it('say in words what is wrong with one', () => {
    const cold = { ...settings, lampFacts: [{ ...bench, kelvin: 200 }] };
    const parsed = parseAs('settings', cold);
    expect(parsed.ok ? '' : parsed.faults[0]).toMatch(
      /colour temperature of the lamp, K: must be at least 1500, but is “?200/,
    );
  });
});

describe('the same dab under two lamps', () => {
  const under = (lamp: string, da: number, at: string, film: 'wet' | 'dry' = 'dry') => {
    const { glazeLab } = reading;
    return read({
      id: `reading/J1/P1/A1/${at}` as ReadingRecord['id'],
      lamp,
      film,
      dabLab: labD65(glazeLab[0], glazeLab[1] + da, glazeLab[2]),
    });
  };

  it('the newest reading under each lamp is held against the lamp in use', () => {
    const pairs = lampPairs(
      [under('bench lamp', 0, 'a'), under('window', 1, 'b'), under('window', -4, 'c')],
      'bench lamp',
    );
    expect(pairs).toHaveLength(1);
    expect(pairs[0]!.first.lamp).toBe('bench lamp');
    expect(pairs[0]!.second.id).toMatch(/c$/);
    // Nothing but a* was moved, by −4.
    expect(pairs[0]!.across.change[1]).toBeCloseTo(-4, 1);
  });

  it('wet is not held against dry, a dab of no mix and a lamp of no name against nothing', () => {
    const noMix = { ...under('window', 1, 'd') };
    Reflect.deleteProperty(noMix, 'attempt');
    const lone = [
      under('bench lamp', 0, 'a', 'wet'),
      under('window', 1, 'b'),
      noMix,
      under('', 0, 'e'),
    ];
    expect(lampPairs(lone)).toEqual([]);
  });

  it('goes to the nudge for lamps whose kind is known, but the one in use', () => {
    const readings = [
      under('bench lamp', 0, 'a'),
      under('window', 1, 'b'),
      under('cellar', 2, 'c'),
    ];
    const lamps = otherLamps(readings, attempt.id, 'bench lamp', [bench, window]);
    expect(lamps).toEqual([
      {
        name: 'window',
        kind: 'daylight',
        glazeLab: readings[1]!.glazeLab,
        dabLab: readings[1]!.dabLab,
      },
    ]);
    expect(otherLamps(readings, undefined, 'bench lamp', [bench, window])).toEqual([]);
  });
});

describe('the light of the session', () => {
  function session() {
    const store = new Store<BenchState>({ ...INITIAL, settings });
    let ms = 0;
    new LightWatch(store, () => ms).begin();
    const burn = (minutes: number, light: readonly [number, number, number]) => {
      const end = ms + minutes * 60_000;
      for (; ms < end; ms += 500) {
        store.set({
          live: {
            tile: undefined,
            tileFound: true,
            tileLevel: 0.8,
            tileLight: light,
            settled: 1,
            framesAveraged: 30,
            moving: false,
            result: undefined,
          },
        });
      }
      return store.state.drift;
    };
    return { store, burn };
  }

  it('a lamp switched on is told, and a reading keeps it', () => {
    const { burn } = session();
    expect(burn(1, [0, 0, 0]).kind).toBe('steady');
    const drift = burn(1, [0.4, 0.05, -0.05]);
    expect(drift.kind).toBe('step');
    const { kind, light, red, blue } = drift;
    const parsed = parseAs('reading', { ...reading, drift: { kind, light, red, blue } });
    expect(parsed.ok).toBe(true);
  });

  it('another lamp chosen begins anew', () => {
    const { store, burn } = session();
    burn(1, [0, 0, 0]);
    burn(1, [0.4, 0, 0]);
    store.set({ settings: { ...settings, lamps: ['another lamp'] } });
    const after: Drift = burn(1, [0.4, 0, 0]);
    expect(after.kind).toBe('steady');
  });
});

describe('the lamp a profile is made under', () => {
  it('has the chromaticity of its kind and temperature: CIE 15, D65 within what 4 K make', () => {
    const daylight: Lamp = { ...window, kelvin: 6500 };
    const { x, y, kelvin } = lampMadeUnder({ lampFacts: [bench, daylight] }, 'window')!;
    expect(kelvin).toBe(6500);
    expect(x).toBeCloseTo(0.3127, 3);
    expect(y).toBeCloseTo(0.329, 3);
  });

  it('is none where the temperature is not known, or the lamp has only a name', () => {
    expect(lampMadeUnder({ lampFacts: [window] }, 'window')).toBeUndefined();
    expect(lampMadeUnder({}, 'old lamp')).toBeUndefined();
  });
});
