/**
 * A small run of the evaluation with fixed seeds: what the readings reached must not be lost. The bounds
 * are the design's where they are reached, and else between what is measured and the next worse;
 * `npm run evaluate` prints the whole table.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { evaluateReadings, type ReadingsReport } from '../evaluate/readings.ts';
import { covered, mean } from '../evaluate/figures.ts';

describe('rendered benches, cameras and lamps the reader was not tuned on', () => {
  let report: ReadingsReport;
  beforeAll(async () => {
    report = await evaluateReadings({ scenes: 24, part: 'judge', seed: 1, quiet: true });
  }, 300_000);
  const general = () => report.outcomes.filter(({ kind }) => kind !== 'fault');

  test('a fault is refused, with its remedy', () => {
    const faults = report.outcomes.filter(({ kind }) => kind === 'fault');
    expect(faults.length).toBeGreaterThanOrEqual(16);
    expect(faults.filter(({ answer }) => answer)).toEqual([]);
    expect(faults.every(({ remedies }) => remedies)).toBe(true);
  });

  test('a highlight on the dab is refused or read within 0.9', () => {
    const lit = general().filter(({ kind, answer }) => kind === 'highlight' && answer);
    expect(lit.filter(({ answer }) => answer!.error > 0.9)).toEqual([]);
  });

  test('ordinary scenes are read, three of four at the least', () => {
    const ordinary = general().filter(({ kind }) => kind === 'ordinary');
    expect(ordinary.length).toBeGreaterThanOrEqual(12);
    expect(ordinary.filter(({ answer }) => answer).length).toBeGreaterThanOrEqual(
      0.75 * ordinary.length,
    );
  });

  test('same pigments: within 0.5 in the mean, and three times better than means of patches', () => {
    const same = general().filter(
      ({ kind, pigments, answer }) => kind === 'ordinary' && pigments === 'same' && answer,
    );
    const missed = same.map(({ answer, true: t }) => Math.abs(answer!.deltaE00 - t.deltaE00));
    const patches = same.flatMap(({ baseline, true: t }) =>
      baseline ? [Math.abs(baseline.deltaE00 - t.deltaE00)] : [],
    );
    expect(mean(missed)).toBeLessThanOrEqual(0.5);
    expect(mean(missed)).toBeLessThanOrEqual(mean(patches) / 3);
  });

  test('intervals hold the truth, four of five at the least', () => {
    const answered = general().filter(({ answer }) => answer);
    expect(answered.filter(covered).length).toBeGreaterThanOrEqual(0.8 * answered.length);
  });

  test('a moving camera and a changed lamp are refused', () => {
    expect(report.films.length).toBeGreaterThanOrEqual(2);
    for (const { moving, lamp } of report.films) {
      expect(moving).toMatchObject({ said: true, numbers: 0 });
      expect(lamp).toMatchObject({ said: true, numbers: 0 });
    }
  });
});
