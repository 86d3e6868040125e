/** Paints read on the tile: what is kept, what is asked again, what comes to nothing. */
import { describe, expect, test } from 'vitest';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import type { Palette } from '../../src/job/records.ts';
import type { ReadingResult } from '../../src/reading/types.ts';
import { INITIAL, type BenchState } from '../../src/ui/state/bench-state.ts';
import { CharacterisingSession } from '../../src/ui/state/characterising.ts';
import { demoPalette } from '../../src/ui/state/demo-job.ts';
import type { Feeds } from '../../src/ui/state/feeds.ts';
import { Palettes } from '../../src/ui/state/palettes.ts';
import { Store } from '../../src/ui/state/store.ts';
import type { Tools } from '../../src/ui/state/tools.ts';
import { aReading } from './readings.ts';

const demo = demoPalette('palette/demo', new Date('2026-03-02T09:00:00.000Z'));
/** White, blue and black by name alone. */
const bare: Palette = {
  ...demo,
  pigments: demo.pigments
    .filter(({ id }) => ['white', 'blue', 'black'].includes(id))
    .map(({ id, name, colourIndex, isWhite }) => ({
      id,
      name,
      ...(colourIndex !== undefined && { colourIndex }),
      ...(isWhite && { isWhite }),
    })),
};

async function benchOf(palette: Palette) {
  const store = new Store<BenchState>({ ...INITIAL, palette });
  const records = {
    changePalette: (_: string, edit: (now: Palette) => Palette) =>
      Promise.resolve(edit(store.state.palette!)),
  };
  const onTile: unknown[] = [];
  const feeds = {
    layOnTile: (grams: unknown) => {
      onTile.push(grams);
      return Promise.resolve(undefined);
    },
  } as unknown as Feeds;
  let next: () => Promise<ReadingResult | undefined> = () => Promise.resolve(undefined);
  const pointing: string[] = [];
  const session = new CharacterisingSession(
    store,
    feeds,
    new Palettes(store, { records } as unknown as Tools),
    {
      pointOnTile: () => Promise.resolve(void pointing.push('tile')),
      pointOnPiece: () => Promise.resolve(void pointing.push('piece')),
    },
    { measure: () => next() },
  );
  await session.enter();
  const sees = (dabLab: LabD65) => {
    next = () => Promise.resolve(aReading({ dabLab }));
  };
  const read = async (lab: LabD65) => {
    sees(lab);
    await session.read();
  };
  const now = () => store.state.characterising!;
  const pigment = (id: string) => store.state.palette!.pigments.find((one) => one.id === id)!;
  return {
    store,
    session,
    onTile,
    pointing,
    read,
    now,
    pigment,
    when: (n: typeof next) => (next = n),
  };
}

const WHITE = labD65(95, 0, 0);
const MASSTONE = labD65(24, 24, -53);
const TINT = labD65(61, 4, -41);

describe('one key a reading', () => {
  test('keeps it, and goes on to the next: the white, then masstone and tint of each', async () => {
    const { read, now, pigment, onTile } = await benchOf(bare);
    expect(now()).toMatchObject({ pigment: 'white', step: 'masstone' });
    await read(WHITE);
    expect(now()).toMatchObject({ pigment: 'blue', step: 'masstone' });
    await read(MASSTONE);
    expect(now()).toMatchObject({ pigment: 'blue', step: 'tint' });
    await read(TINT);
    expect(now()).toMatchObject({ pigment: 'black', step: 'masstone' });
    expect(pigment('blue')).toMatchObject({
      masstone: MASSTONE,
      tint: { lab: TINT, pigment: 0.1, white: 0.9 },
      origin: 'read',
    });
    // What the demo bench lays there.
    expect(onTile).toContainEqual({ blue: 1 });
    expect(onTile).toContainEqual({ blue: 0.1, white: 0.9 });
  });

  test('pressed before the dab was changed asks first, and keeps it when told twice', async () => {
    const { read, now, pigment } = await benchOf(bare);
    await read(WHITE);
    await read(MASSTONE);
    await read(MASSTONE);
    expect(pigment('blue').tint).toBeUndefined();
    expect(now()).toMatchObject({ pigment: 'blue', step: 'tint' });
    expect(now().fault).toMatch(/dab before it.*tint of ultramarine/);
    await read(TINT);
    await read(TINT);
    // The next paint's masstone is not the last one's tint.
    expect(pigment('black').masstone).toBeUndefined();
    await read(TINT);
    expect(pigment('black').masstone).toEqual(TINT);
  });

  test('is undone like any edit of the palette', async () => {
    const { store, read, pigment } = await benchOf(bare);
    await read(WHITE);
    await store.state.notice!.undo!();
    expect(pigment('white').masstone).toBeUndefined();
  });
});

describe('what cannot be kept', () => {
  test('a refused reading says why, and keeps nothing', async () => {
    const { store, session, when, pigment } = await benchOf(bare);
    const refused = [{ reason: 'tile-dark', message: 'Too dark.', remedy: 'More light.' }] as const;
    when(() => Promise.resolve({ ok: false, refused }));
    await session.read();
    expect(store.state.refused).toEqual(refused);
    expect(pigment('white').masstone).toBeUndefined();
    expect(store.state.busy).toBeUndefined();
  });
  test('a white that is none is named', async () => {
    const { read, now, pigment } = await benchOf(bare);
    await read(labD65(45, 0, 0));
    expect(now().fault).toMatch(/“titanium white” is marked as white, but its masstone has L\* 45/);
    expect(pigment('white').masstone).toBeUndefined();
  });
  test('a reading that comes after one has left, or chosen another paint, is let go', async () => {
    for (const meanwhile of ['left', 'chosen'] as const) {
      const { store, session, when, pigment, pointing } = await benchOf(bare);
      let answer: (result: ReadingResult) => void = () => undefined;
      when(() => new Promise((resolve) => (answer = resolve)));
      const reading = session.read();
      if (meanwhile === 'left') await session.leave();
      else await session.choose('blue');
      answer(aReading({ dabLab: WHITE }));
      await reading;
      expect(pigment('white').masstone).toBeUndefined();
      expect(pigment('blue').masstone).toBeUndefined();
      expect(store.state.busy).toBeUndefined();
      expect(pointing.at(-1)).toBe(meanwhile === 'left' ? 'piece' : 'tile');
    }
  });
  test('an engine that fails is said, and the bench is free again', async () => {
    const { store, session, when } = await benchOf(bare);
    when(() => Promise.reject(new Error('the engine stopped')));
    await session.read();
    expect(store.state.trouble).toMatch(/the engine stopped/);
    expect(store.state.busy).toBeUndefined();
  });
});

test('one comes back to where one left, amounts and all', async () => {
  const { read, session, now } = await benchOf(bare);
  await read(WHITE);
  await read(MASSTONE);
  await session.setAmounts({ pigment: 0.2, white: 1, measure: 'g' });
  await session.leave();
  await session.enter();
  expect(now()).toMatchObject({
    pigment: 'blue',
    step: 'tint',
    amounts: { pigment: 0.2, white: 1 },
  });
});
