/**
 * One worker: started on first use, watched, and started again after it died. A call that was
 * under way then rejects with `WorkerStopped`; no promise hangs.
 */
import { releaseProxy, wrap, type Remote } from 'comlink';

/** The worker died or stopped answering while it worked on a call. The next call starts a new one. */
export class WorkerStopped extends Error {
  override readonly name = 'WorkerStopped';
}

export interface WorkerLinkOptions {
  /** What the worker does, for the message: "reading", "paint". */
  readonly work: string;
  /** How often a busy worker is asked whether it lives, ms. */
  readonly beatMs?: number;
  /** So many beats in a row without an answer, and it counts as stuck. */
  readonly missedBeats?: number;
}

export class WorkerLink<Api> {
  readonly #create: () => Worker;
  readonly #options: Required<WorkerLinkOptions>;
  readonly #pending = new Set<(reason: WorkerStopped) => void>();
  #worker: Worker | undefined;
  #remote: Remote<Api> | undefined;
  #beat: ReturnType<typeof setInterval> | undefined;
  #missed = 0;
  #starts = 0;

  /** @param create must hold the literal `new Worker(new URL(…))` that the bundler looks for. */
  constructor(create: () => Worker, options: WorkerLinkOptions) {
    this.#create = create;
    this.#options = { beatMs: 2000, missedBeats: 10, ...options };
  }

  /** Counts the workers started so far: a change tells a caller that the worker forgot its state. */
  get starts(): number {
    return this.#starts;
  }

  /** Runs one call on the worker; rejects with `WorkerStopped` when the worker dies over it. */
  async call<T>(use: (remote: Remote<Api>) => Promise<T>): Promise<T> {
    const remote = this.#start();
    let stopped: ((reason: WorkerStopped) => void) | undefined;
    const death = new Promise<never>((_, reject) => {
      stopped = reject;
      this.#pending.add(reject);
    });
    this.#watch();
    try {
      return await Promise.race([use(remote), death]);
    } finally {
      this.#pending.delete(stopped!);
      if (this.#pending.size === 0) this.#rest();
    }
  }

  /** Ends the worker; calls under way reject. The next call starts a new one. */
  dispose(): void {
    this.#stop(`The ${this.#options.work} was closed.`);
  }

  #start(): Remote<Api> {
    if (this.#remote) return this.#remote;
    const worker = this.#create();
    const died = (detail: string) => {
      if (worker === this.#worker) {
        this.#stop(`The ${this.#options.work} stopped (${detail}); it starts again by itself.`);
      }
    };
    worker.addEventListener('error', (event) => {
      event.preventDefault();
      died(event.message || 'it could not be loaded');
    });
    worker.addEventListener('messageerror', () => died('a message could not be read'));
    this.#worker = worker;
    this.#remote = wrap<Api>(worker);
    this.#starts += 1;
    return this.#remote;
  }

  #watch(): void {
    this.#beat ??= setInterval(() => {
      // Missed beats are counted, not timed: a sleeping computer or a throttled tab loses no worker.
      this.#missed += 1;
      if (this.#missed > this.#options.missedBeats) {
        this.#stop(`The ${this.#options.work} no longer answered; it starts again by itself.`);
        return;
      }
      void this.#beatAnswered();
    }, this.#options.beatMs);
  }

  /** Any property that is asked for comes back, `undefined`, from a worker that lives. */
  async #beatAnswered(): Promise<void> {
    await (this.#remote as { heartbeat?: Promise<undefined> } | undefined)?.heartbeat;
    this.#missed = 0;
  }

  #rest(): void {
    clearInterval(this.#beat);
    this.#beat = undefined;
    this.#missed = 0;
  }

  #stop(message: string): void {
    this.#rest();
    this.#worker?.terminate();
    this.#remote?.[releaseProxy]();
    this.#worker = undefined;
    this.#remote = undefined;
    const pending = [...this.#pending];
    this.#pending.clear();
    for (const reject of pending) reject(new WorkerStopped(message));
  }
}
