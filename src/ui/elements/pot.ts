/** What is in the pot, by mass, the largest first. */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PotGrams } from '../../paint/types.ts';
import { base } from '../styles/shared.ts';
import { formatGrams } from './numbers.ts';
import { pigmentName, totalGrams, type PigmentOnShow } from './pigment-names.ts';

@customElement('lt-pot')
export class PotTable extends LitElement {
  @property({ attribute: false }) pot: PotGrams = {};
  @property({ attribute: false }) pigments: readonly PigmentOnShow[] = [];

  static override styles = [
    base,
    css`
      table {
        inline-size: 100%;
        border-collapse: collapse;
      }
      th,
      td {
        padding: 6px 0;
        border-block-end: 1px solid var(--rule);
        font-weight: 400;
        text-align: start;
      }
      td {
        text-align: end;
        white-space: nowrap;
      }
      tfoot th,
      tfoot td {
        border: 0;
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const rows = Object.entries(this.pot).sort(([, a], [, b]) => b - a);
    if (rows.length === 0) return html`<p>The pot is empty: say what you have mixed so far.</p>`;
    return html`<table>
      <tbody>
        ${rows.map(
          ([id, grams]) =>
            html`<tr>
              <th scope="row">${pigmentName(id, this.pigments)}</th>
              <td>${formatGrams(grams)}</td>
            </tr>`,
        )}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">In the pot</th>
          <td>${formatGrams(totalGrams(this.pot))}</td>
        </tr>
      </tfoot>
    </table>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-pot': PotTable;
  }
}
