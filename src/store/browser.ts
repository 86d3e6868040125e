/** The store of this browser: PouchDB on IndexedDB. */
import PouchDB from 'pouchdb-browser';
import type { Fields } from './documents.ts';
import { NO_DATABASE, openStore, type Opened } from './open.ts';
import { isFull } from './space.ts';

export async function openBrowserStore(name = 'lamp-and-tile'): Promise<Opened> {
  // A page that is not served securely has neither a storage manager nor locks.
  const { storage: room, locks } = navigator as Partial<Navigator>;
  const opening = openStore({
    // Old revisions are dropped at once: only the newest of each record, with its pictures, takes room.
    connect: () => new PouchDB<Fields>(name, { auto_compaction: true }),
    ...(room && { room }),
    ...(locks && {
      exclusive: async <T>(work: () => Promise<T>): Promise<T> =>
        locks.request(`${name} writing`, work),
    }),
  });
  // Beside the opening, which need not wait for it.
  const refuses = await refusesPictures(`${name} trial`).catch(() => false);
  return refuses ? NO_DATABASE : await opening;
}

/**
 * Private windows of WebKit have a database that takes no Blob, and leave the transaction open in which
 * PouchDB tries whether it does: opening would never end. In a database of its own it harms nothing.
 */
function refusesPictures(name: string): Promise<boolean> {
  return new Promise((resolve) => {
    const opening = indexedDB.open(name, 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore('pictures');
    // What else is wrong PouchDB will meet, and say.
    opening.onerror = () => resolve(false);
    opening.onsuccess = () => {
      const database = opening.result;
      const end = (refuses: boolean) => {
        database.close();
        indexedDB.deleteDatabase(name);
        resolve(refuses);
      };
      const pictures = database.transaction('pictures', 'readwrite').objectStore('pictures');
      const put = pictures.put(new Blob(['a picture']), 'one');
      put.onsuccess = () => end(false);
      put.onerror = (event) => {
        event.preventDefault();
        end(!isFull(put.error));
      };
    };
  });
}
