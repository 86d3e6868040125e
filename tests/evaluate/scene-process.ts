/** A child process of the evaluation: takes seeds, gives outcomes, ends with its parent. */
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { runScene, type SceneOutcome } from './one-scene.ts';

export interface SceneTask {
  readonly seed: number;
  readonly part: Part;
}
export type SceneReply =
  { readonly outcome: SceneOutcome } | { readonly seed: number; readonly error: string };

const reply = (message: SceneReply) => process.send?.(message);

process.on('message', ({ seed, part }: SceneTask) => {
  runScene(seed, part).then(
    ({ outcome }) => reply({ outcome }),
    (error: unknown) =>
      reply({
        seed,
        error: error instanceof Error ? (error.stack ?? error.message) : String(error),
      }),
  );
});
process.on('disconnect', () => process.exit(0));
