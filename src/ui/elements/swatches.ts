/**
 * Dab, glaze and the dab as it should look after the next addition, edge to edge, so that the eye
 * judges the seams. Without a prediction the glaze takes its place: nothing jumps.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { LabD65 } from '../../colour/spaces.ts';
import { cssColour } from '../../colour/css.ts';
import { formatLab } from './numbers.ts';
import { base } from '../styles/shared.ts';

@customElement('lt-swatches')
export class Swatches extends LitElement {
  @property({ attribute: false }) glaze: LabD65 | undefined;
  @property({ attribute: false }) dab: LabD65 | undefined;
  @property({ attribute: false }) predicted: LabD65 | undefined;

  static override styles = [
    base,
    css`
      :host {
        display: grid;
        grid-template-rows: minmax(40px, 1fr) auto;
        min-block-size: 0;
        padding: 8px 10px 0;
        background: var(--surround);
        color: var(--ink-on-surround);
        /* The neutral surround is part of the look. */
        forced-color-adjust: none;
      }
      .row {
        display: grid;
        grid-template-columns: 1fr 1fr 1fr;
        min-block-size: 0;
      }
      .row.pair .glaze {
        grid-column: span 2;
      }
      .names {
        display: grid;
        grid-template-columns: 1fr 1fr 1fr;
        padding-block: 2px 3px;
        font-size: 0.8125rem;
        font-weight: 600;
        line-height: 1.2;
        text-align: center;
      }
      .names.pair .glaze {
        grid-column: span 2;
      }
      .waiting {
        grid-row: 1 / -1;
        align-self: center;
        padding: 8px;
        font-weight: 600;
        text-align: center;
      }
      .indicative {
        grid-column: 1 / -1;
        font-weight: 400;
      }
    `,
  ];

  override render() {
    if (!this.glaze || !this.dab) {
      return html`<p class="waiting">Dab and glaze are shown here, side by side.</p>`;
    }
    const pair = this.predicted ? '' : 'pair';
    return html`
      <div class="row ${pair}" role="img" aria-label=${this.#inWords()}>
        <div class="dab" .style=${`background: ${cssColour(this.dab)}`}></div>
        <div class="glaze" .style=${`background: ${cssColour(this.glaze)}`}></div>
        ${
          this.predicted
            ? html`<div .style=${`background: ${cssColour(this.predicted)}`}></div>`
            : nothing
        }
      </div>
      <div class="names ${pair}" aria-hidden="true">
        <span>dab</span><span class="glaze">glaze</span>
        ${this.predicted ? html`<span>predicted</span>` : nothing}
        <span class="indicative">On-screen colour is indicative only.</span>
      </div>
    `;
  }

  #inWords(): string {
    const parts = [`dab L a b ${formatLab(this.dab!)}`, `glaze L a b ${formatLab(this.glaze!)}`];
    if (this.predicted)
      parts.push(`dab after the addition, predicted, ${formatLab(this.predicted)}`);
    return `Indicative swatches: ${parts.join('; ')}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-swatches': Swatches;
  }
}
