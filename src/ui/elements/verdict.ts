/** The verdict by word, weight and shape: never by hue. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Verdict } from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import { verdictIcon } from './icons.ts';

const WORD: Record<Verdict | 'refused', string> = {
  blends: 'Blends',
  shows: 'Shows',
  unsure: 'Unsure',
  refused: 'No reading',
};

/** What the two verdicts, at the acceptable and at the imperceptible threshold, say together. */
export function closeLook(acceptable: Verdict, imperceptible: Verdict): string {
  if (acceptable === 'blends') {
    if (imperceptible === 'blends') return 'even to a close look';
    if (imperceptible === 'shows') return 'acceptable; a close look finds it';
    return 'acceptable; a close look may find it';
  }
  return acceptable === 'shows' ? '' : 'may be acceptable, may not';
}

@customElement('lt-verdict')
export class VerdictMark extends LitElement {
  @property() acceptable: Verdict | 'refused' = 'unsure';
  @property() imperceptible: Verdict | undefined;

  static override styles = [
    base,
    css`
      :host {
        display: flex;
        align-items: center;
        gap: 10px;
      }
      svg {
        flex: none;
      }
      .refused .word,
      .blends .word,
      .shows .word,
      .unsure .word {
        display: inline-block;
        margin-inline-end: 8px;
        font-size: 1.75rem;
        font-weight: 800;
        letter-spacing: -0.01em;
        line-height: 1;
      }
      .unsure .word {
        font-weight: 400;
        font-style: italic;
      }
      .more {
        display: inline-block;
        color: var(--ink-quiet);
        font-size: 0.875rem;
        line-height: 1.2;
      }
    `,
  ];

  override render() {
    return html`
      ${verdictIcon(this.acceptable, 30)}
      <span class=${this.acceptable}>
        <span class="word">${WORD[this.acceptable]}</span>
        ${
          this.acceptable !== 'refused' && this.imperceptible
            ? html`<span class="more">${closeLook(this.acceptable, this.imperceptible)}</span>`
            : nothing
        }
      </span>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-verdict': VerdictMark;
  }
}
