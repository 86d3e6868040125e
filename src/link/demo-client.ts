/** The page's side of the demo worker, which renders the demo bench. */
import type { PotGrams } from '../paint/types.ts';
import type { DemoScene, DemoWorkerApi, PotLaid } from '../../workers/demo-api.ts';
import { WorkerLink } from './worker-link.ts';

export type { DemoScene, PotLaid };

export class DemoClient {
  readonly #link: WorkerLink<DemoWorkerApi>;

  constructor(
    create = () =>
      new Worker(new URL('../../workers/demo.worker.ts', import.meta.url), { type: 'module' }),
  ) {
    this.#link = new WorkerLink<DemoWorkerApi>(create, { work: 'demo bench' });
  }

  scene(): Promise<DemoScene> {
    return this.#link.call((worker) => worker.scene());
  }
  setPot(pot: PotGrams): Promise<PotLaid> {
    return this.#link.call<PotLaid>((worker) => worker.setPot(pot));
  }
  spray(pot: PotGrams): Promise<PotLaid> {
    return this.#link.call<PotLaid>((worker) => worker.spray(pot));
  }
  layOnTile(pot: PotGrams): Promise<PotLaid> {
    return this.#link.call<PotLaid>((worker) => worker.layOnTile(pot));
  }
  frame(timeMs: number): Promise<ImageBitmap> {
    return this.#link.call((worker) => worker.frame(timeMs));
  }
  dispose(): void {
    this.#link.dispose();
  }
}
