/** Which mix the second of a pair starts from: by the rule of `startingMix`, on readings made up for it. */
import { expect, test } from 'vitest';
import type { ReadingRecord } from '../../src/job/reading-record.ts';
import type { Attempt } from '../../src/job/records.ts';
import { startingMix } from '../../src/job/starting-mix.ts';
import { attempt as anyAttempt, reading as anyReading } from './job-examples.ts';

const mix = (n: number): Attempt => ({ ...anyAttempt, id: `attempt/J1/P1/A1/T${n}` });
let readings = 0;
const read = (
  of: Attempt,
  verdict: 'blends' | 'shows' | 'unsure',
  deltaE00: number,
  film: ReadingRecord['film'] = 'wet',
): ReadingRecord => ({
  ...anyReading,
  id: `reading/J1/P1/A1/R${(readings += 1)}`,
  attempt: of.id,
  film,
  verdict: { acceptable: verdict, imperceptible: 'unsure' },
  difference: {
    ...anyReading.difference,
    deltaE00,
    interval95: [Math.max(0, deltaE00 - 0.5), deltaE00 + 0.5],
  },
});
const [one, two, three] = [mix(1), mix(2), mix(3)] as const;
const all = [one, two, three];

test('the last that blended goes before a later one that shows, and before an earlier one that blended', () => {
  const start = startingMix(
    [read(one, 'blends', 0.4), read(two, 'blends', 0.9), read(three, 'shows', 3)],
    all,
    1.8,
  );
  expect(start?.attempt).toBe(two);
  expect(start?.blends).toBe(true);
  expect(start?.told?.number).toBe(2);
});

test('what blended dry goes before what blended wet later', () => {
  const start = startingMix([read(one, 'blends', 1, 'dry'), read(two, 'blends', 0.3)], all, 1.8);
  expect(start?.attempt).toBe(one);
});

test('what blended wet and shows dry did not blend', () => {
  const dry = read(two, 'shows', 2.6, 'dry');
  const start = startingMix([read(one, 'blends', 1.1), read(two, 'blends', 0.3), dry], all, 1.8);
  expect(start?.attempt).toBe(one);
});

test('a mix read twice alike is judged by its newest reading', () => {
  const start = startingMix([read(one, 'shows', 2.4), read(one, 'blends', 0.8)], all, 1.8);
  expect(start?.blends).toBe(true);
  expect(start?.told?.number).toBe(2);
});

test('when none blended the nearest is taken, and it is said that it does not blend', () => {
  const start = startingMix(
    [read(one, 'shows', 5), read(two, 'unsure', 2.1), read(three, 'shows', 3)],
    all,
    1.8,
  );
  expect(start?.attempt).toBe(two);
  expect(start?.blends).toBe(false);
});

test('by another threshold than the readings had, the whole interval must lie below it', () => {
  const within = startingMix([read(one, 'shows', 2), read(two, 'shows', 3.2)], all, 2.5);
  expect(within?.attempt).toBe(one);
  expect(within?.blends).toBe(true);
  // Blends by 1.8, and by 1 no longer surely.
  expect(startingMix([read(one, 'blends', 0.7)], all, 1)?.blends).toBe(false);
});

test('without a reading the newest mix is taken; without a mix there is none', () => {
  const start = startingMix([], all, 1.8);
  expect(start).toEqual({ attempt: three, blends: false });
  expect(startingMix([], [], 1.8)).toBeUndefined();
});
