/**
 * One call in flight, the newest waits, what it overtook answers `superseded`: for a person who
 * drags faster than a worker reads.
 */
export const superseded = 'superseded' as const;
export type Superseded = typeof superseded;

export class Latest {
  #running = false;
  #waiting: { run: () => Promise<void>; overtake: () => void } | undefined;

  run<T>(work: () => Promise<T>): Promise<T | Superseded> {
    return new Promise((resolve, reject) => {
      this.#waiting?.overtake();
      this.#waiting = {
        run: () => work().then(resolve, reject),
        overtake: () => resolve(superseded),
      };
      if (!this.#running) void this.#drain();
    });
  }

  /** What still waits answers `superseded`; what is in flight goes on. */
  cancel(): void {
    this.#waiting?.overtake();
    this.#waiting = undefined;
  }

  async #drain(): Promise<void> {
    this.#running = true;
    while (this.#waiting) {
      const { run } = this.#waiting;
      this.#waiting = undefined;
      await run();
    }
    this.#running = false;
  }
}
