/** Reads from the records anew when any of them changed, here or in another window. */
import { Task, type TaskConfig } from '@lit/task';
import type { ReactiveControllerHost } from 'lit';
import type { BenchRecords } from './bench-records.ts';

/**
 * A task that also runs when a record changed while the host stands on a screen.
 * @param records asked for when the host connects: they may come by context
 */
export function recordsTask<const Args extends readonly unknown[], Read>(
  host: ReactiveControllerHost,
  records: () => Pick<BenchRecords, 'onChange'>,
  config: TaskConfig<Args, Read>,
): Task<Args, Read> {
  const task = new Task(host, config);
  let stop: (() => void) | undefined;
  host.addController({
    hostConnected() {
      stop = records().onChange(() => void task.run());
    },
    hostDisconnected() {
      stop?.();
    },
  });
  return task;
}
