/** What the page hears of live maps: the one that stands, the reason when none does, nothing stale. */
import { expose } from 'comlink';
import { afterEach, expect, test } from 'vitest';
import { BenchClient, type LiveState } from '../../src/link/bench-client.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import type { BlendMap, BlendMapResult } from '../../src/reading/blend-map.ts';
import type { BenchWorkerApi, LiveReport } from '../../workers/bench-api.ts';

/** As much of the bench worker as these tests use: it reports what it is told to. */
class FakeBench extends EventTarget {
  readonly #near: MessagePort;
  readonly #far: MessagePort;
  readonly watched: unknown[] = [];
  report: (live: LiveReport) => unknown = () => undefined;
  following: Promise<void>;

  constructor() {
    super();
    const { port1, port2 } = new MessageChannel();
    this.#near = port1;
    this.#far = port2;
    let begun: () => void = () => undefined;
    this.following = new Promise((done) => (begun = done));
    const api: Partial<BenchWorkerApi> = {
      stop: () => Promise.resolve(),
      point: () => Promise.resolve(),
      watchArea: (request) => {
        this.watched.push(request);
        return Promise.resolve();
      },
      follow: (_, report) => {
        this.report = report;
        begun();
        return new Promise(() => undefined);
      },
    };
    expose(api, this.#far);
    this.#near.onmessage = (event) =>
      this.dispatchEvent(new MessageEvent('message', { data: event.data as unknown }));
  }
  postMessage(message: unknown, transfer: Transferable[] = []): void {
    this.#near.postMessage(message, transfer);
  }
  terminate(): void {
    this.#near.close();
    this.#far.close();
  }
}

let fake: FakeBench;
let client: BenchClient;
afterEach(() => {
  client.dispose();
  fake.terminate();
});

const area = { x: 100, y: 90, radius: 30 };
const map = { ok: true, median: 0.7 } as BlendMap;
const moving: BlendMapResult = {
  ok: false,
  refused: [{ reason: 'moving', message: 'It moves.', remedy: 'Hold still.' }],
};

async function following() {
  fake = new FakeBench();
  client = new BenchClient(() => fake as unknown as Worker);
  const seen: LiveState[] = [];
  const frames = new ReadableStream<VideoFrame>();
  const ending = client.follow({ kind: 'stream', frames }, (live) => seen.push(live));
  ending.catch(() => undefined);
  await fake.following;
  let frame = 0;
  const report = async (pointing: number, part: Partial<LiveReport>) => {
    frame += 1;
    await fake.report({
      frame,
      width: 640,
      height: 360,
      pointing,
      workMs: 1,
      readingMs: 1,
      settled: 1,
      framesAveraged: 9,
      held: false,
      moving: false,
      lampChanged: false,
      ...part,
    });
  };
  return { seen, report };
}

test('a map stands until the next, is withdrawn by movement, and the reason goes with the movement', async () => {
  const { seen, report } = await following();
  await client.watchArea({ area }, DEFAULT_SETTINGS);
  expect(fake.watched).toEqual([{ area }]);
  await report(1, { map });
  await report(1, {});
  await report(1, { map: moving, moving: true });
  await report(1, { moving: true });
  await report(1, {});
  expect(seen.map((live) => live.map?.ok)).toEqual([true, true, false, false, undefined]);
  expect(seen.map((live) => live.fresh)).toEqual([true, false, true, false, false]);
});

test('what was seen of the area before is dropped once another is marked', async () => {
  const { seen, report } = await following();
  await client.watchArea({ area }, DEFAULT_SETTINGS);
  await report(1, { map });
  await client.watchArea({ area: { ...area, x: 300 } }, DEFAULT_SETTINGS);
  await report(1, { map });
  await report(2, {});
  expect(seen.map((live) => live.pointing)).toEqual([1, 2]);
  expect(seen[1]!.map).toBeUndefined();
});
