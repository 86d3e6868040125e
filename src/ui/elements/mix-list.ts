/**
 * The mixes of a pot, the newest first: what went in, and what was read of it. Event:
 * `lt-open-reading` {id}.
 */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PotGrams } from '../../paint/types.ts';
import type { Verdict } from '../../reading/types.ts';
import { base, controls } from '../styles/shared.ts';
import { verdictIcon } from './icons.ts';
import { formatNumber } from './numbers.ts';
import { additionInWords, type PigmentOnShow } from './pigment-names.ts';

export interface ReadingOnShow {
  readonly id: string;
  readonly number: number;
  readonly deltaE00: number;
  readonly verdict: Verdict;
  readonly film: string;
  readonly thumbnail?: string;
}
export interface MixOnShow {
  readonly id: string;
  /** Empty for the mix the pot began with. */
  readonly addition: PotGrams;
  readonly pot: PotGrams;
  readonly readings: readonly ReadingOnShow[];
}

@customElement('lt-mix-list')
export class MixList extends LitElement {
  /** Oldest first. */
  @property({ attribute: false }) mixes: readonly MixOnShow[] = [];
  @property({ attribute: false }) pigments: readonly PigmentOnShow[] = [];

  static override styles = [
    base,
    controls,
    css`
      ol > li {
        display: grid;
        gap: 6px;
        padding-block: 10px;
        border-block-start: 1px solid var(--rule);
        line-height: 1.3;
      }
      .readings {
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
      }
      button {
        gap: 8px;
        padding: 2px 12px 2px 2px;
        font-weight: 400;
      }
      img,
      .blank {
        inline-size: 56px;
        block-size: 56px;
        object-fit: cover;
        background: var(--control-deep);
      }
      .value {
        display: flex;
        gap: 6px;
        align-items: center;
      }
      small,
      .quiet {
        font-size: 0.875rem;
      }
    `,
  ];

  override render() {
    if (this.mixes.length === 0) {
      return html`<p class="quiet">Nothing is mixed yet.</p>`;
    }
    const newestFirst = [...this.mixes].reverse();
    return html`<ol aria-label="Mixes of this pot, newest first">
      ${newestFirst.map(
        (mix) =>
          html`<li>
            <p>
              ${
                Object.keys(mix.addition).length > 0
                  ? html`<b>Added</b> ${additionInWords(mix.addition, this.pigments)}`
                  : html`<b>Began with</b> ${additionInWords(mix.pot, this.pigments)}`
              }
            </p>
            ${
              mix.readings.length > 0
                ? html`<div class="readings">${mix.readings.map((one) => this.#reading(one))}</div>`
                : html`<p class="quiet">not read</p>`
            }
          </li>`,
      )}
    </ol>`;
  }

  #reading({ id, number, deltaE00, verdict, film, thumbnail }: ReadingOnShow) {
    return html`<button
      @click=${() => this.dispatchEvent(new CustomEvent('lt-open-reading', { detail: { id } }))}
    >
      ${thumbnail ? html`<img src=${thumbnail} alt="" />` : html`<span class="blank"></span>`}
      <span>
        <span class="value">
          ${verdictIcon(verdict, 16)} <b>ΔE₀₀ ${formatNumber(deltaE00, 1)}</b>
        </span>
        <small>reading ${number}, ${film}, ${verdict}</small>
      </span>
    </button>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-mix-list': MixList;
  }
}
