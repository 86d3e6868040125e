/** A saved reading is deleted from its own screen, and brought back at the bench. */
import { beforeEach, expect, test, vi } from 'vitest';
import { INITIAL, type BenchState, type SavedReading } from '../../src/ui/state/bench-state.ts';
import { removeSaved } from '../../src/ui/state/removing.ts';
import type { Services } from '../../src/ui/state/services.ts';
import { Store } from '../../src/ui/state/store.ts';
import { map, reading } from '../unit/job-examples.ts';

const saved = (name: string): SavedReading => ({
  record: { ...reading, id: `reading/J1/P1/A1/${name}` },
  attempt: undefined,
});
const [first, second, later] = ['R1', 'R2', 'R3'].map(saved) as [
  SavedReading,
  SavedReading,
  SavedReading,
];

function bench() {
  const store = new Store<BenchState>({ ...INITIAL, readings: [first, second] });
  const restore = vi.fn(() => Promise.resolve());
  const records = { remove: () => Promise.resolve(restore) } as unknown as Services['records'];
  return { store, records, restore };
}
const shown = ({ state }: Store<BenchState>) => state.readings.map(({ record }) => record.id);

beforeEach(() => {
  vi.stubGlobal('location', { hash: '#/reading' });
  return () => vi.unstubAllGlobals();
});

test('it is gone from the bench, which says so and brings it back to its place', async () => {
  const { store, records, restore } = bench();
  await removeSaved({ store, records }, first.record.id, 'The reading is deleted.');
  expect(location.hash).toBe('#/bench');
  expect(shown(store)).toEqual([second.record.id]);
  expect(store.state.notice?.text).toBe('The reading is deleted.');

  store.set({ readings: [second, later] });
  await store.state.notice!.undo!();
  expect(restore).toHaveBeenCalledOnce();
  expect(shown(store)).toEqual([first, second, later].map(({ record }) => record.id));
  expect(store.state.notice).toBeUndefined();
});

test('a map takes no reading with it', async () => {
  const { store, records } = bench();
  await removeSaved({ store, records }, map.id, 'The blend map is deleted.');
  expect(shown(store)).toEqual([first.record.id, second.record.id]);
});

test('what cannot be deleted stays, and so does the screen', async () => {
  const { store } = bench();
  const records = {
    remove: () => Promise.reject(new Error('no room')),
  } as unknown as Services['records'];
  await expect(removeSaved({ store, records }, first.record.id, '')).rejects.toThrow('no room');
  expect(location.hash).toBe('#/reading');
  expect(shown(store)).toHaveLength(2);
});
