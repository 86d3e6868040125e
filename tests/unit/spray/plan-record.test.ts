/** A spray plan as it is worked off, what the record says of it, and a jar's days. */
import { describe, expect, test } from 'vitest';
import { daysLeft } from '../../../src/job/jar.ts';
import { parseAs } from '../../../src/job/records.ts';
import { treatmentReport } from '../../../src/job/report.ts';
import { coatsDone, nextStepOf, withStepDone, withStepOpen } from '../../../src/job/spray-plan.ts';
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
