/**
 * What to start with: how much paint is wanted, the recipe for it, and what was really weighed. Events:
 * `lt-wanted` {grams}; `lt-amounts` {grams by pigment id}, from the recipe as it was followed.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { cssColour } from '../../colour/css.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { PotGrams, Suggestion } from '../../paint/types.ts';
import { base, controls } from '../styles/shared.ts';
import './amounts.ts';
import { icons } from './icons.ts';
import { formatGrams, formatNumber } from './numbers.ts';
import {
  besideDilutions,
  dosesOf,
  type DoseUnit,
  inDoses,
  pigmentName,
  type PigmentOnShow,
} from './pigment-names.ts';
import { typedField, typedNumber } from './typed-number.ts';

export type RecipeOnShow = Pick<Suggestion, 'additions' | 'preDiluted' | 'predicted' | 'notes'>;

@customElement('lt-first-mix')
export class FirstMixForm extends LitElement {
  @property({ attribute: false }) glaze: LabD65 | undefined;
  @property({ attribute: false }) pigments: readonly PigmentOnShow[] = [];
  @property({ attribute: false }) doseUnits: readonly DoseUnit[] = [];
  @property({ attribute: false }) recipe: RecipeOnShow | undefined;
  /** How near it can come, where that is not near. */
  @property() reason = '';
  @property({ type: Boolean }) busy = false;
  /** Why there is no recipe. */
  @property() fault = '';
  @state() private error = '';
  @state() private correcting = false;

  static override styles = [
    base,
    controls,
    css`
      :host {
        display: grid;
        gap: 14px;
        line-height: 1.35;
      }
      form {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 8px;
        align-items: end;
      }
      .pair {
        display: grid;
        grid-template-columns: 1fr 1fr;
        grid-template-rows: 72px auto;
        padding: 10px 10px 4px;
        background: var(--surround);
        color: var(--ink-on-surround);
        font-size: 0.8125rem;
        font-weight: 600;
        text-align: center;
      }
      li {
        display: flex;
        justify-content: space-between;
        gap: 12px;
        padding-block: 6px;
        border-block-end: 1px solid var(--rule);
      }
      li b {
        white-space: nowrap;
      }
      .doses {
        display: block;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
      .note {
        display: flex;
        gap: 6px;
        font-size: 0.9375rem;
      }
      .note svg {
        flex: none;
      }
      .both {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 8px;
      }
    `,
  ];

  override render() {
    const { glaze, recipe } = this;
    if (!glaze) {
      return html`<p>
        The glaze is not known yet. Point at it on the bench, with any dab beside it, and read once;
        then a recipe can be reckoned.
      </p>`;
    }
    return html`
      <form novalidate @submit=${this.#ask}>
        <label>
          How much paint do you want, g
          <input name="grams" inputmode="decimal" autocomplete="off" value="5" />
        </label>
        <button class=${recipe ? '' : 'next'} ?disabled=${this.busy}>
          ${this.busy ? 'Reckoning' : 'Reckon'}
        </button>
      </form>
      <p class="error" role="alert">${this.error === '' ? this.fault : this.error}</p>
      ${recipe ? this.#recipe(glaze, recipe) : nothing}
    `;
  }

  #recipe(glaze: LabD65, { additions: pot, preDiluted = [], predicted, notes }: RecipeOnShow) {
    const [low, high] = predicted.interval95;
    const parts = besideDilutions(pot, preDiluted, this.pigments);
    return html`
      <div
        class="pair"
        role="img"
        aria-label="Glaze beside the first mix as it should look; indicative"
      >
        <div .style=${`background: ${cssColour(glaze)}`}></div>
        <div .style=${`background: ${cssColour(predicted.lab)}`}></div>
        <span>glaze</span><span>predicted</span>
      </div>
      <ul aria-label="Recipe">
        ${parts.map(([id, grams]) => {
          const doses = inDoses(grams, dosesOf(id, this.pigments, this.doseUnits));
          return html`<li>
            <span>
              ${pigmentName(id, this.pigments)}
              ${doses ? html`<span class="doses">${doses}</span>` : nothing}
            </span>
            <b>${formatGrams(grams)}</b>
          </li>`;
        })}
        ${preDiluted.map(
          ({ pigment, parts: white, grams }) =>
            html`<li>
              <span>${pigmentName(pigment, this.pigments)} in white, 1 : ${white}</span>
              <b>${formatGrams(grams)}</b>
            </li>`,
        )}
      </ul>
      <p class="quiet">
        As the paints are known it comes to ΔE₀₀ ${formatNumber(predicted.deltaE00, 1)}
        (${formatNumber(low, 1)} to ${formatNumber(high, 1)}). Read the first dab: the next addition
        starts from what was read.
      </p>
      ${this.reason ? html`<p>${this.reason}</p>` : nothing}
      ${notes.map((note) => html`<p class="note">${icons.caution}<span>${note}</span></p>`)}
      ${
        this.correcting
          ? html`<lt-amounts
              action="This is in the pot"
              .pigments=${this.pigments}
              .grams=${pot}
              @lt-amounts=${(event: CustomEvent<{ grams: PotGrams }>) =>
                this.#mixed(event.detail.grams)}
            ></lt-amounts>`
          : html`<div class="both">
              <button class="next" @click=${() => this.#mixed(pot)}>I mixed this</button>
              <button @click=${() => (this.correcting = true)}>I weighed other amounts</button>
            </div>`
      }
    `;
  }

  #mixed(grams: PotGrams): void {
    this.correcting = false;
    this.dispatchEvent(new CustomEvent('lt-amounts', { detail: { grams } }));
  }

  #ask = (event: SubmitEvent) => {
    event.preventDefault();
    const text = typedField(event.currentTarget as HTMLFormElement, 'grams');
    const grams = typedNumber(text);
    if (!(grams > 0 && grams <= 10_000)) {
      this.error = `“${text}” is no amount of paint in grams.`;
      return;
    }
    this.error = '';
    this.correcting = false;
    this.dispatchEvent(new CustomEvent('lt-wanted', { detail: { grams } }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-first-mix': FirstMixForm;
  }
}
