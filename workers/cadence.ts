/**
 * When the average is read: at once when it is new, again as it doubles, and once it has settled no more,
 * until something changes. A settled number holds still; it would cost time and tell nothing new.
 */
import type { FrameState } from '../src/reading/temporal.ts';

/** Time that readings may take for each frame while the average settles, ms. */
const EARLY_MS = 20;
/** The same when light has drifted since it settled: a dab dries, and is read again now and then. */
const DRIFTING_MS = 0.8;
/** On a slow device that would be for ever: after ten seconds it is read all the same. */
const MOST_FRAMES = 300;
/** Drift of the dab's light against the tile's, ln, from which a held number no longer stands. */
const DRIFT = 0.004;

export class Cadence {
  #average = 0;
  #framesRead = 0;
  #since = 0;
  #readingMs = 0;
  /** Light as it was when the settled average was read; the number holds while it stays so. */
  #held: readonly number[] | undefined;

  isDue({ average, frames, settled, dabLight }: FrameState): boolean {
    if (frames === 0) return false;
    this.#since += 1;
    if (average === this.#average && !this.#hasTime(settled, frames, dabLight)) return false;
    this.#average = average;
    this.#framesRead = frames;
    this.#since = 0;
    this.#held = settled === 1 ? dabLight : undefined;
    return true;
  }

  /** A settled average has been read, and nothing has changed since. */
  get isHeld(): boolean {
    return this.#held !== undefined;
  }

  /** What the last reading took, ms. */
  get readingMs(): number {
    return this.#readingMs;
  }

  took(ms: number): void {
    this.#readingMs = ms;
  }

  /** The next average, whichever it is, is new. */
  forget(): void {
    this.#average = 0;
    this.#held = undefined;
  }

  #hasTime(settled: number, frames: number, dabLight: readonly number[]): boolean {
    const held = this.#held;
    if (held) {
      const drifts = dabLight.some((v, k) => Math.abs(v - held[k]!) > DRIFT);
      return drifts && this.#since >= Math.min(MOST_FRAMES, this.#readingMs / DRIFTING_MS);
    }
    // The number that will hold is not waited for longer than the average itself.
    if (settled === 1) return true;
    const patience = Math.min(MOST_FRAMES, this.#readingMs / EARLY_MS);
    return this.#since >= patience && frames >= 2 * this.#framesRead;
  }
}
