/** What a screen's work came to: what went wrong, and what was done, with the way back. */
import { html, type ReactiveController, type ReactiveControllerHost } from 'lit';
import '../elements/undo-line.ts';
import { faultInWords } from '../state/fault.ts';
import type { Done } from '../state/job-book.ts';

export class WorkLine implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  readonly #after: () => Promise<unknown>;
  #done: Done | undefined;
  #trouble = '';

  /** @param after what is to follow every piece of work that went well */
  constructor(
    host: ReactiveControllerHost,
    after: () => Promise<unknown> = () => Promise.resolve(),
  ) {
    this.#host = host;
    this.#after = after;
    host.addController(this);
  }

  hostConnected(): void {
    this.#host.requestUpdate();
  }

  say(done: Done | undefined): void {
    this.#done = done;
    this.#host.requestUpdate();
  }

  async attempt(work: () => Promise<void>): Promise<void> {
    this.#troubled('');
    try {
      await work();
      await this.#after();
    } catch (error) {
      this.#troubled(faultInWords(error));
    }
  }

  #troubled(text: string): void {
    this.#trouble = text;
    this.#host.requestUpdate();
  }

  /** Its line of trouble is drawn by the styles of `paper`. */
  render() {
    const done = this.#done;
    return html`<p class="trouble" role="alert">${this.#trouble}</p>
      <lt-undo-line
        .text=${done?.text ?? ''}
        .canUndo=${done !== undefined}
        @lt-undo=${() => {
          this.say(undefined);
          void this.attempt(async () => {
            await done?.undo();
          });
        }}
        @lt-close=${() => this.say(undefined)}
      ></lt-undo-line>`;
  }
}
