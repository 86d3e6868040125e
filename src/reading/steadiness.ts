/** A number that should stay what it is from frame to frame, give or take its own scatter. */

/** Weight of each new value once the first have been averaged. */
const RATE = 1 / 32;
/** Values by which the scatter is learnt. */
const LEARNING = 8;
/** Departures of so many standard deviations are none of chance. */
const SIGMAS = 5;

export class Steady {
  readonly #floor: number;
  readonly #meanwhile: number;
  #count = 0;
  #mean = 0;
  #variance = 0;

  /**
   * @param floor departure that never counts, in the number's own unit
   * @param meanwhile departure that counts while the scatter is still being learnt
   */
  constructor(floor: number, meanwhile: number) {
    this.#floor = floor;
    this.#meanwhile = meanwhile;
  }

  /** Running mean of the last thirty or so; 0 before the first. */
  get mean(): number {
    return this.#mean;
  }

  /** How far `value` departs, signed, in units of what counts as a change: beyond ±1 it is one. */
  departure(value: number): number {
    if (this.#count === 0) return 0;
    const limit =
      this.#count < LEARNING
        ? this.#meanwhile
        : Math.max(this.#floor, SIGMAS * Math.sqrt(this.#variance));
    return (value - this.#mean) / limit;
  }

  add(value: number): void {
    this.#count += 1;
    const rate = Math.max(RATE, 1 / this.#count);
    const step = value - this.#mean;
    this.#mean += rate * step;
    this.#variance = (1 - rate) * (this.#variance + rate * step * step);
  }

  reset(): void {
    this.#count = 0;
    this.#mean = 0;
    this.#variance = 0;
  }
}
