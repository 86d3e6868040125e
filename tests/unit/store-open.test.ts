import { describe, expect, test } from 'vitest';
import type { Id } from '../../src/job/ids.ts';
import type { Job } from '../../src/job/records.ts';
import { openStore } from '../../src/store/open.ts';
import type { Change, Kept, Store } from '../../src/store/store.ts';
import * as example from './job-examples.ts';
import { newDatabase, newStore, steadyClock } from './store-fixture.ts';

const { job, piece, area, attempt, palette, reading, picture, settings } = example;

function sure<R>(kept: Kept<R>): R {
  if (!kept.ok) throw new Error(kept.message);
  return kept.record;
}
async function filled(store: Store): Promise<Store> {
  for (const record of [job, piece, area, palette, attempt, settings]) {
    sure(await store.put(record));
  }
  sure(await store.put(reading, { attachments: example.readingPictures }));
  return store;
}
const dateless = (record: object): object => ({ ...record, updatedAt: '' });

describe('keeping', () => {
  test('what is kept is there, with its pictures, after the database is opened again', async () => {
    const name = 'kept-and-opened-again';
    const first = await filled(await newStore({ connect: () => newDatabase(name) }));
    await first.close();
    const again = await newStore({ connect: () => newDatabase(name) });
    for (const record of [job, piece, area, palette, attempt, settings, reading]) {
      expect(dateless((await again.get(record.id as Id)) ?? {})).toEqual(dateless(record));
    }
    expect(await again.attachments(reading.id)).toEqual(example.readingPictures);
    expect(await again.attachment(reading.id, 'crop')).toEqual(example.readingPictures['crop']);
    expect(await again.attachment(reading.id, 'thumbnail')).toBeUndefined();
    expect(await again.attachment('reading/J1/P1/A1/NONE', 'crop')).toBeUndefined();
  });

  test('an edit keeps the pictures and moves the date of change', async () => {
    const store = await filled(await newStore());
    const base = (await store.get(reading.id))!;
    const edited = sure(await store.put({ ...base, note: 'dried overnight' }, { base }));
    expect(edited.note).toBe('dried overnight');
    expect(edited.updatedAt > base.updatedAt).toBe(true);
    expect(edited.createdAt).toBe(base.createdAt);
    expect(await store.attachments(reading.id)).toEqual(example.readingPictures);
  });

  test('a field can be taken away', async () => {
    const store = await filled(await newStore());
    const base = (await store.get(area.id))!;
    const bare = { ...base };
    Reflect.deleteProperty(bare, 'targetLab');
    sure(await store.put(bare, { base }));
    expect(Object.keys((await store.get(area.id))!)).not.toContain('targetLab');
  });

  test('what is not valid is handed back with its faults and not kept', async () => {
    const store = await newStore();
    const bad = { ...job, title: '' };
    expect(await store.put(bad)).toEqual({
      ok: false,
      reason: 'invalid',
      message:
        'The job of 2026-03-02 09:00 UTC cannot be kept: title of the job: must not be empty, but is “” (title)',
      faults: ['title of the job: must not be empty, but is “” (title)'],
      record: bad,
      attachments: {},
    });
    expect(await store.list('job')).toEqual([]);
  });

  test('a picture that is none is not kept, nor is its record', async () => {
    const store = await newStore();
    const attachments = { crop: { contentType: 'image/png', bytes: Uint8Array.of(1) } };
    expect(await store.put(reading, { attachments })).toMatchObject({
      ok: false,
      reason: 'invalid',
      attachments,
    });
    expect(await store.get(reading.id)).toBeUndefined();
  });

  test('all or none', async () => {
    const store = await newStore();
    const bad = { ...piece, name: '' };
    expect(await store.putAll([{ record: job }, { record: bad }])).toMatchObject({
      ok: false,
      record: bad,
    });
    expect(await store.get(job.id)).toBeUndefined();
    expect((await store.putAll([{ record: job }, { record: piece }])).ok).toBe(true);
    expect(await store.get(piece.id)).toEqual(piece);
  });
});

describe('listing', () => {
  test('is by place and by age', async () => {
    const store = await newStore({ clock: steadyClock() });
    const add = async (title: string) =>
      sure(await store.put({ ...job, id: store.newId('job'), title }));
    const one = await add('first');
    const two = await add('second');
    const names: Id<'piece'>[] = [];
    for (const parent of [two, one, two]) {
      const id = store.newId('piece', parent.id);
      names.push(id);
      sure(await store.put({ ...piece, id }));
    }
    expect((await store.list('job')).map(({ title }) => title)).toEqual(['first', 'second']);
    expect((await store.list('piece', two.id)).map(({ id }) => id)).toEqual([names[0], names[2]]);
    expect((await store.list('piece')).length).toBe(3);
    expect(await store.list('reading', one.id)).toEqual([]);
  });

  test('leaves alone and tells of what it cannot read', async () => {
    const database = newDatabase('with-a-newer-record');
    await database.put({ ...job, _id: 'job/NEWER', schema: 7 });
    const store = await newStore({ connect: () => database });
    expect(await store.list('job')).toEqual([]);
    expect(await store.unreadable()).toEqual([
      { id: 'job/NEWER', faults: [expect.stringContaining('newer version')] },
    ]);
    const kept = await store.put({ ...job, id: 'job/NEWER' });
    expect(kept).toMatchObject({ ok: false, reason: 'changed-elsewhere' });
    expect(await database.get('job/NEWER')).toMatchObject({ schema: 7 });
  });
});

describe('two windows', () => {
  async function twoWindows(): Promise<readonly [Store, Store, Job]> {
    const name = `windows-${String(Math.random())}`;
    const one = await newStore({ connect: () => newDatabase(name) });
    const two = await newStore({ connect: () => newDatabase(name) });
    return [one, two, sure(await one.put(job))];
  }

  test('edits of different fields both stand', async () => {
    const [one, two, base] = await twoWindows();
    sure(await one.put({ ...base, title: 'Tureen' }, { base }));
    sure(await two.put({ ...base, notes: 'lid first' }, { base }));
    expect(await one.get(job.id)).toMatchObject({ title: 'Tureen', notes: 'lid first' });
  });

  test('edits of the same field: the second is told, with both at hand', async () => {
    const [one, two, base] = await twoWindows();
    const mine = { ...base, title: 'Soup tureen' };
    const theirs = sure(await one.put({ ...base, title: 'Tureen' }, { base }));
    expect(await two.put(mine, { base })).toEqual({
      ok: false,
      reason: 'changed-elsewhere',
      message:
        'The job “Soup tureen” was changed in another window in the same place (title of the job). Nothing was overwritten: choose which to keep.',
      fields: ['title'],
      stored: theirs,
      record: mine,
      attachments: {},
    });
    expect(await one.get(job.id)).toEqual(theirs);
  });

  test('the same edit twice is no quarrel', async () => {
    const [one, two, base] = await twoWindows();
    sure(await one.put({ ...base, title: 'Tureen' }, { base }));
    expect((await two.put({ ...base, title: 'Tureen' }, { base })).ok).toBe(true);
  });

  test('a hundred edits at the same time lose nothing', async () => {
    const [one, two] = await twoWindows();
    const add = (store: Store, word: string) =>
      store.change(job.id, (record) => ({ ...record, notes: `${record.notes} ${word}` }));
    const words = Array.from({ length: 50 }, (_, i) => `w${i}`);
    const kept = await Promise.all([
      ...words.map((word) => add(one, `${word}a`)),
      ...words.map((word) => add(two, `${word}b`)),
    ]);
    const written = ((await one.get(job.id))?.notes ?? '').trim().split(' ');
    expect(kept.filter(({ ok }) => !ok)).toEqual([]);
    expect(new Set(written).size).toBe(100);
  });

  test('a new record never overwrites one of the same id', async () => {
    const [one, two, base] = await twoWindows();
    expect(await two.put({ ...job, title: 'Something else' })).toMatchObject({
      ok: false,
      reason: 'changed-elsewhere',
      stored: base,
    });
    expect(await one.get(job.id)).toEqual(base);
  });

  test('an edit of what was put into the bin, or deleted for good, is handed back', async () => {
    const [one, two, base] = await twoWindows();
    sure(await one.remove(job.id));
    const edited = { ...base, notes: 'written in the meantime' };
    expect(await two.put(edited, { base })).toMatchObject({
      ok: false,
      reason: 'changed-elsewhere',
      fields: ['deletedAt'],
      record: edited,
    });
    await one.purge(new Date('2100-01-01T00:00:00.000Z'));
    expect(await two.put(edited, { base })).toMatchObject({
      ok: false,
      reason: 'changed-elsewhere',
      record: edited,
    });
    expect((await two.put(edited)).ok).toBe(true);
  });

  test('each window hears of what either changes, until it stops listening', async () => {
    const [one, two, base] = await twoWindows();
    const heard: Change[] = [];
    const stop = two.onChange((change) => heard.push(change));
    await expect
      .poll(async () => {
        await one.change(job.id, (record) => ({ ...record, notes: `${record.notes}.` }));
        return heard.length;
      })
      .toBeGreaterThan(0);
    expect(heard[0]).toEqual({ id: base.id, kind: 'job' });
    stop();
    const before = heard.length;
    sure(await one.put(piece));
    await new Promise((done) => setTimeout(done, 100));
    expect(heard.slice(before).filter(({ kind }) => kind === 'piece')).toEqual([]);
  });
});

describe('the bin', () => {
  test('hides a record and all that lies in it, and gives it back', async () => {
    const store = await filled(await newStore());
    const before = await store.list('reading', job.id);
    sure(await store.remove(piece.id));
    expect(await store.list('piece', job.id)).toEqual([]);
    expect(await store.list('area')).toEqual([]);
    expect(await store.list('reading', job.id)).toEqual([]);
    expect((await store.bin()).map(({ id }) => id)).toEqual([piece.id]);
    sure(await store.restore(piece.id));
    expect(await store.list('reading', job.id)).toEqual(before);
    expect(await store.bin()).toEqual([]);
    expect(await store.attachments(reading.id)).toEqual(example.readingPictures);
  });

  test('is emptied of what is old, with all that lies in it, and of nothing else', async () => {
    const store = await filled(await newStore());
    sure(await store.put({ ...job, id: 'job/J10' }));
    const binned = sure(await store.remove(job.id));
    expect(await store.purge(new Date(binned.deletedAt!))).toEqual({ purged: 0 });
    expect(await store.purge(store.now())).toEqual({ purged: 5 });
    expect(await store.get(reading.id)).toBeUndefined();
    expect(await store.attachments(reading.id)).toEqual({});
    expect((await store.list('job')).map(({ id }) => id)).toEqual(['job/J10']);
    expect(await store.get(palette.id)).toBeDefined();
    sure(await store.put(job));
    expect(await store.list('piece', job.id)).toEqual([]);
  });

  test('keeps a palette for as long as a mix names it', async () => {
    const store = await filled(await newStore());
    sure(await store.remove(palette.id));
    expect(await store.purge(store.now())).toEqual({ purged: 0 });
    expect(await store.get(palette.id)).toBeDefined();
    sure(await store.remove(job.id));
    expect(await store.purge(store.now())).toEqual({ purged: 6 });
    expect(await store.get(palette.id)).toBeUndefined();
  });

  test('of a record that is not there', async () => {
    const store = await newStore();
    expect(await store.remove('picture/J1/P1/NONE')).toMatchObject({
      ok: false,
      reason: 'missing',
    });
  });
});

describe('room', () => {
  const MB = 2 ** 20;
  const room = (usage: number, quota: number) => ({
    persist: () => Promise.resolve(true),
    persisted: () => Promise.resolve(true),
    estimate: () => Promise.resolve({ usage, quota }),
  });
  test('is asked for and shown', async () => {
    const store = await newStore({ room: room(100 * MB, 1000 * MB) });
    expect(await store.persist()).toBe(true);
    expect(await store.space()).toEqual({
      persisted: true,
      usedBytes: 100 * MB,
      quotaBytes: 1000 * MB,
      roomHidden: false,
    });
  });
  test.each([
    [950, 1000, '50 MB of 1000 MB'],
    [35, 50, '15 MB of 50 MB'],
    [60, 50, '0 MB of 50 MB'],
  ])('running short is said before it is out: %i of %i MB', async (used, quota, words) => {
    const store = await newStore({ room: room(used * MB, quota * MB) });
    expect((await store.space()).warning).toContain(words);
  });
  // The browser adds whole gibibytes to what is used, ten at most: as measured in Chromium.
  test.each([
    [10, undefined],
    [2, undefined],
    [1, 'Less than 1 GB is free'],
  ])('what hides behind whole gibibytes is not taken for a number: %i', async (more, words) => {
    const store = await newStore({ room: room(13_039_640, 13_039_640 + more * 2 ** 30) });
    const space = await store.space();
    expect(space.roomHidden).toBe(true);
    if (words === undefined) expect(space.warning).toBeUndefined();
    else expect(space.warning).toContain(words);
  });
  test('is unknown where the browser does not tell', async () => {
    const store = await newStore({ room: {} });
    expect(await store.persist()).toBe(false);
    expect(await store.space()).toEqual({ persisted: false });
  });
});

describe('a database that fails', () => {
  type Put = ReturnType<typeof newDatabase>['bulkDocs'];
  /** As pouchdb-browser reports a full disk: the transaction aborts and the connection is closed. */
  const quota = { status: 500, name: 'indexed_db_went_bad', reason: 'QuotaExceededError' };
  const closed = new DOMException('The database connection is closing.', 'InvalidStateError');

  test('a full disk is said, the record handed back, what was there is there, and later all goes on', async () => {
    let connections = 0;
    let full = true;
    const name = 'full-disk';
    const connect = () => {
      connections += 1;
      const database = newDatabase(name);
      const bulkDocs = database.bulkDocs.bind(database);
      let broken = false;
      database.bulkDocs = ((...args: Parameters<Put>) => {
        if (broken) return Promise.reject(closed);
        if (!full) return bulkDocs(...args);
        broken = true;
        // eslint-disable-next-line @typescript-eslint/prefer-promise-reject-errors -- as the library does
        return Promise.reject(quota);
      }) as Put;
      return database;
    };
    const store = await newStore({ connect });
    full = false;
    sure(await store.put(job));
    full = true;
    const photograph = { picture: { contentType: 'image/png', bytes: example.onePixelPng } };
    const kept = await store.put(picture, { attachments: photograph });
    expect(kept).toMatchObject({
      ok: false,
      reason: 'full',
      record: picture,
      attachments: photograph,
    });
    expect(connections).toBe(2);
    expect((await store.list('job')).length).toBe(1);
    expect(await store.get(picture.id)).toBeUndefined();
    full = false;
    expect((await store.put(picture, { attachments: photograph })).ok).toBe(true);
  });

  test('a connection that the browser closed is opened again, and listeners go on hearing', async () => {
    const open: ReturnType<typeof newDatabase>[] = [];
    const connect = () => {
      const database = newDatabase('closed-by-the-browser');
      open.push(database);
      return database;
    };
    const store = await newStore({ connect });
    sure(await store.put(job));
    const heard: string[] = [];
    store.onChange(({ id }) => heard.push(id));
    const first = open[0]!;
    first.allDocs = (() => Promise.reject(closed)) as typeof first.allDocs;
    expect((await store.list('job')).length).toBe(1);
    expect(open.length).toBe(2);
    sure(await store.put(piece));
    await expect.poll(() => heard).toContain(piece.id);
  });

  test('any other failure hands the record back', async () => {
    const connect = () => {
      const database = newDatabase('broken');
      database.bulkDocs = () => Promise.reject(new Error('disk I/O'));
      return database;
    };
    const store = await newStore({ connect });
    const kept = await store.put(job);
    expect(kept).toMatchObject({ ok: false, reason: 'failed', record: job });
    expect(!kept.ok && kept.message).toContain('disk I/O');
  });

  test('a browser without a database is told apart', async () => {
    const connect = () => {
      const database = newDatabase('none');
      database.info = () => Promise.reject(new Error('SecurityError'));
      return database;
    };
    expect(await openStore({ connect })).toMatchObject({ ok: false, reason: 'no-database' });
  });
});
