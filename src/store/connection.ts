/**
 * The database, opened again when the browser closes it under us. A browser closes it when a write
 * meets a full disk, or when site data is cleared; without this every later reading and writing in
 * the same window would fail.
 */
import type { Database } from './documents.ts';
import { isFull } from './space.ts';

export interface Connection {
  /** Does some work; when the database turns out to be closed, opens it and does the work once more. */
  run<T>(work: (database: Database) => Promise<T>): Promise<T>;
  /** Calls for the id of every change from now on, through reconnections, until told to stop. */
  follow(listener: (id: string) => void): () => void;
  close(): Promise<void>;
}

interface Feed {
  readonly listener: (id: string) => void;
  /** A sequence number, or `now`. */
  since: number | string;
  stop: () => void;
}

/** What the database says of a request by its status, 400–499, is an answer and no failure. */
export function statusOf(error: unknown): number | undefined {
  if (typeof error !== 'object' || error === null || !('status' in error)) return undefined;
  return typeof error.status === 'number' ? error.status : undefined;
}
function isAnswer(error: unknown): boolean {
  const status = statusOf(error) ?? 500;
  return status >= 400 && status < 500;
}

export function connection(connect: () => Database): Connection {
  let database = connect();
  const feeds = new Set<Feed>();

  function start(feed: Feed): void {
    const changes = database.changes({ since: feed.since, live: true });
    void changes.on('change', ({ id, seq }) => {
      feed.since = seq;
      feed.listener(id);
    });
    // A feed breaks when the connection does; the reconnection starts it again.
    void changes.on('error', () => undefined);
    feed.stop = () => {
      changes.cancel();
    };
  }

  function reconnect(failed: Database): void {
    if (failed !== database) return;
    database = connect();
    for (const feed of feeds) {
      feed.stop();
      start(feed);
    }
  }

  return {
    async run(work) {
      const current = database;
      try {
        return await work(current);
      } catch (error) {
        if (isAnswer(error)) throw error;
        reconnect(current);
        if (isFull(error)) throw error;
        return await work(database);
      }
    },
    follow(listener) {
      const feed: Feed = { listener, since: 'now', stop: () => undefined };
      feeds.add(feed);
      start(feed);
      return () => {
        feed.stop();
        feeds.delete(feed);
      };
    },
    async close() {
      for (const feed of feeds) feed.stop();
      feeds.clear();
      await database.close();
    },
  };
}
