/** One line that says what was done, and takes it back. Events: `lt-undo`, `lt-close`. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';

@customElement('lt-undo-line')
export class UndoLine extends LitElement {
  @property() text = '';
  @property({ type: Boolean }) canUndo = false;

  static override styles = [
    base,
    controls,
    css`
      .line {
        display: flex;
        align-items: center;
        gap: 8px;
        margin-block-end: 8px;
        padding: 2px 4px 2px 16px;
        background: var(--control-deep);
        color: var(--ink);
      }
      p {
        flex: 1;
        font-weight: 600;
      }
    `,
  ];

  override render() {
    return html`<div role="status">
      ${
        this.text
          ? html`<div class="line">
              <p>${this.text}</p>
              ${
                this.canUndo
                  ? html`<button @click=${() => this.dispatchEvent(new CustomEvent('lt-undo'))}>
                      ${icons.undo} Undo
                    </button>`
                  : nothing
              }
              <button
                class="plain"
                aria-label="Close the line"
                @click=${() => this.dispatchEvent(new CustomEvent('lt-close'))}
              >
                ${icons.close}
              </button>
            </div>`
          : nothing
      }
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-undo-line': UndoLine;
  }
}
