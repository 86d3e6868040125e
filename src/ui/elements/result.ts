/** What a reading says: number with interval, verdict, words, and why it is no surer than that. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Reading, VerdictThresholds } from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import './difference.ts';
import { formatNumber } from './numbers.ts';
import './verdict.ts';

@customElement('lt-result')
export class ResultPanel extends LitElement {
  @property({ attribute: false }) reading:
    Pick<Reading, 'difference' | 'verdict' | 'words' | 'warnings' | 'uncertainty'> | undefined;
  @property({ attribute: false }) thresholds: VerdictThresholds | undefined;
  /** Still live: not taken yet. */
  @property({ type: Boolean }) live = false;

  static override styles = [
    base,
    css`
      .words {
        margin-block-start: 2px;
        font-size: clamp(1.0625rem, 1.4vw, 1.375rem);
        line-height: 1.25;
      }
      .words strong {
        font-weight: 800;
      }
      .sentence,
      .warnings {
        margin-block-start: 2px;
        color: var(--ink-quiet);
        font-size: clamp(0.875rem, 1.05vw, 1.0625rem);
        line-height: 1.25;
      }
      .warnings {
        color: var(--ink);
      }
    `,
  ];

  override render() {
    const { reading } = this;
    if (!reading) return nothing;
    const { difference, verdict, words, warnings, uncertainty } = reading;
    const [first, ...more] = words;
    return html`
      <lt-difference
        ?live=${this.live}
        .deltaE00=${difference.deltaE00}
        .interval95=${difference.interval95}
        .thresholds=${this.thresholds ?? { acceptable: 1.8, imperceptible: 0.8 }}
      >
        <lt-verdict .acceptable=${verdict.acceptable} .imperceptible=${verdict.imperceptible}>
        </lt-verdict>
      </lt-difference>
      <p class="words">
        ${
          first
            ? html`The dab is <strong>${first}</strong>${more.map((word) => `, ${word}`)}.`
            : 'No difference worth a word.'
        }
      </p>
      <p class="sentence">${uncertainty.sentence}</p>
      ${
        warnings.length > 0
          ? html`<ul class="warnings">
              ${warnings.map((warning) => html`<li>${warning}</li>`)}
            </ul>`
          : nothing
      }
    `;
  }
}

/** The result as it is announced: once for each reading, never for a live value. */
export function resultInWords(reading: Pick<Reading, 'difference' | 'verdict' | 'words'>): string {
  const { difference, verdict, words } = reading;
  const how = words.length > 0 ? ` The dab is ${words.join(', ')} than the glaze.` : '';
  return `${verdict.acceptable}. Difference ${formatNumber(difference.deltaE00, 1)}.${how}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-result': ResultPanel;
  }
}
