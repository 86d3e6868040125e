/** What a person is told of an error that reached the screen. */
import type { BenchState } from './bench-state.ts';
import type { Store } from './store.ts';

export function faultInWords(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** A fault becomes a line the person can read; nothing that was there is lost. True when none. */
export async function guarded(
  bench: Store<BenchState>,
  what: string,
  work: () => Promise<void>,
): Promise<boolean> {
  try {
    await work();
    return true;
  } catch (error) {
    bench.set({ trouble: `${what}: ${faultInWords(error)}` });
    return false;
  }
}
