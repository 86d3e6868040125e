/** One small typed store. Frames never enter it. */
import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Holds one state, replaces parts of it, and says so once for each replacement. */
export class Store<State extends object> extends EventTarget {
  #state: State;

  constructor(initial: State) {
    super();
    this.#state = initial;
  }

  get state(): State {
    return this.#state;
  }

  set(part: Partial<State> | ((state: State) => Partial<State>)): void {
    const changes = typeof part === 'function' ? part(this.#state) : part;
    this.#state = { ...this.#state, ...changes };
    this.dispatchEvent(new Event('change'));
  }
}

/** Draws its host anew when, and only when, what it selects has changed. */
export class Select<State extends object, Selected extends object> implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  readonly #store: () => Store<State>;
  readonly #select: (state: State) => Selected;
  #connected: Store<State> | undefined;
  #value: Selected | undefined;

  /** @param store asked for when the host connects: it may come by context */
  constructor(
    host: ReactiveControllerHost,
    store: () => Store<State>,
    select: (state: State) => Selected,
  ) {
    this.#host = host;
    this.#store = store;
    this.#select = select;
    host.addController(this);
  }

  get value(): Selected {
    this.#value ??= this.#select(this.#store().state);
    return this.#value;
  }

  hostConnected(): void {
    this.#connected = this.#store();
    this.#connected.addEventListener('change', this.#changed);
    this.#changed();
  }

  hostDisconnected(): void {
    this.#connected?.removeEventListener('change', this.#changed);
  }

  #changed = () => {
    const next = this.#select(this.#store().state);
    if (this.#value && isShallowEqual(this.#value, next)) return;
    this.#value = next;
    this.#host.requestUpdate();
  };
}

function isShallowEqual(a: object, b: object): boolean {
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((key) => Object.is(a[key as keyof typeof a], b[key as keyof typeof b]))
  );
}
