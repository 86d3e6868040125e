/**
 * The files of the version a window runs stay, while another window takes the next one. The service
 * worker drops what its own list does not name; a window of the version before may still need a
 * worker's file, or a screen's. They are put aside under a name the service worker looks in last
 * (workers/offline-plugin.ts), and go when a window finds itself alone.
 */
/** The same name as in workers/offline-plugin.ts. */
const KEPT_FILES = 'files-of-a-version-before';

const LOCK = 'a window of Lamp & Tile';

/** Held as long as this window is open; the browser lets go of it then. Answers how many there are. */
export async function countWindow(locks: LockManager = navigator.locks): Promise<number> {
  await new Promise<void>((resolve) => {
    void locks.request(LOCK, { mode: 'shared' }, () => {
      resolve();
      return new Promise(() => undefined);
    });
  });
  return await windows(locks);
}

async function windows(locks: LockManager): Promise<number> {
  const { held = [] } = await locks.query();
  return held.filter(({ name }) => name === LOCK).length;
}

/** A window that is alone needs nothing of a version before its own. */
export async function dropOldFiles(): Promise<void> {
  if ((await countWindow()) === 1) await caches.delete(KEPT_FILES);
}

/** Before the next version is taken: what this one is made of is put aside for the other windows. */
export async function keepOldFiles(): Promise<void> {
  if ((await windows(navigator.locks)) < 2) return;
  const aside = await caches.open(KEPT_FILES);
  for (const name of await caches.keys()) {
    if (!name.includes('-precache-')) continue;
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      // Files with a hash in their name; of the others every version has its own.
      if (!new URL(request.url).pathname.startsWith('/assets/')) continue;
      const file = await cache.match(request);
      if (file) await aside.put(request.url, file);
    }
  }
}
