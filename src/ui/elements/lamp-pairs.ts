/** The same dab under two lamps, pair by pair: the sentence first, the numbers below it. */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { LampPair } from '../../job/lamp-pairs.ts';
import { hashOf } from '../state/route.ts';
import { base, controls } from '../styles/shared.ts';
import { formatNumber, formatTime } from './numbers.ts';
import './swatches.ts';

const FLAG_WORDS = {
  holds: 'Holds',
  'may-change': 'May change',
  changes: 'Changes',
} as const;

@customElement('lt-lamp-pairs')
export class LampPairs extends LitElement {
  @property({ attribute: false }) pairs: readonly LampPair[] = [];

  static override styles = [
    base,
    controls,
    css`
      article {
        padding-block: 12px;
      }
      article + article {
        border-block-start: 1px solid var(--rule);
      }
      h4 {
        margin: 0;
        font-size: 1.25rem;
        font-weight: 800;
      }
      .holds {
        font-weight: 500;
      }
      .may-change {
        font-style: italic;
        font-weight: 500;
      }
      .sentence {
        margin-block: 2px 8px;
        font-size: 1.0625rem;
      }
      .two {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(220px, 100%), 1fr));
        background: var(--surround);
      }
      lt-swatches {
        min-block-size: 110px;
      }
      .under {
        padding: 6px 10px 0;
        background: var(--surround);
        color: var(--ink-on-surround);
        font-weight: 700;
        text-align: center;
      }
      .numbers {
        margin-block-start: 8px;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
      .links {
        display: flex;
        flex-wrap: wrap;
        gap: 8px;
        margin-block-start: 8px;
      }
    `,
  ];

  override render() {
    if (this.pairs.length === 0) {
      return html`<p>
        No dab has been read under two lamps yet. Read and save it under the one in use; carry
        piece, tile and camera to the other light, choose that lamp above, and read and save the
        same dab again, wet or dry as before.
      </p>`;
    }
    return this.pairs.map(({ first, second, across }) => {
      const { flag, sentence, index, interval95, change } = across;
      const [low, high] = interval95.map((v) => formatNumber(v, 1));
      return html`<article>
        <h4 class=${flag}>${FLAG_WORDS[flag]}</h4>
        <p class="sentence">${sentence}</p>
        <div class="two">
          ${[first, second].map(
            (one) =>
              html`<div>
                <p class="under">
                  ${one.lamp}: ΔE₀₀ ${formatNumber(one.difference.deltaE00, 1)}, ${one.film}
                </p>
                <lt-swatches .glaze=${one.glazeLab} .dab=${one.dabLab}></lt-swatches>
              </div>`,
          )}
        </div>
        <p class="numbers">
          Made by the lamp: ΔE₀₀ ${formatNumber(index, 1)} (${low} to ${high}), ΔL*
          ${formatNumber(change[0], 1)}, Δa* ${formatNumber(change[1], 1)}, Δb*
          ${formatNumber(change[2], 1)}. What the dab misses under ${first.lamp} is taken off (CIE
          15, special metamerism index).
        </p>
        <div class="links">
          ${[first, second].map(
            (one) =>
              html`<a class="button" href=${hashOf({ screen: 'record', reading: one.id })}>
                Reading of ${formatTime(one.createdAt)}
              </a>`,
          )}
        </div>
      </article>`;
    });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-lamp-pairs': LampPairs;
  }
}
