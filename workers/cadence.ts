/** When the average is read again: at once when it is new, then whenever it is worth it. */
import type { FrameState } from '../src/reading/temporal.ts';

/** Time that readings may take for each frame, ms: at first, and once the average has settled. */
const EARLY_MS = 20;
const SETTLED_MS = 0.8;
/** On a slow device that would be for ever: after ten seconds it is read all the same. */
const MOST_FRAMES = 300;

export class Cadence {
  #average = 0;
  #framesRead = 0;
  #since = 0;
  #readingMs = 0;

  /** A new average; or it has doubled since it was last read, and readings have the time. */
  isDue({ average, frames, settled }: FrameState): boolean {
    if (frames === 0) return false;
    this.#since += 1;
    const patience = this.#readingMs / (settled < 1 ? EARLY_MS : SETTLED_MS);
    const isNew = average !== this.#average;
    const due = Math.max(this.#framesRead, Math.min(MOST_FRAMES, patience));
    if (!isNew && this.#since < due) return false;
    this.#average = average;
    this.#framesRead = frames;
    this.#since = 0;
    return true;
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
  }
}
