/** Holds the tile's light against the session's first, as live frames come. */
import { DriftWatch, STEADY } from '../../reading/drift.ts';
import type { BenchState } from './bench-state.ts';
import { lampInUse, tileInUse } from './reading-settings.ts';
import type { Store } from './store.ts';

export class LightWatch {
  readonly #store: Store<BenchState>;
  readonly #now: () => number;
  readonly #watch = new DriftWatch();
  #session = '';
  #seen: BenchState['live'];

  /** @param now ms, a clock that only goes forward */
  constructor(store: Store<BenchState>, now: () => number = () => performance.now()) {
    this.#store = store;
    this.#now = now;
  }

  begin(): void {
    this.#store.addEventListener('change', this.#changed);
  }

  #changed = () => {
    const { live, feed, settings, place } = this.#store.state;
    // Another camera, tile or lamp begins another session: its light is not the first one's.
    const here = { settings, place };
    const tile = tileInUse(here)?.name ?? '';
    const session = [feed.kind, feed.label, lampInUse(here), tile].join('\n');
    if (session !== this.#session) {
      this.#session = session;
      this.#watch.restart();
      if (this.#store.state.drift !== STEADY) this.#store.set({ drift: STEADY });
    }
    if (live === this.#seen) return;
    this.#seen = live;
    if (!live?.tileLight || live.moving) return;
    const drift = this.#watch.add({ ms: this.#now(), light: live.tileLight });
    const known = this.#store.state.drift;
    const isNews =
      drift.kind !== known.kind ||
      Math.abs(drift.light - known.light) > 0.01 ||
      Math.abs(drift.red - known.red) > 0.005 ||
      Math.abs(drift.blue - known.blue) > 0.005;
    if (isNews) this.#store.set({ drift });
  };
}
