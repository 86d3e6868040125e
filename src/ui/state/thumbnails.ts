/** Addresses of the small likenesses of saved readings and maps; let go when the screen closes. */
import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Id } from '../../job/ids.ts';
import type { BenchRecords } from './bench-records.ts';

type Pictured = Id<'reading'> | Id<'map'>;

export class Thumbnails implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  readonly #records: () => Pick<BenchRecords, 'pictureOf'>;
  readonly #addresses = new Map<Pictured, string>();
  readonly #asked = new Set<Pictured>();

  constructor(host: ReactiveControllerHost, records: () => Pick<BenchRecords, 'pictureOf'>) {
    this.#host = host;
    this.#records = records;
    host.addController(this);
  }

  /** `{ thumbnail }` once it is there, else nothing; the host is drawn anew when it comes. */
  of(id: Pictured): { readonly thumbnail?: string } {
    const thumbnail = this.#addresses.get(id);
    if (thumbnail) return { thumbnail };
    if (!this.#asked.has(id)) {
      this.#asked.add(id);
      void this.#load(id);
    }
    return {};
  }

  hostDisconnected(): void {
    for (const address of this.#addresses.values()) URL.revokeObjectURL(address);
    this.#addresses.clear();
    this.#asked.clear();
  }

  async #load(id: Pictured): Promise<void> {
    const picture = await this.#records().pictureOf(id, 'thumbnail');
    if (!picture || !this.#asked.has(id)) return;
    this.#addresses.set(id, URL.createObjectURL(picture));
    this.#host.requestUpdate();
  }
}
