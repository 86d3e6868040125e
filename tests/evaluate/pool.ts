/** Spreads tasks over child processes. */
import { fork } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import type { Outcome, Reply, Task } from './scene-process.ts';

/** Outcomes in the order they came in; rejects when a task failed, with what each said. */
export function carriedOut(
  tasks: readonly Task[],
  processes = availableParallelism(),
): Promise<readonly Outcome[]> {
  const outcomes: Outcome[] = [];
  const errors: string[] = [];
  let next = 0;
  return new Promise((resolve, reject) => {
    const children = Array.from({ length: Math.min(processes, tasks.length) }, () => {
      const child = fork(fileURLToPath(new URL('./scene-process.ts', import.meta.url)), {
        execArgv: ['--import', 'tsx'],
        serialization: 'advanced',
      });
      const give = () => {
        const task = tasks[next++];
        if (task) child.send(task);
      };
      const end = (failure?: Error) => {
        children.forEach((each) => {
          if (each.connected) each.disconnect();
        });
        if (failure) reject(failure);
        else resolve(outcomes);
      };
      child.on('error', end);
      child.on('exit', (code) => {
        if (code !== 0) end(new Error(`a scene process ended with ${code ?? 'a signal'}`));
      });
      child.on('message', (reply: Reply) => {
        if ('outcome' in reply) outcomes.push(reply.outcome);
        else errors.push(`seed ${reply.seed}: ${reply.error}`);
        const done = outcomes.length + errors.length;
        if (process.stderr.isTTY) process.stderr.write(`\r${done}/${tasks.length} `);
        if (done < tasks.length) give();
        else end(errors.length > 0 ? new Error(errors.join('\n')) : undefined);
      });
      give();
      return child;
    });
  });
}
