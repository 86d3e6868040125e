/** Addresses of kept pictures by id; let go when the screen closes. */
import type { ReactiveController, ReactiveControllerHost } from 'lit';

export class Likenesses<I extends string> implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  readonly #load: (id: I) => Promise<Blob | undefined>;
  readonly #addresses = new Map<I, string>();
  readonly #asked = new Set<I>();

  constructor(host: ReactiveControllerHost, load: (id: I) => Promise<Blob | undefined>) {
    this.#host = host;
    this.#load = load;
    host.addController(this);
  }

  /** The address once it is there; the host is drawn anew when it comes. */
  of(id: I): string | undefined {
    if (!this.#asked.has(id)) {
      this.#asked.add(id);
      void this.#fetch(id);
    }
    return this.#addresses.get(id);
  }

  hostDisconnected(): void {
    for (const address of this.#addresses.values()) URL.revokeObjectURL(address);
    this.#addresses.clear();
    this.#asked.clear();
  }

  async #fetch(id: I): Promise<void> {
    const picture = await this.#load(id);
    if (!picture || !this.#asked.has(id)) return;
    this.#addresses.set(id, URL.createObjectURL(picture));
    this.#host.requestUpdate();
  }
}
