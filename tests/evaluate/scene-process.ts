/** A child process of the evaluation: takes tasks, gives outcomes, ends with its parent. */
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { runFilm, type FilmOutcome } from './film.ts';
import { runScene, type SceneOutcome } from './one-scene.ts';

export interface Task {
  readonly kind: 'scene' | 'film';
  readonly seed: number;
  readonly part: Part;
}
export type Outcome =
  | { readonly kind: 'scene'; readonly scene: SceneOutcome }
  | { readonly kind: 'film'; readonly film: FilmOutcome };
export type Reply =
  { readonly outcome: Outcome } | { readonly seed: number; readonly error: string };

const reply = (message: Reply) => process.send?.(message);

async function work({ kind, seed, part }: Task): Promise<Outcome> {
  return kind === 'film'
    ? { kind, film: await runFilm(seed, part) }
    : { kind, scene: (await runScene(seed, part)).outcome };
}

process.on('message', (task: Task) => {
  work(task).then(
    (outcome) => reply({ outcome }),
    (error: unknown) =>
      reply({
        seed: task.seed,
        error: error instanceof Error ? (error.stack ?? error.message) : String(error),
      }),
  );
});
process.on('disconnect', () => process.exit(0));
