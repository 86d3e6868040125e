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

test('a paint chosen while the demo bench lays the one before is what lies there in the end', async () => {
  let refuse: () => void = () => expect.fail('nothing is being laid');
  const refused = new Promise<{ ok: false; message: string }>((resolve) => {
    refuse = () => {
      resolve({ ok: false, message: 'no such paint' });
    };
  });
  const layOnTile = vi.fn(() => Promise.resolve({ ok: true })).mockReturnValueOnce(refused);
  const demo = {
    ok: true,
    kind: 'demo',
    scene: {},
    stop: vi.fn(),
    layOnTile,
    stream: {},
    ended: new Promise(() => undefined),
  } as unknown as DemoBench;
  const feeds = new Feeds(new Store<BenchState>(INITIAL), {
    cameras: {
      openDemo: () => Promise.resolve(demo),
      frameSource: () => ({}),
    },
    bench: {
      start: () => Promise.resolve(),
      follow: () => Promise.resolve(),
    },
  } as unknown as Tools);

  await feeds.layOnTile({ blue: 1 });
  const opened = feeds.openDemo();
  await vi.waitFor(() => expect(layOnTile).toHaveBeenCalledOnce());
  const chosen = feeds.layOnTile({ red: 1 });
  // What the one before came to is of no interest any more: it does not take the new one off.
  refuse();
  await opened;
  expect(await chosen).toBeUndefined();
  expect(layOnTile.mock.calls).toEqual([[{ blue: 1 }], [{ red: 1 }]]);
});
