/** Calls back when any record changed, here or in another window, while the host stands on a screen. */
import type { ReactiveControllerHost } from 'lit';
import type { BenchRecords } from './bench-records.ts';

/** @param records asked for when the host connects: they may come by context */
export function watchRecords(
  host: ReactiveControllerHost,
  records: () => Pick<BenchRecords, 'onChange'>,
  changed: () => void,
): void {
  let stop: (() => void) | undefined;
  host.addController({
    hostConnected() {
      stop = records().onChange(changed);
    },
    hostDisconnected() {
      stop?.();
    },
  });
}
