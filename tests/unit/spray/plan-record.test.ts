/** A spray plan as it is worked off, what the record says of it, a jar's days and what is left in it. */
import { describe, expect, test } from 'vitest';
import { daysLeft, leftIn, takeFault, withoutUse, withUse } from '../../../src/job/jar.ts';
import { parseAs } from '../../../src/job/records.ts';
import { treatmentReport } from '../../../src/job/report.ts';
import { sprayCsv } from '../../../src/job/spray-csv.ts';
import {
  coatsDone,
  mapSinceLastStep,
  nextStepOf,
  paintAtHand,
  paintWanted,
  withStepDone,
  withStepOpen,
} from '../../../src/job/spray-plan.ts';
import * as example from '../job-examples.ts';

const { job, piece, area, attempt, palette, reading, map, picture, plan, jar } = example;
const at = '2026-03-02T11:00:00.000Z';

describe('a plan', () => {
  test('is done step by step, and a step is opened again', () => {
    expect(nextStepOf(plan)).toBe(2);
    expect(coatsDone(plan)).toBe(0);
    const done = withStepDone(plan, 2, { at, map: map.id, note: 'even' });
    expect(nextStepOf(done)).toBe(-1);
    expect(coatsDone(done)).toBe(1);
    expect(parseAs('plan', done).ok).toBe(true);
    const open = withStepOpen(done, 2);
    expect(open.steps[2]).toEqual({ kind: 'coat', coat: 2, note: 'even' });
    expect(open.steps.slice(0, 2)).toEqual(plan.steps.slice(0, 2));
  });
  test('with more than a tenth of medium, or no area, is no record', () => {
    for (const part of [{ mediumPercent: 10.5 }, { areaCm2: 0 }, { coats: 0 }]) {
      const parsed = parseAs('plan', { ...plan, ...part });
      expect(parsed.ok ? [] : parsed.faults).toHaveLength(1);
    }
  });
  test('stands with its area in the treatment record', () => {
    const rest = { maps: [map], palettes: [palette], pictures: [picture] };
    const source = { job, piece, areas: [area], attempts: [attempt], readings: [reading], ...rest };
    expect(treatmentReport({ ...source, plans: [plan] }).areas[0]!.plans).toEqual([plan]);
    expect(treatmentReport(source).areas[0]!.plans).toEqual([]);
  });
});

test('a jar counts whole days, and below zero once it is over', () => {
  expect(daysLeft(jar, new Date('2026-04-30T08:00:00Z'))).toBe(1);
  expect(daysLeft(jar, new Date('2026-05-01T10:00:00Z'))).toBe(-1);
});

describe('a jar that is used', () => {
  // 3.1 g were put in.
  const once = withUse(jar, { at, grams: 1.2, what: 'ground' });
  const twice = withUse(once, { at: '2026-03-03T11:00:00.000Z', grams: 0.4, what: '' });
  test('holds what is left, to the gram', () => {
    expect(leftIn(jar)).toBe(3.1);
    expect(leftIn(once)).toBe(1.9);
    expect(leftIn(twice)).toBe(1.5);
    expect(leftIn(withUse(twice, { at, grams: 1.5, what: '' }))).toBe(0);
    expect(parseAs('jar', twice).ok).toBe(true);
  });
  test('gives no more than is left, and nothing is no use', () => {
    expect(takeFault(twice, 1.5)).toBeUndefined();
    expect(takeFault(twice, 1.51)).toBe('is more than the 1.5 g that are left');
    for (const nothing of [0, -1, NaN]) expect(takeFault(jar, nothing)).toMatch(/more than 0/);
    expect(() => withUse(twice, { at, grams: 9, what: '' })).toThrow(RangeError);
  });
  test('a use taken back leaves it as it was', () => {
    expect(withoutUse(twice, { at: '2026-03-03T11:00:00.000Z' })).toEqual(once);
    expect(withoutUse(once, { at })).toEqual(jar);
    expect(withoutUse(jar, { at })).toEqual(jar);
  });
});

test('paint from the shelf counts to what is at hand', () => {
  const from = { ...plan, fromShelf: [{ at, label: 'Pale blue', grams: 0.75 }] };
  expect(paintAtHand(from) - paintAtHand(plan)).toBeCloseTo(0.75, 9);
  expect(parseAs('plan', from).ok).toBe(true);
});

test('what is wanted from the shelf is what is missing, rounded up: it must be enough', () => {
  // 0.41 g of colour and 0.02 g of medium are at hand.
  expect(paintWanted({ ...plan, paintGrams: 2.011 })).toBe(1.59);
  expect(paintWanted(plan)).toBe(plan.paintGrams);
});

test('a look is recorded with the newest map saved since the last step, and with none twice', () => {
  const saved = (minute: number) => ({
    id: `map/J1/P1/A1/M${minute}` as const,
    createdAt: `2026-03-02T10:${minute}:00.000Z`,
  });
  const [before, after, newest] = [saved(20), saved(40), saved(50)];
  expect(mapSinceLastStep(plan, [before])).toBeUndefined();
  expect(mapSinceLastStep(plan, [before, after, newest])).toBe(newest);
  const given = plan.steps.map((step) => (step.map ? { ...step, map: newest.id } : step));
  expect(mapSinceLastStep({ steps: given }, [before, after, newest])).toBe(after);
});

test('the spray plan as a table: a row for each step, RFC 4180', () => {
  const text = sprayCsv({
    pieces: [piece],
    areas: [area],
    plans: [{ ...plan, note: 'a "second", lighter pass' }],
  });
  const lines = text.replace('\ufeff', '').trimEnd().split('\r\n');
  expect(lines).toHaveLength(1 + plan.steps.length);
  const [head, first] = lines;
  expect(head).toMatch(/^planned \(UTC\),piece,area,step,kind of step,coat,done \(UTC\)/);
  expect(first).toContain(`${piece.name},${area.name},1,${plan.steps[0]!.kind}`);
  expect(first).toContain('"a ""second"", lighter pass"');
  expect(text).toContain(plan.brush.name);
});
