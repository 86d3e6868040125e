/**
 * The paints of a palette as a list to be read through: masstone and tint of each, done or to do.
 * Event: `lt-choose-paint` {pigment}.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Pigment } from '../../job/mixing.ts';
import { base, controls } from '../styles/shared.ts';
import { pigmentCode } from './pigment-names.ts';

@customElement('lt-reading-order')
export class ReadingOrder extends LitElement {
  @property({ attribute: false }) pigments: readonly Pigment[] = [];
  @property() chosen = '';

  static override styles = [
    base,
    controls,
    css`
      ol {
        display: grid;
        grid-template-columns: repeat(auto-fill, minmax(104px, 1fr));
        gap: 4px;
      }
      button {
        display: grid;
        gap: 0;
        inline-size: 100%;
        padding: 4px 8px;
        font-weight: 400;
      }
      button[aria-current='true'] {
        padding: 2px 6px;
      }
      b {
        font-size: 0.9375rem;
      }
      small {
        color: var(--ink-quiet);
        font-size: 0.8125rem;
        line-height: 1.2;
      }
    `,
  ];

  override render() {
    return html`<ol aria-label="Paints of the palette">
      ${this.pigments.map((pigment) => {
        const { id, name } = pigment;
        const code = pigmentCode(id, this.pigments);
        return html`<li>
          <button
            aria-current=${id === this.chosen ? 'true' : 'false'}
            @click=${() =>
              this.dispatchEvent(new CustomEvent('lt-choose-paint', { detail: { pigment: id } }))}
          >
            <b>${code}</b>${code === name ? nothing : html`<span class="unseen"> ${name}, </span>`}
            <small>${stateOf(pigment)}</small>
          </button>
        </li>`;
      })}
    </ol>`;
  }
}

/** "✓ both", "tint to do": said in words, and no mark alone. */
function stateOf({ masstone, tint, isWhite }: Pigment): string {
  if (!masstone) return 'to do';
  if (isWhite) return '✓ masstone';
  return tint ? '✓ both' : 'tint to do';
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-reading-order': ReadingOrder;
  }
}
