/** The page's side of the paint worker. */
import type { LabD65 } from '../colour/spaces.ts';
import type {
  FirstMixRequest,
  NudgeAnswer,
  NudgeRequest,
  PalettePigment,
  PotGrams,
} from '../paint/types.ts';
import type {
  CharacterisationsAnswer,
  PaintWorkerApi,
  PullsAnswer,
} from '../../workers/paint-api.ts';
import { Latest, type Superseded } from './latest.ts';
import { WorkerLink } from './worker-link.ts';

/** Each call overtaken by a newer one of its kind answers `superseded`. */
export class PaintClient {
  readonly #link: WorkerLink<PaintWorkerApi>;
  readonly #nudges = new Latest();
  readonly #mixes = new Latest();
  readonly #characterisations = new Latest();
  readonly #pulls = new Latest();

  constructor(
    create = () =>
      new Worker(new URL('../../workers/paint.worker.ts', import.meta.url), { type: 'module' }),
  ) {
    this.#link = new WorkerLink<PaintWorkerApi>(create, { work: 'paint reckoning' });
  }

  /** Starts the worker and has its slow first reckonings out. What is wrong with it shows when it is asked. */
  async warmUp(): Promise<void> {
    await this.#link.call((worker) => worker.warmUp()).catch(() => undefined);
  }

  /** What to add next. */
  nudge(request: NudgeRequest): Promise<NudgeAnswer | Superseded> {
    return this.#nudges.run(() => this.#link.call<NudgeAnswer>((worker) => worker.nudge(request)));
  }

  /** A first mix from nothing: what to put into an empty pot. */
  firstMix(request: FirstMixRequest): Promise<NudgeAnswer | Superseded> {
    return this.#mixes.run(() =>
      this.#link.call<NudgeAnswer>((worker) => worker.firstMix(request)),
    );
  }

  /** How well each pigment is known. */
  characterisations(
    palette: readonly PalettePigment[],
  ): Promise<CharacterisationsAnswer | Superseded> {
    return this.#characterisations.run(() =>
      this.#link.call<CharacterisationsAnswer>((worker) => worker.characterisations(palette)),
    );
  }

  /** Where each pigment would pull the dab, Lab per gram. */
  pulls(
    palette: readonly PalettePigment[],
    pot: PotGrams,
    dabLab: LabD65,
  ): Promise<PullsAnswer | Superseded> {
    return this.#pulls.run(() =>
      this.#link.call<PullsAnswer>((worker) => worker.pulls(palette, pot, dabLab)),
    );
  }
}
