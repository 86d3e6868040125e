/**
 * What a tint is mixed from: pigment and white, in grams or in doses that were weighed. Event:
 * `lt-tint` {pigment, white, measure}. A field at fault says so and sends nothing.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';
import { formatExact, formatNumber } from './numbers.ts';
import { typedNumber } from './typed-number.ts';

export interface TintAmounts {
  readonly pigment: number;
  readonly white: number;
  readonly measure: 'g' | 'drop' | 'touch';
}

@customElement('lt-tint-amounts')
export class TintAmountsForm extends LitElement {
  @property({ attribute: false }) amounts!: TintAmounts;
  /** Measures for which both paints were weighed. */
  @property({ attribute: false }) measures: readonly TintAmounts['measure'][] = ['g'];
  @property() pigmentName = '';
  @property() whiteName = '';
  /** The tint in grams, when it was counted in doses. */
  @property({ attribute: false }) grams:
    { readonly pigment: number; readonly white: number } | undefined;
  @state() private error = '';

  static override styles = [
    base,
    controls,
    css`
      .fields {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 8px;
      }
      .measures {
        display: flex;
        gap: 6px;
        margin-block-end: 8px;
      }
      label {
        font-size: 0.9375rem;
      }
      .ratio {
        margin-block-start: 6px;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
    `,
  ];

  override render() {
    const { amounts, measures } = this;
    const unit = UNITS[amounts.measure];
    return html`
      ${
        measures.length > 1
          ? html`<div class="measures" role="group" aria-label="Measured in">
              ${measures.map(
                (measure) =>
                  html`<button
                    aria-pressed=${measure === amounts.measure}
                    @click=${() => this.#send({ ...amounts, measure, ...usual(measure) })}
                  >
                    ${UNITS[measure]}
                  </button>`,
              )}
            </div>`
          : nothing
      }
      <div class="fields">
        ${this.#field('pigment', `${this.pigmentName}, ${unit}`)}
        ${this.#field('white', `${this.whiteName}, ${unit}`)}
      </div>
      <p class="error" role="alert">${this.error}</p>
      ${
        this.grams
          ? html`<p class="ratio">
              1 part in ${formatNumber(this.grams.white / this.grams.pigment, 1)} of
              white${
                amounts.measure === 'g'
                  ? nothing
                  : html`: ${formatNumber(this.grams.pigment, 3)} g in
                    ${formatNumber(this.grams.white, 3)} g`
              }.
            </p>`
          : nothing
      }
    `;
  }

  #field(which: 'pigment' | 'white', label: string) {
    return html`<label>
      ${label}
      <input
        inputmode="decimal"
        autocomplete="off"
        .value=${formatExact(this.amounts[which])}
        @change=${(event: Event) => this.#changed(which, event)}
      />
    </label>`;
  }

  #changed(which: 'pigment' | 'white', event: Event): void {
    const text = (event.currentTarget as HTMLInputElement).value;
    const value = typedNumber(text);
    if (!(value > 0 && value <= 10_000)) {
      this.error = `“${text}” is no amount: give more than nothing.`;
      return;
    }
    this.error = '';
    this.#send({ ...this.amounts, [which]: value });
  }

  #send(detail: TintAmounts): void {
    this.dispatchEvent(new CustomEvent('lt-tint', { detail }));
  }
}

const UNITS: Readonly<Record<TintAmounts['measure'], string>> = {
  g: 'grams',
  drop: 'drops',
  touch: 'touches',
};
const usual = (measure: TintAmounts['measure']) =>
  measure === 'g' ? { pigment: 0.1, white: 0.9 } : { pigment: 2, white: 18 };

declare global {
  interface HTMLElementTagNameMap {
    'lt-tint-amounts': TintAmountsForm;
  }
}
