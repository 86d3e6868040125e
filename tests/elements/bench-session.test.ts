// @vitest-environment happy-dom
/** What the bench does by itself when what it stands on changes: the pot, or where one points. */
import { expect, test, vi } from 'vitest';
import type { DemoBench } from '../../src/camera/demo.ts';
import type { Attempt } from '../../src/job/records.ts';
import { firstSettings } from '../../src/job/settings.ts';
import type { LiveState } from '../../src/link/bench-client.ts';
import type { PotGrams } from '../../src/paint/types.ts';
import { DEFAULT_TILE } from '../../src/reading/settings.ts';
import type { OpenedArea } from '../../src/ui/state/bench-records.ts';
import { BenchSession } from '../../src/ui/state/bench-session.ts';
import { INITIAL, type BenchState, type Place } from '../../src/ui/state/bench-state.ts';
import { demoPalette } from '../../src/ui/state/demo-job.ts';
import { Store } from '../../src/ui/state/store.ts';
import type { Tools } from '../../src/ui/state/tools.ts';
import { area, attempt, job, piece } from '../unit/job-examples.ts';
import { aReading } from './readings.ts';

const palette = demoPalette('palette/demo', new Date(0));
const place: Place = { job, piece, area };
const mix = (own: string, pot: PotGrams): Attempt => ({
  ...attempt,
  id: `attempt/J1/P1/A1/${own}`,
  palette: palette.id,
  pot,
});

/** A bench with the demo bench on it, and hands on all that it works with. */
async function onDemoBench() {
  let opened: OpenedArea = { place, palette, mixes: [mix('T1', { white: 5 })], readings: [] };
  let changed: () => void = () => expect.fail('nobody listens');
  let report: (live: LiveState) => void = () => expect.fail('nothing follows');
  const laid: PotGrams[] = [];
  const demo = {
    ok: true,
    kind: 'demo',
    stream: { getVideoTracks: () => [] },
    width: 640,
    height: 480,
    scene: {
      dab: { x: 300, y: 200, radius: 12 },
      glaze: { x: 360, y: 200, radius: 12 },
      onTile: { x: 60, y: 60, radius: 12 },
    },
    ended: new Promise(() => undefined),
    stop: () => undefined,
    setPot: (pot: PotGrams) => {
      laid.push(pot);
      return Promise.resolve({ ok: true });
    },
  } as unknown as DemoBench;
  const readPicture = vi.fn<Tools['bench']['readPicture']>();
  const addMix = vi.fn<Tools['records']['addMix']>(async (_, __, pot) => {
    await Promise.resolve();
    const added = mix(`T${opened.mixes.length + 1}`, pot);
    opened = { ...opened, mixes: [...opened.mixes, added] };
    return added;
  });
  const remove = vi.fn<Tools['records']['remove']>(async (id) => {
    await Promise.resolve();
    opened = { ...opened, mixes: opened.mixes.filter((one) => one.id !== id) };
    return () => Promise.resolve();
  });
  const store = new Store<BenchState>(INITIAL);
  const session = new BenchSession(store, {
    cameras: {
      openDemo: () => Promise.resolve(demo),
      frameSource: () => ({}),
      listCameras: () => Promise.resolve([]),
      onCamerasChanged: () => undefined,
      photoFromFile: () =>
        Promise.resolve({
          ok: true,
          name: 'a',
          bits: 8,
          notes: [],
          picture: { width: 640, height: 480 },
        }),
    },
    bench: {
      start: () => Promise.resolve(),
      point: () => Promise.resolve(),
      findTile: () => Promise.resolve(undefined),
      readPicture,
      follow: (_: unknown, show: typeof report) => {
        report = show;
        return new Promise(() => undefined);
      },
    },
    records: {
      settings: () =>
        Promise.resolve(firstSettings({ name: 'Tile', ...DEFAULT_TILE }, new Date(0))),
      openLast: () => Promise.resolve(opened),
      openArea: () => Promise.resolve(opened),
      addMix,
      remove,
      onChange: (listener: () => void) => (changed = listener),
    },
  } as unknown as Tools);
  await session.begin();
  return {
    store,
    session,
    laid,
    readPicture,
    addMix,
    remove,
    report: (live: Partial<LiveState>) =>
      report({ settled: 1, moving: false, ...live } as LiveState),
    change: (part: Partial<OpenedArea>) => {
      opened = { ...opened, ...part };
      changed();
    },
  };
}

test('what another window adds to the pot lies on the demo bench here too, and only once', async () => {
  const { store, laid, report, change } = await onDemoBench();
  await vi.waitFor(() => report({ result: aReading() }));
  const [white] = palette.pigments.filter(({ isWhite }) => isWhite);
  expect(laid).toEqual([{ [white!.colourIndex!]: 5 }]);

  const mixes = [...store.state.mixes, mix('T2', { white: 6 })];
  change({ mixes });
  await expect.poll(() => laid).toHaveLength(2);
  expect(laid.at(-1)).toEqual({ [white!.colourIndex!]: 6 });
  expect(store.state.mixes).toEqual(mixes);
  // What was seen of the old dab counts no more.
  expect(store.state.live).toBeUndefined();

  // Another record of the same mix lays nothing.
  const readings: OpenedArea['readings'] = [];
  change({ readings });
  await expect.poll(() => store.state.readings).toBe(readings);
  expect(laid).toHaveLength(2);
});

test('what another window adds while this one reads or saves is taken in after that', async () => {
  const { store, laid, change } = await onDemoBench();
  const mixes = [...store.state.mixes, mix('T2', { white: 6 })];
  store.set({ busy: 'saving' });
  change({ mixes });
  await new Promise((resolve) => setTimeout(resolve));
  expect(store.state.mixes).toHaveLength(1);
  store.set({ busy: undefined });
  await expect.poll(() => store.state.mixes).toBe(mixes);
  await expect.poll(() => laid).toHaveLength(2);
});

test('pressed twice, an addition is in the pot once', async () => {
  const { store, session, addMix } = await onDemoBench();
  await Promise.all([session.added({ white: 1 }), session.added({ white: 1 })]);
  expect(addMix).toHaveBeenCalledTimes(1);
  expect(store.state.mixes.map(({ pot }) => pot)).toEqual([{ white: 5 }, { white: 6 }]);
  // The next one is another.
  await session.added({ white: 2 });
  expect(store.state.mixes.at(-1)?.pot).toEqual({ white: 8 });
});

test('pressed twice, one addition is taken back, and one statement of the pot is recorded', async () => {
  const { store, session, addMix, remove } = await onDemoBench();
  await session.added({ white: 1 });
  await session.added({ white: 2 });
  addMix.mockClear();
  await Promise.all([session.undo(), session.undo()]);
  expect(remove).toHaveBeenCalledTimes(1);
  expect(store.state.mixes.map(({ pot }) => pot)).toEqual([{ white: 5 }, { white: 6 }]);
  await Promise.all([session.statePot({ white: 3 }), session.statePot({ white: 3 })]);
  expect(addMix).toHaveBeenCalledTimes(1);
  expect(store.state.mixes.at(-1)?.pot).toEqual({ white: 3 });
});

test('what was outlined is not outlined once one points elsewhere, in a live picture or a photograph', async () => {
  const { store, session, report, readPicture } = await onDemoBench();
  await vi.waitFor(() => {
    report({ result: aReading() });
    expect(store.state.live?.result).toBeDefined();
  });
  void session.pointing.pointAt('dab', { x: 10, y: 470 });
  expect(store.state.live).toMatchObject({ settled: 1, result: undefined });

  readPicture.mockResolvedValue(aReading());
  await session.openPhoto(new Blob());
  await session.pointing.pointAt('dab', { x: 300, y: 200 });
  await session.pointing.pointAt('glaze', { x: 360, y: 200 });
  expect(store.state.live?.result).toBeDefined();
  const moved = session.pointing.pointAt('dab', { x: 10, y: 470 });
  expect(store.state.live?.result).toBeUndefined();
  await moved;
  expect(store.state.live?.result).toBeDefined();
});

test('a reading that overtakes the one for the view is seen in its place', async () => {
  const { store, session, readPicture } = await onDemoBench();
  readPicture.mockResolvedValue(aReading());
  await session.openPhoto(new Blob());
  await session.pointing.pointAt('dab', { x: 300, y: 200 });
  await session.pointing.pointAt('glaze', { x: 360, y: 200 });
  readPicture.mockResolvedValueOnce('superseded');
  await session.pointing.pointAt('dab', { x: 320, y: 200 });
  expect(store.state.live?.result).toBeUndefined();
  await session.readings.take();
  session.readings.letGo();
  expect(store.state.live?.result).toEqual(aReading());
});
