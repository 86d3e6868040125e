/** The page's side of the photo worker, which decodes what the browser cannot. */
import { transfer } from 'comlink';
import type { PhotoFault } from '../photo/fault.ts';
import type { PhotoWorkerApi, ShownPhoto } from '../../workers/photo-api.ts';
import { WorkerLink } from './worker-link.ts';

export type { ShownPhoto };

export class PhotoClient {
  readonly #link: WorkerLink<PhotoWorkerApi>;

  constructor(
    create = () =>
      new Worker(new URL('../../workers/photo.worker.ts', import.meta.url), { type: 'module' }),
  ) {
    // One call of a decoder may take long, and nothing is answered over it.
    this.#link = new WorkerLink<PhotoWorkerApi>(create, { work: 'decoding', missedBeats: 60 });
  }

  /** @param bytes transferred: they are gone afterwards. Rejects with `WorkerStopped` after `dispose`. */
  decode(bytes: Uint8Array<ArrayBuffer>): Promise<ShownPhoto | PhotoFault> {
    return this.#link.call<ShownPhoto | PhotoFault>((worker) =>
      worker.decode(transfer(bytes, [bytes.buffer])),
    );
  }

  /** Stops what is being decoded; frees the decoders' memory. The next call starts anew. */
  dispose(): void {
    this.#link.dispose();
  }
}
