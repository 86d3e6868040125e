import { expose } from 'comlink';
import { afterEach, describe, expect, test } from 'vitest';
import { Latest } from '../../src/link/latest.ts';
import { WorkerLink, WorkerStopped } from '../../src/link/worker-link.ts';

interface Api {
  double(x: number): Promise<number>;
  never(): Promise<never>;
  count(): Promise<number>;
}

/** As much of a Worker as a link uses, over a channel of its own. */
class FakeWorker extends EventTarget {
  readonly #far: MessagePort;
  readonly #near: MessagePort;
  terminated = false;

  constructor(answers: boolean) {
    super();
    const { port1, port2 } = new MessageChannel();
    this.#near = port1;
    this.#far = port2;
    let count = 0;
    const api: Api = {
      double: (x) => Promise.resolve(2 * x),
      never: () => new Promise(() => undefined),
      count: () => Promise.resolve(++count),
    };
    if (answers) expose(api, this.#far);
    this.#near.onmessage = (event) =>
      this.dispatchEvent(new MessageEvent('message', { data: event.data as unknown }));
  }
  postMessage(message: unknown, transfer: Transferable[] = []): void {
    this.#near.postMessage(message, transfer);
  }
  terminate(): void {
    this.terminated = true;
    this.#near.close();
    this.#far.close();
  }
  die(): void {
    this.dispatchEvent(Object.assign(new Event('error'), { message: 'out of memory' }));
  }
}

const made: FakeWorker[] = [];
function link(answers = true): WorkerLink<Api> {
  const create = () => {
    const worker = new FakeWorker(answers);
    made.push(worker);
    return worker as unknown as Worker;
  };
  return new WorkerLink<Api>(create, { work: 'reading', beatMs: 20, missedBeats: 3 });
}
afterEach(() => {
  for (const worker of made.splice(0)) worker.terminate();
});

describe('a worker behind its link', () => {
  test('starts with the first call, once', async () => {
    const reading = link();
    expect(made).toHaveLength(0);
    expect(await reading.call((worker) => worker.double(21))).toBe(42);
    expect(await reading.call((worker) => worker.count())).toBe(1);
    expect(await reading.call((worker) => worker.count())).toBe(2);
    expect(made).toHaveLength(1);
    expect(reading.starts).toBe(1);
  });

  test('dies: the call under way rejects with the reason, the next one has a new worker', async () => {
    const reading = link();
    const pending = reading.call((worker) => worker.never());
    await reading.call((worker) => worker.count());
    made[0]!.die();
    await expect(pending).rejects.toThrow(WorkerStopped);
    await expect(pending).rejects.toThrow(/reading stopped \(out of memory\)/);
    expect(made[0]!.terminated).toBe(true);
    expect(await reading.call((worker) => worker.count())).toBe(1);
    expect(reading.starts).toBe(2);
  });

  test('is stuck: missed heartbeats end it, and no promise hangs', async () => {
    const reading = link(false);
    await expect(reading.call((worker) => worker.double(1))).rejects.toThrow(/no longer answered/);
    expect(made[0]!.terminated).toBe(true);
  });

  test('works long but answers: it is left alone', async () => {
    const reading = link();
    let rejected = false;
    void reading.call((worker) => worker.never()).catch(() => (rejected = true));
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(rejected).toBe(false);
    reading.dispose();
  });

  test('closed: the call under way rejects', async () => {
    const reading = link();
    const pending = reading.call((worker) => worker.never());
    reading.dispose();
    await expect(pending).rejects.toThrow(/closed/);
  });
});

describe('the latest call', () => {
  const later = <T>() => {
    let resolve: (value: T) => void = () => undefined;
    const promise = new Promise<T>((settle) => (resolve = settle));
    return { promise, resolve };
  };

  test('one runs, the newest waits, those between are superseded and never run', async () => {
    const latest = new Latest();
    const first = later<string>();
    const ran: number[] = [];
    const one = latest.run(() => first.promise);
    const others = [2, 3, 4].map((n) =>
      latest.run(() => {
        ran.push(n);
        return Promise.resolve(`${n}`);
      }),
    );
    expect(await others[0]).toBe('superseded');
    expect(await others[1]).toBe('superseded');
    first.resolve('1');
    expect(await one).toBe('1');
    expect(await others[2]).toBe('4');
    expect(ran).toEqual([4]);
  });

  test('a call that fails does not stop the next', async () => {
    const latest = new Latest();
    const bad = latest.run(() => Promise.reject(new Error('no')));
    const good = latest.run(() => Promise.resolve('yes'));
    await expect(bad).rejects.toThrow('no');
    expect(await good).toBe('yes');
  });

  test('cancelled: what waits is superseded', async () => {
    const latest = new Latest();
    const first = later<string>();
    const one = latest.run(() => first.promise);
    const two = latest.run(() => Promise.resolve('2'));
    latest.cancel();
    expect(await two).toBe('superseded');
    first.resolve('1');
    expect(await one).toBe('1');
  });
});
