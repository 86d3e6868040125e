// @vitest-environment happy-dom
/** The picture on the bench: what is asked for last is what is shown. */
import { expect, test, vi } from 'vitest';
import type { DemoBench } from '../../src/camera/demo.ts';
import type { Photo } from '../../src/camera/photo.ts';
import { INITIAL, type BenchState } from '../../src/ui/state/bench-state.ts';
import { Feeds } from '../../src/ui/state/feeds.ts';
import { Store } from '../../src/ui/state/store.ts';
import type { Tools } from '../../src/ui/state/tools.ts';

const PHOTO = {
  ok: true,
  name: 'plate.png',
  bits: 8,
  notes: [],
  picture: { width: 4, height: 3 },
} as unknown as Photo;

test('a photograph brought while the demo bench lays its dab stays, and the demo bench ends', async () => {
  let lay: () => void = () => expect.fail('nothing is being laid');
  const stop = vi.fn();
  const setPot = vi.fn(
    () =>
      new Promise<{ ok: true }>((resolve) => {
        lay = () => {
          resolve({ ok: true });
        };
      }),
  );
  const demo = { ok: true, kind: 'demo', scene: {}, stop, setPot } as unknown as DemoBench;
  const store = new Store<BenchState>(INITIAL);
  const feeds = new Feeds(store, {
    cameras: {
      openDemo: () => Promise.resolve(demo),
      photoFromFile: () => Promise.resolve(PHOTO),
    },
  } as unknown as Tools);

  const opened = feeds.openDemo();
  await vi.waitFor(() => expect(setPot).toHaveBeenCalled());
  expect(await feeds.openPhoto(new Blob([]))).toBe(true);
  lay();
  expect(await opened).toBeUndefined();
  expect(stop).toHaveBeenCalledOnce();
  expect(store.state.feed).toMatchObject({ kind: 'photo', status: 'running', label: 'plate.png' });
  expect(feeds.photo).toBe(PHOTO);
});
