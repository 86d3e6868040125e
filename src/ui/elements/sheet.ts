/** A dialog on the browser's own `<dialog>`: focus, Escape and the page behind are its business. */
import { css, html, LitElement, type PropertyValues } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';

@customElement('lt-sheet')
export class Sheet extends LitElement {
  @property() heading = '';
  @property({ type: Boolean, reflect: true }) open = false;
  @query('dialog') private dialog!: HTMLDialogElement;

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
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
        padding: 4px 4px 4px 16px;
        border-block-end: 1px solid var(--rule);
        background: var(--control);
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
    return html`<dialog aria-labelledby="heading" @close=${this.#closed} @click=${this.#backdrop}>
      <header>
        <h2 id="heading">${this.heading}</h2>
        <button class="plain" aria-label="Close" @click=${() => this.dialog.close()}>
          ${icons.close}
        </button>
      </header>
      <div class="content"><slot></slot></div>
    </dialog>`;
  }

  protected override updated(changed: PropertyValues<this>): void {
    if (!changed.has('open')) return;
    if (this.open && !this.dialog.open) this.dialog.showModal();
    if (!this.open && this.dialog.open) this.dialog.close();
  }

  #closed = () => {
    this.open = false;
    this.dispatchEvent(new CustomEvent('lt-close'));
  };

  #backdrop = (event: MouseEvent) => {
    if (event.target === this.dialog) this.dialog.close();
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-sheet': Sheet;
  }
}
