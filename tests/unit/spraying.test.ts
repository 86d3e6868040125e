/** Steps of a spray plan, ticked on the store itself. */
import { expect, test } from 'vitest';
import type { BenchRecords } from '../../src/ui/state/bench-records.ts';
import { Spraying } from '../../src/ui/state/spraying.ts';
import { area, palette, plan } from './job-examples.ts';
import { newStore } from './store-fixture.ts';

test('a step ticked twice in one moment is done once: the paint is bound into one mix', async () => {
  const store = await newStore();
  const open = { ...plan, steps: plan.steps.map(({ kind }) => ({ kind, note: '' })) };
  await store.put(open);
  const index = open.steps.findIndex(({ kind }) => kind === 'bind');
  expect(index).toBeGreaterThanOrEqual(0);
  const spraying = new Spraying(store, {} as BenchRecords);
  const tick = () => spraying.stepDone(open, { index, note: '' }, [], [], palette.id);
  // The second before the first is kept.
  expect(await Promise.all([tick(), tick()])).toEqual([true, false]);
  expect(await store.list('attempt', area.id)).toHaveLength(1);

  // Opened again and done again, it is the same mix.
  const [bound] = await store.list('attempt', area.id);
  await spraying.stepOpen(open.id, index);
  expect(await tick()).toBe(false);
  expect(await store.list('attempt', area.id)).toEqual([bound]);
  const [now] = await store.list('plan', area.id);
  expect(now?.attempt).toBe(bound!.id);
  expect(now?.steps[index]?.at).toBeDefined();
});
