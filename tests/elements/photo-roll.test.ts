// @vitest-environment happy-dom
/** Several photographs at once: opened one by one, what is broken named, stepped through, cancelled. */
import { expect, test, vi } from 'vitest';
import type { Photo, PhotoFailure } from '../../src/camera/photo.ts';
import { INITIAL, type BenchState } from '../../src/ui/state/bench-state.ts';
import { Feeds } from '../../src/ui/state/feeds.ts';
import { PhotoRoll } from '../../src/ui/state/photo-roll.ts';
import { Store } from '../../src/ui/state/store.ts';
import type { Tools } from '../../src/ui/state/tools.ts';

const SIZE = { width: 4, height: 3 };
const file = (name: string) => new File(['bytes'], name);
const photoOf = (name: string, size = SIZE): Photo => ({
  ok: true,
  name,
  bits: 16,
  notes: [],
  picture: {
    ...size,
    rgba: new Uint16Array(4 * size.width * size.height),
    maxCode: 65535,
    frames: 1,
  },
});
const broken = (name: string): PhotoFailure => ({
  ok: false,
  reason: 'damaged',
  message: `${name} is damaged.`,
  remedy: 'Copy it again.',
});

/** A roll on a bench whose decoder answers when the test lets it. */
function bench(answers: (name: string) => Photo | PhotoFailure = photoOf) {
  const store = new Store<BenchState>(INITIAL);
  const waiting: { name: string; let: () => void }[] = [];
  const photoFromFile = vi.fn((one: Blob & { readonly name?: string }) => {
    const name = one.name!;
    return new Promise<Photo | PhotoFailure>((resolve) => {
      waiting.push({ name, let: () => resolve(answers(name)) });
    });
  });
  const cameras = { photoFromFile };
  const feeds = new Feeds(store, { cameras } as unknown as Tools);
  const openPhoto = vi.fn(async (one: File) => {
    await feeds.openPhoto(one);
  });
  const showPhoto = (photo: Photo, one: File) => {
    feeds.showPhoto(photo, one);
    return Promise.resolve();
  };
  const roll = new PhotoRoll({ openPhoto, showPhoto }, store, cameras);
  const next = async () => {
    await vi.waitFor(() => expect(waiting.length).toBeGreaterThan(0));
    waiting.shift()!.let();
  };
  return { store, roll, next, photoFromFile, openPhoto };
}

const NAMES = ['one.tif', 'two.heic', 'three.dng'];
const isBroken = (name: string) => (name === 'two.heic' ? broken(name) : photoOf(name));

test('they open one by one; the first is shown at once; the broken one is named and the others go on', async () => {
  const { store, roll, next } = bench(isBroken);
  const opened = roll.open(NAMES.map(file));
  expect(roll.store.state).toMatchObject({ opening: true, at: undefined });
  await next();
  await vi.waitFor(() =>
    expect(store.state.feed).toMatchObject({ kind: 'photo', status: 'running' }),
  );
  expect(store.state.feed.label).toContain('one.tif');
  expect(roll.store.state.items.map(({ state }) => state)).toEqual([
    'opened',
    'waiting',
    'waiting',
  ]);
  await next();
  await next();
  await opened;
  expect(roll.store.state).toMatchObject({ opening: false, at: 0 });
  expect(roll.store.state.items.map(({ state }) => state)).toEqual(['opened', 'failed', 'opened']);
  expect(roll.store.state.items[1]!.why).toBe('two.heic is damaged. Copy it again.');
  expect(store.state.trouble).toBeUndefined();
});

test('a step passes over the broken one and keeps what was pointed at', async () => {
  const { store, roll, next, photoFromFile } = bench(isBroken);
  const opened = roll.open(NAMES.map(file));
  for (let i = 0; i < 3; i += 1) await next();
  await opened;
  const dab = { x: 2, y: 1, radius: 1 };
  const glaze = { x: 1, y: 2, radius: 1 };
  const tile = [
    { x: 0, y: 0 },
    { x: 1, y: 0 },
    { x: 1, y: 1 },
  ];
  store.set({ dab, glaze, tile, target: 'glaze' });
  expect([roll.neighbour(-1), roll.neighbour(1)]).toEqual([undefined, 2]);
  await roll.step(1);
  expect(roll.store.state.at).toBe(2);
  expect(store.state.feed.label).toContain('three.dng');
  expect(store.state).toMatchObject({ dab, glaze, tile, target: 'glaze', held: undefined });
  // Its pixels were still at hand.
  expect(photoFromFile).toHaveBeenCalledTimes(3);
  await roll.step(1);
  expect(roll.store.state.at).toBe(2);
  await roll.step(-1);
  expect(roll.store.state.at).toBe(0);
});

test('in a picture of another size the places are no longer those', async () => {
  const { store, roll, next } = bench((name) =>
    name === 'three.dng' ? photoOf(name, { width: 8, height: 6 }) : photoOf(name),
  );
  const opened = roll.open(NAMES.map(file));
  for (let i = 0; i < 3; i += 1) await next();
  await opened;
  store.set({ dab: { x: 2, y: 1, radius: 1 } });
  await roll.step(1);
  expect(store.state.dab).toBeDefined();
  await roll.step(1);
  expect(store.state.dab).toBeUndefined();
});

test('cancelled, what is open stays and what is not is left out', async () => {
  const { roll, next, photoFromFile } = bench();
  const opened = roll.open(NAMES.map(file));
  await next();
  await vi.waitFor(() => expect(photoFromFile).toHaveBeenCalledTimes(2));
  roll.cancel();
  await next();
  await opened;
  expect(roll.store.state).toMatchObject({ opening: false, at: 0 });
  expect(roll.store.state.items.map(({ file: { name } }) => name)).toEqual(['one.tif']);
  expect(photoFromFile).toHaveBeenCalledTimes(2);
});

test('large pictures are not all kept: an old one is decoded again', async () => {
  // 60 megapixels of 16 bits are 480 MB: no second one fits beside it.
  const large = (name: string): Photo => {
    const photo = photoOf(name);
    const rgba = Object.defineProperty(new Uint16Array(4), 'byteLength', { value: 480e6 });
    return { ...photo, picture: { ...photo.picture, rgba } };
  };
  const { roll, next, photoFromFile } = bench(large);
  const opened = roll.open(NAMES.map(file));
  for (let i = 0; i < 3; i += 1) await next();
  await opened;
  const stepped = roll.step(1);
  await next();
  await stepped;
  expect(photoFromFile).toHaveBeenCalledTimes(4);
  expect(roll.store.state.at).toBe(1);
});

test('one alone is no roll, none is nothing, and the camera ends it', async () => {
  const { store, roll, next, openPhoto } = bench();
  const alone = roll.open([file('one.tif')]);
  await next();
  await alone;
  expect(openPhoto).toHaveBeenCalledOnce();
  expect(roll.store.state.items).toEqual([]);

  const opened = roll.open(NAMES.map(file));
  for (let i = 0; i < 3; i += 1) await next();
  await opened;
  await roll.open([]);
  expect(roll.store.state.items).toHaveLength(3);
  store.set(({ feed }) => ({ feed: { ...feed, kind: 'camera' } }));
  expect(roll.store.state.items).toEqual([]);
});
