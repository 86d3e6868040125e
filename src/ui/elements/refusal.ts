/** A reading that cannot be trusted: what is wrong, and what to do about it. */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Refusal } from '../../reading/types.ts';
import { base } from '../styles/shared.ts';

@customElement('lt-refusal')
export class RefusalCard extends LitElement {
  @property({ attribute: false }) refused: readonly Refusal[] = [];

  static override styles = [
    base,
    css`
      li + li {
        margin-block-start: 8px;
        padding-block-start: 8px;
        border-block-start: 1px solid var(--rule);
      }
      .what {
        font-size: 1.0625rem;
        font-weight: 700;
        line-height: 1.25;
      }
      .remedy {
        line-height: 1.3;
      }
    `,
  ];

  override render() {
    return html`<ul>
      ${this.refused.map(
        (one) =>
          html`<li>
            <p class="what">${one.message}</p>
            <p class="remedy">${one.remedy}</p>
          </li>`,
      )}
    </ul>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-refusal': RefusalCard;
  }
}
