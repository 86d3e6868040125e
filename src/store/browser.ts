/** The store of this browser: PouchDB on IndexedDB. */
import PouchDB from 'pouchdb-browser';
import type { Fields } from './documents.ts';
import { openStore, type Opened } from './open.ts';

export function openBrowserStore(name = 'lamp-and-tile'): Promise<Opened> {
  // Old revisions are dropped at once: only the newest of each record, with its pictures, takes room.
  const database = new PouchDB<Fields>(name, { auto_compaction: true });
  // A page that is not served securely has no storage manager.
  const room = (navigator as Partial<Navigator>).storage;
  return openStore({ database, ...(room && { room }) });
}
