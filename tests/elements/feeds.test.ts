// @vitest-environment happy-dom
/** The picture on the bench: what is asked for last is what is shown. */
import { expect, test, vi } from 'vitest';
import type { DemoBench } from '../../src/camera/demo.ts';
import type { Photo } from '../../src/camera/photo.ts';
import type { LiveState } from '../../src/link/bench-client.ts';
import { firstSettings } from '../../src/job/settings.ts';
import { DEFAULT_TILE } from '../../src/reading/settings.ts';
import { BenchSession } from '../../src/ui/state/bench-session.ts';
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

const SETTINGS = firstSettings({ name: 'Tile', ...DEFAULT_TILE }, new Date(0));

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

test('a photograph that takes its time is said to be opening; what the one before lacked is said no more', async () => {
  let decode: () => void = () => expect.fail('nothing is being opened');
  const decoded = new Promise<Photo>((resolve) => {
    decode = () => {
      resolve(PHOTO);
    };
  });
  const store = new Store<BenchState>({ ...INITIAL, trouble: 'plan.pdf is a PDF.' });
  const feeds = new Feeds(store, {
    cameras: { photoFromFile: () => decoded },
  } as unknown as Tools);
  const opened = feeds.openPhoto(new File([], 'large.tif'));
  expect(store.state).toMatchObject({
    notice: { text: 'Opening large.tif.' },
    trouble: undefined,
  });
  decode();
  expect(await opened).toBe(true);
  expect(store.state.notice).toBeUndefined();
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

test('a photograph brought before the records are open is not taken away by the demo bench', async () => {
  let open: () => void = () => expect.fail('the records are not asked for');
  const openDemo = vi.fn();
  const store = new Store<BenchState>(INITIAL);
  const session = new BenchSession(store, {
    cameras: {
      openDemo,
      photoFromFile: () => Promise.resolve(PHOTO),
      listCameras: () => Promise.resolve([]),
      onCamerasChanged: () => undefined,
    },
    bench: { findTile: () => Promise.resolve(undefined) },
    records: {
      settings: () => new Promise((resolve) => (open = () => resolve(SETTINGS))),
      openLast: () =>
        Promise.resolve({ place: undefined, palette: undefined, mixes: [], readings: [] }),
      onChange: () => undefined,
    },
  } as unknown as Tools);

  const begun = session.begin();
  await session.openPhoto(new Blob([]));
  open();
  await begun;
  expect(store.state.trouble).toBeUndefined();
  expect(openDemo).not.toHaveBeenCalled();
  expect(store.state.feed).toMatchObject({ kind: 'photo', status: 'running', label: 'plate.png' });
});

test('frames that were under way when a dab was laid are not taken for the new dab, however late they come', async () => {
  let now = 0;
  const clock = vi.spyOn(performance, 'now').mockImplementation(() => now);
  let report: (live: LiveState) => void = () => expect.fail('nothing follows');
  const demo = {
    ok: true,
    kind: 'demo',
    scene: {},
    stop: vi.fn(),
    setPot: () => Promise.resolve({ ok: true }),
    stream: {},
    ended: new Promise(() => undefined),
  } as unknown as DemoBench;
  const store = new Store<BenchState>(INITIAL);
  const feeds = new Feeds(store, {
    cameras: { openDemo: () => Promise.resolve(demo), frameSource: () => ({}) },
    bench: {
      start: () => Promise.resolve(),
      follow: (_: unknown, show: typeof report) => {
        report = show;
        return new Promise(() => undefined);
      },
    },
  } as unknown as Tools);
  const frame = (settled: number) => report({ settled, moving: false } as LiveState);

  try {
    await feeds.openDemo();
    await vi.waitFor(() => frame(1));
    expect(store.state.live?.settled).toBe(1);
    await feeds.layDabAfter(() => Promise.resolve());
    now = 60_000;
    // One that is worked on, one that waits on either side, one on its way.
    for (let late = 0; late < 4; late += 1) frame(1);
    expect(store.state.live).toBeUndefined();
    frame(0.1);
    expect(store.state.live?.settled).toBe(0.1);
  } finally {
    clock.mockRestore();
  }
});
