/** What a record says of the bench it was made on, a reading's and a map's alike. */
import { expect, test } from 'vitest';
import type { Drift } from '../../src/reading/drift.ts';
import { firstSettings } from '../../src/job/settings.ts';
import { DEFAULT_TILE } from '../../src/reading/settings.ts';
import { INITIAL, type BenchState } from '../../src/ui/state/bench-state.ts';
import { shotContext } from '../../src/ui/state/reading-settings.ts';
import { area, job, piece } from '../unit/job-examples.ts';

const drift: Drift = { kind: 'step', light: -0.2, red: 0.01, blue: 0 };
const bench: BenchState = {
  ...INITIAL,
  settings: firstSettings({ name: 'Tile', ...DEFAULT_TILE }, new Date(0)),
  place: { job, piece, area },
  drift,
};

test('the light’s drift goes into the record of what is taken live, not of a photograph', () => {
  const feed = (kind: 'camera' | 'demo' | 'photo'): BenchState => ({
    ...bench,
    feed: { ...INITIAL.feed, kind },
  });
  expect(shotContext(feed('camera'))?.drift).toBe(drift);
  expect(shotContext(feed('demo'))?.drift).toBe(drift);
  expect(shotContext(feed('photo'))).not.toHaveProperty('drift');
});
