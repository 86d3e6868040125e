/**
 * Grams by pigment, to be typed: what is in the pot, or what was really added.
 * Event: `lt-amounts` {grams}. A field that is not a mass keeps the form open and says so.
 */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PotGrams } from '../../paint/types.ts';
import { base, controls } from '../styles/shared.ts';
import { formatExact } from './numbers.ts';
import { pigmentName, type PigmentOnShow } from './pigment-names.ts';
import { typedField, typedNumber } from './typed-number.ts';

@customElement('lt-amounts')
export class AmountsForm extends LitElement {
  @property({ attribute: false }) pigments: readonly PigmentOnShow[] = [];
  @property({ attribute: false }) grams: PotGrams = {};
  @property() action = 'Keep';
  @property({ attribute: false }) private error = '';

  static override styles = [
    base,
    controls,
    css`
      label {
        grid-template-columns: 1fr 8.5rem;
        align-items: center;
        font-weight: 400;
      }
      label + label {
        margin-block-start: 6px;
      }
      .field {
        display: flex;
        align-items: center;
        gap: 6px;
      }
      input {
        text-align: end;
      }
      .error {
        margin-block-start: 8px;
      }
      button {
        inline-size: 100%;
        margin-block-start: 14px;
      }
    `,
  ];

  override render() {
    return html`<form novalidate @submit=${this.#submit}>
      ${this.pigments.map(
        (pigment) =>
          html`<label>
            <span>${pigmentName(pigment.id, this.pigments)}</span>
            <span class="field">
              <input
                name=${pigment.id}
                inputmode="decimal"
                autocomplete="off"
                .value=${this.grams[pigment.id] ? formatExact(this.grams[pigment.id]!) : ''}
                placeholder="0"
              />
              g
            </span>
          </label>`,
      )}
      <p class="error" role="alert">${this.error}</p>
      <button class="next">${this.action}</button>
    </form>`;
  }

  #submit = (event: SubmitEvent) => {
    event.preventDefault();
    const grams: Record<string, number> = {};
    for (const pigment of this.pigments) {
      const text = typedField(event.currentTarget as HTMLFormElement, pigment.id);
      if (text === '') continue;
      const mass = typedNumber(text);
      if (!Number.isFinite(mass) || mass < 0 || mass > 10_000) {
        this.#fail(`${pigmentName(pigment.id, this.pigments)}: "${text}" is not a mass in grams.`);
        return;
      }
      if (mass > 0) grams[pigment.id] = mass;
    }
    if (Object.keys(grams).length === 0) {
      this.#fail('Give the mass of at least one pigment.');
      return;
    }
    this.#fail('');
    this.dispatchEvent(new CustomEvent('lt-amounts', { detail: { grams } }));
  };

  #fail(message: string): void {
    this.error = message;
    this.requestUpdate();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-amounts': AmountsForm;
  }
}
