/** The attempts of an area as a row, oldest first. Event: `lt-open-reading` {id}. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Verdict } from '../../reading/types.ts';
import { base, controls } from '../styles/shared.ts';
import { verdictIcon } from './icons.ts';
import { formatNumber } from './numbers.ts';

export interface AttemptOnShow {
  /** Id of its reading. */
  readonly id: string;
  readonly number: number;
  readonly deltaE00: number;
  readonly verdict: Verdict;
  /** "+ 0.012 g PB 35", or "first mix". */
  readonly addition: string;
  /** Whether the dab was read wet or dry. */
  readonly film?: string;
  /** Address of the crop; absent while it loads. */
  readonly thumbnail?: string;
}

@customElement('lt-attempts')
export class AttemptsRow extends LitElement {
  @property({ attribute: false }) attempts: readonly AttemptOnShow[] = [];

  static override styles = [
    base,
    controls,
    css`
      :host {
        min-inline-size: 0;
      }
      ol {
        display: flex;
        gap: 4px;
        overflow-x: auto;
        overscroll-behavior-x: contain;
        scroll-snap-type: x proximity;
        scrollbar-width: thin;
        scrollbar-color: var(--edge) transparent;
      }
      li {
        flex: none;
        scroll-snap-align: start;
      }
      button {
        gap: 6px;
        padding: 2px 10px 2px 2px;
        font-weight: 400;
      }
      img,
      .blank {
        inline-size: 44px;
        block-size: 44px;
        object-fit: cover;
        background: var(--control-deep);
      }
      strong {
        font-size: 1.0625rem;
      }
      .first {
        display: flex;
        gap: 5px;
        align-items: center;
      }
      small {
        display: block;
        color: var(--ink-quiet);
        font-size: 0.8125rem;
        line-height: 1.2;
      }
      .none {
        display: flex;
        align-items: center;
        min-block-size: var(--touch);
        color: var(--ink-quiet);
        font-size: 0.875rem;
      }
    `,
  ];

  override render() {
    if (this.attempts.length === 0) {
      return html`<p class="none">Saved readings of this area stand here.</p>`;
    }
    return html`<ol aria-label="Attempts, oldest first">
      ${this.attempts.map(
        (attempt) =>
          html`<li>
            <button
              aria-label="Attempt ${attempt.number}, ${attempt.verdict}, ΔE₀₀ ${formatNumber(
                attempt.deltaE00,
                1,
              )}${attempt.film ? `, ${attempt.film}` : ''}, ${attempt.addition}"
              @click=${() =>
                this.dispatchEvent(
                  new CustomEvent('lt-open-reading', { detail: { id: attempt.id } }),
                )}
            >
              ${
                attempt.thumbnail
                  ? html`<img src=${attempt.thumbnail} alt="" />`
                  : html`<span class="blank"></span>`
              }
              <span>
                <span class="first">
                  ${verdictIcon(attempt.verdict, 16)}
                  <strong>${formatNumber(attempt.deltaE00, 1)}</strong>
                  ${attempt.film ? html`<small>${attempt.film}</small>` : nothing}
                </span>
                ${attempt.addition ? html`<small>${attempt.addition}</small>` : nothing}
              </span>
            </button>
          </li>`,
      )}
    </ol>`;
  }

  /** The newest is the one that matters: keep it in sight. */
  protected override updated(): void {
    const list = this.renderRoot.querySelector('ol');
    if (list) list.scrollLeft = list.scrollWidth;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-attempts': AttemptsRow;
  }
}
