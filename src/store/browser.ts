/** The store of this browser: PouchDB on IndexedDB. */
import PouchDB from 'pouchdb-browser';
import type { Fields } from './documents.ts';
import { openStore, type Opened } from './open.ts';

export function openBrowserStore(name = 'lamp-and-tile'): Promise<Opened> {
  // A page that is not served securely has neither a storage manager nor locks.
  const { storage: room, locks } = navigator as Partial<Navigator>;
  return openStore({
    // Old revisions are dropped at once: only the newest of each record, with its pictures, takes room.
    connect: () => new PouchDB<Fields>(name, { auto_compaction: true }),
    ...(room && { room }),
    ...(locks && {
      exclusive: async <T>(work: () => Promise<T>): Promise<T> =>
        locks.request(`${name} writing`, work),
    }),
  });
}
