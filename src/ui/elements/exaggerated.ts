/**
 * Glaze and dab with their difference made three times as large, edge to edge: the eye sees which way
 * it goes where the true pair is nearly one. Labelled so, that nobody takes it for the dab.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { cssColour } from '../../colour/css.ts';
import { labD65, type LabD65 } from '../../colour/spaces.ts';
import { base } from '../styles/shared.ts';

export const EXAGGERATION = 3;

/** The glaze plus so many times the difference; L* stays within what can be shown. */
export function exaggerated(glaze: LabD65, dab: LabD65): LabD65 {
  const far = (axis: 0 | 1 | 2) => glaze[axis] + EXAGGERATION * (dab[axis] - glaze[axis]);
  return labD65(Math.min(100, Math.max(0, far(0))), far(1), far(2));
}

@customElement('lt-exaggerated')
export class Exaggerated extends LitElement {
  @property({ attribute: false }) glaze: LabD65 | undefined;
  @property({ attribute: false }) dab: LabD65 | undefined;

  static override styles = [
    base,
    css`
      :host {
        display: grid;
        grid-template-rows: minmax(40px, 1fr) auto;
        padding: 8px 10px 0;
        background: var(--surround);
        color: var(--ink-on-surround);
      }
      .row,
      .names {
        display: grid;
        grid-template-columns: 1fr 1fr;
      }
      .names {
        padding-block: 2px 3px;
        font-size: 0.8125rem;
        font-weight: 600;
        line-height: 1.2;
        text-align: center;
      }
    `,
  ];

  override render() {
    const { glaze, dab } = this;
    if (!glaze || !dab) return nothing;
    return html`
      <div
        class="row"
        role="img"
        aria-label="Glaze beside the dab with its difference made ${EXAGGERATION} times as large; indicative"
      >
        <div .style=${`background: ${cssColour(exaggerated(glaze, dab))}`}></div>
        <div .style=${`background: ${cssColour(glaze)}`}></div>
      </div>
      <div class="names" aria-hidden="true">
        <span>difference × ${EXAGGERATION}, not the dab</span><span>glaze</span>
      </div>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-exaggerated': Exaggerated;
  }
}
