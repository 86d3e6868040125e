/** The browser's own database on Node: pouchdb-browser over fake-indexeddb, a database for each test. */
import './store-browser-globals.ts';
import PouchDB from 'pouchdb-browser';
import type { Fields } from '../../src/store/documents.ts';
import { openStore, type StoreParts } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';

let databases = 0;
export function newDatabase(name: string) {
  return new PouchDB<Fields>(name, { auto_compaction: true });
}

/** A clock that moves a second with each look at it. */
export function steadyClock(start = '2026-03-02T09:00:00.000Z') {
  let time = Date.parse(start);
  return () => new Date((time += 1000));
}

export async function newStore(parts: Partial<StoreParts> = {}): Promise<Store> {
  const name = `test-${databases++}`;
  const opened = await openStore({
    connect: () => newDatabase(name),
    clock: steadyClock(),
    ...parts,
  });
  if (!opened.ok) throw new Error(opened.message);
  return opened.store;
}
