import { describe, expect, it } from 'vitest';
import { hazardOf } from '../../src/paint/hazards.ts';
import { calibrateDose, GRAM, inUnit, potAfter, potMass, takenOut } from '../../src/paint/pot.ts';

describe('the pot', () => {
  it('sums and adds', () => {
    const pot = { white: 5, blue: 0.05 };
    expect(potMass(pot)).toBeCloseTo(5.05, 12);
    expect(potAfter(pot, { blue: 0.02, black: 0.003 })).toEqual({
      white: 5,
      blue: 0.07,
      black: 0.003,
    });
    expect(pot).toEqual({ white: 5, blue: 0.05 });
  });
});

describe('doses', () => {
  it('finds the mass of a drop and its spread from ten drops on the scale, three times', () => {
    // Ten drops weighed 0.48, 0.50 and 0.52 g: mean 0.50, standard deviation 0.02; one drop is 0.05 g
    // and scatters by 0.02/√10 = 0.00632 g, which is 12.6 % of it.
    const drop = calibrateDose('drop', [0.48, 0.5, 0.52], 10);
    expect(drop.grams).toBeCloseTo(0.05, 12);
    expect(drop.spread).toBeCloseTo(0.1265, 4);
    expect(calibrateDose('touch', [0.03], 10)).toEqual({ name: 'touch', grams: 0.003 });
  });

  it('counts as a hand does', () => {
    const drop = calibrateDose('drop', [0.5], 10);
    const touch = calibrateDose('touch', [0.03], 10);
    expect(inUnit(0.0123, GRAM)).toBe('0.0123 g');
    expect(inUnit(0.16, drop)).toBe('3 drops');
    expect(inUnit(0.05, drop)).toBe('1 drop');
    expect(inUnit(0.0062, touch)).toBe('2 touches');
    expect(inUnit(0.01, drop)).toBe('less than one drop');
  });

  it('refuses what was not weighed', () => {
    expect(() => calibrateDose('drop', [], 10)).toThrow(/weigh 10 drops: nothing g is not a mass/);
    expect(() => calibrateDose('drop', [0.5, -1], 10)).toThrow(/-1 g is not a mass/);
    expect(() => calibrateDose('touch', [0.5], 0)).toThrow(/give a whole number/);
  });
});

describe('hazards by Colour Index name', () => {
  // Constitutions of the Colour Index, from memory.
  it.each([
    ['PY 35', 'cadmium'],
    ['PR 108', 'cadmium'],
    ['PB 28', 'cobalt'],
    ['PW 1', 'lead'],
    ['PY 34', 'lead and chromate'],
    ['PY 53', 'nickel'],
    ['pg50', 'cobalt and nickel'],
    ['PY 35:1', 'cadmium'],
  ])('%s contains %s', (name, contains) => {
    expect(hazardOf(name)).toMatchObject({ contains });
    expect(hazardOf(name)!.caution).toMatch(/not for spraying/);
  });

  it.each(['PW 6', 'PB 29', 'PY 42', 'PBk 7', undefined])('%s is not flagged', (name) => {
    expect(hazardOf(name)).toBeUndefined();
  });
});

it('what is taken out of a pot has its ratios, and is no more than the pot holds', () => {
  const pot = { white: 3, blue: 1, black: 0 };
  expect(takenOut(pot, 2)).toEqual({ white: 1.5, blue: 0.5 });
  expect(takenOut(pot, 9)).toEqual({ white: 3, blue: 1 });
});
