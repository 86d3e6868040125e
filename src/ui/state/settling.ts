/** The live picture comes to rest: a hand has just left the bench. */
import type { BenchState } from './bench-state.ts';
import type { Store } from './store.ts';

/** From here on the live average counts as settled. */
export const SETTLED = 0.95;
/** So long is it waited for, ms. */
const PATIENCE_MS = 8000;

/** Waits, but not for ever, until the live average has settled. */
export async function settle(bench: Store<BenchState>): Promise<void> {
  const isSteady = () => {
    const { live, feed, engine } = bench.state;
    const cannotSettle = feed.kind === 'photo' || typeof engine === 'object';
    return cannotSettle || (live !== undefined && live.settled >= SETTLED);
  };
  await new Promise<void>((resolve) => {
    const done = () => {
      clearTimeout(patience);
      bench.removeEventListener('change', look);
      resolve();
    };
    const look = () => {
      if (isSteady()) done();
    };
    const patience = setTimeout(done, PATIENCE_MS);
    bench.addEventListener('change', look);
    look();
  });
}
