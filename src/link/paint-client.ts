/** The page's side of the paint worker. */
import type { LabD65 } from '../colour/spaces.ts';
import type { NudgeAnswer, NudgeRequest, PalettePigment } from '../paint/types.ts';
import type { PaintWorkerApi } from '../../workers/paint-api.ts';
import { Latest, type Superseded } from './latest.ts';
import { WorkerLink } from './worker-link.ts';

type FirstMix = Awaited<ReturnType<PaintWorkerApi['firstMix']>>;

export class PaintClient {
  readonly #link: WorkerLink<PaintWorkerApi>;
  readonly #nudges = new Latest();
  readonly #mixes = new Latest();

  constructor(
    create = () =>
      new Worker(new URL('../../workers/paint.worker.ts', import.meta.url), { type: 'module' }),
  ) {
    this.#link = new WorkerLink<PaintWorkerApi>(create, { work: 'paint reckoning' });
  }

  /** What to add next. A call overtaken by a newer one answers `superseded`. */
  nudge(request: NudgeRequest): Promise<NudgeAnswer | Superseded> {
    return this.#nudges.run(() => this.#link.call<NudgeAnswer>((worker) => worker.nudge(request)));
  }

  /** A first mix from nothing, grams. A call overtaken by a newer one answers `superseded`. */
  firstMix(
    palette: readonly PalettePigment[],
    glazeLab: LabD65,
    totalGrams: number,
    smallest: number,
  ): Promise<FirstMix | Superseded> {
    return this.#mixes.run(() =>
      this.#link.call<FirstMix>((worker) =>
        worker.firstMix(palette, glazeLab, totalGrams, smallest),
      ),
    );
  }

  dispose(): void {
    this.#nudges.cancel();
    this.#mixes.cancel();
    this.#link.dispose();
  }
}
