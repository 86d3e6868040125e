/**
 * A dialog on the browser's own `<dialog>`: focus, Escape and the page behind are its business. One that
 * `asks` does not close over what was typed into it before the person has said so.
 */
import { css, html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { isTypedInto, Typing } from '../state/typing.ts';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';

@customElement('lt-sheet')
export class Sheet extends LitElement {
  @property() heading = '';
  @property({ type: Boolean, reflect: true }) open = false;
  /** Its fields are kept by a button of theirs: closing it otherwise would lose them. */
  @property({ type: Boolean }) asks = false;
  @state() private asking = false;
  @query('dialog') private dialog!: HTMLDialogElement;

  #typing = new Typing(this, (field) => this.open && this.asks && isTypedInto(field));

  static override styles = [
    base,
    controls,
    css`
      dialog {
        inline-size: min(560px, calc(100vw - 16px));
        max-block-size: calc(100dvh - 16px);
        padding: 0;
        border: 1px solid var(--edge);
        border-radius: 4px;
        background: var(--control);
        color: var(--ink);
        overflow: auto;
      }
      dialog::backdrop {
        background: rgb(0 0 0 / 55%);
      }
      header {
        position: sticky;
        inset-block-start: 0;
        z-index: 1;
        border-block-end: 1px solid var(--rule);
        background: var(--control);
      }
      .head {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
        padding: 4px 4px 4px 16px;
      }
      .asking {
        display: grid;
        gap: 8px;
        padding: 8px 16px 12px;
        border-block-start: 3px solid var(--ink);
      }
      h2 {
        font-size: 1.125rem;
      }
      .content {
        padding: 16px;
      }
    `,
  ];

  override render() {
    return html`<dialog
      aria-labelledby="heading"
      @close=${this.#closed}
      @cancel=${this.#cancel}
      @click=${this.#backdrop}
    >
      <header>
        <div class="head">
          <h2 id="heading">${this.heading}</h2>
          <button class="plain" aria-label="Close" @click=${() => this.#leave()}>
            ${icons.close}
          </button>
        </div>
        ${this.asking ? this.#question() : nothing}
      </header>
      <div class="content"><slot></slot></div>
    </dialog>`;
  }

  #question() {
    return html`<div class="asking">
      <p role="alert">What you typed here is not kept yet.</p>
      <div class="both">
        <button class="next" @click=${() => (this.asking = false)}>Go on typing</button>
        <button @click=${() => this.dialog.close()}>Close without keeping it</button>
      </div>
    </div>`;
  }

  protected override updated(changed: PropertyValues<this>): void {
    if (!changed.has('open')) return;
    if (this.open && !this.dialog.open) this.dialog.showModal();
    if (!this.open && this.dialog.open) this.dialog.close();
  }

  /** Closes, or asks first. */
  #leave(): void {
    if (this.#typing.isUnkept) this.asking = true;
    else this.dialog.close();
  }

  /** Escape; pressed once more it closes, for the question has been seen. */
  #cancel = (event: Event) => {
    if (this.asking || !this.#typing.isUnkept) return;
    event.preventDefault();
    this.asking = true;
  };

  #closed = () => {
    this.open = false;
    this.asking = false;
    this.#typing.done();
    this.dispatchEvent(new CustomEvent('lt-close'));
  };

  #backdrop = (event: MouseEvent) => {
    if (event.target === this.dialog) this.#leave();
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-sheet': Sheet;
  }
}
