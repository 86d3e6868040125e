/**
 * The next addition: what to add, what is expected of it, what to beware of. With more than one
 * suggestion the person chooses. Held upright it is short, so that the picture keeps its room. Events:
 * `lt-choose` {index}; `lt-about`, to read in full what was left out.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PreDilution, Suggestion } from '../../paint/types.ts';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';
import { formatGrams, formatNumber, formatPercent } from './numbers.ts';
import {
  additionInWords,
  besideDilutions,
  dilutionsInWords,
  type DoseUnit,
  dosesOf,
  inDosesShort,
  pigmentCode,
  type PigmentOnShow,
} from './pigment-names.ts';

/** A longer message is cut to three lines where room is short. */
const LONG = 130;

@customElement('lt-nudge')
export class NudgeCard extends LitElement {
  @property({ attribute: false }) suggestions: readonly Suggestion[] = [];
  @property({ attribute: false }) pigments: readonly PigmentOnShow[] = [];
  /** Doses of the palette, for pigments without their own. */
  @property({ attribute: false }) doseUnits: readonly DoseUnit[] = [];
  /** How the hand doses: by the scale, or by counting the dose of this name. */
  @property() dosing: 'scale' | 'drop' | 'touch' = 'scale';
  @property({ type: Number }) chosen = 0;
  /** Said instead of a suggestion: none is wanted, none helps, it is being reckoned. */
  @property() message = '';

  static override styles = [
    base,
    controls,
    css`
      :host {
        container-type: inline-size;
      }
      .choices {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(150px, 1fr));
        gap: 4px;
      }
      .choices button {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        align-items: center;
        justify-content: stretch;
        gap: 6px;
        inline-size: 100%;
        padding: 4px 10px;
        font-weight: 400;
        text-align: start;
      }
      .choices button[aria-pressed='true'] {
        padding: 2px 8px;
      }
      .what {
        font-weight: 700;
        font-size: 1.0625rem;
        white-space: nowrap;
      }
      .pigment {
        display: block;
        line-height: 1.2;
      }
      .code {
        white-space: nowrap;
      }
      .about {
        display: none;
      }
      .expected {
        font-size: 1.0625rem;
        font-weight: 700;
        text-align: end;
        white-space: nowrap;
      }
      small {
        display: block;
        color: var(--ink-quiet);
        font-size: 0.8125rem;
        font-weight: 400;
        line-height: 1.2;
      }
      .detail {
        margin-block-start: 4px;
        color: var(--ink-quiet);
        font-size: 0.875rem;
        line-height: 1.3;
      }
      b,
      .dilute {
        color: var(--ink);
      }
      .note {
        display: flex;
        gap: 6px;
        align-items: start;
        color: var(--ink);
      }
      .note svg {
        flex: none;
      }
      .message {
        line-height: 1.35;
      }
      /* Held upright there is room for the numbers and a count; the rest opens as a sheet. */
      @media (max-width: 759px) {
        .notes,
        .dilute,
        small,
        b {
          display: none;
        }
        .detail,
        .cut {
          display: grid;
          grid-template-columns: minmax(0, 1fr) auto;
          gap: 8px;
          align-items: center;
        }
        .about {
          display: flex;
          padding-inline: 10px;
        }
        .cut .message {
          display: -webkit-box;
          overflow: hidden;
          -webkit-box-orient: vertical;
          -webkit-line-clamp: 3;
        }
        /* Dilutions take a line each: only what is chosen is shown whole. */
        .diluted {
          grid-template-columns: none;
          grid-auto-flow: column;
          grid-auto-columns: auto;
          justify-content: stretch;
        }
        .diluted button[aria-pressed='true'] {
          min-inline-size: 15rem;
        }
        .diluted button[aria-pressed='false'] {
          grid-template-columns: auto;
          justify-content: center;
          inline-size: auto;
        }
        .diluted button[aria-pressed='false'] .parts {
          position: absolute;
          inline-size: 1px;
          block-size: 1px;
          overflow: hidden;
          clip-path: inset(50%);
        }
        .choices button {
          padding-inline: 8px;
          font-size: 0.9375rem;
        }
        .choices button[aria-pressed='true'] {
          padding-inline: 6px;
        }
        .what,
        .expected {
          font-size: 1rem;
        }
      }
      /* Too narrow for both side by side: what comes of it stands first. Where the panel is low, of many
         paints it shows the first ones, and what comes of them must be in sight. */
      @media (min-width: 760px) {
        @container (max-width: 360px) {
          .choices button {
            grid-template-columns: minmax(0, 1fr);
            gap: 2px;
          }
          .expected {
            order: -1;
            text-align: start;
          }
        }
      }
      @media (min-width: 760px) and (max-height: 900px) {
        .choices button {
          align-items: start;
        }
      }
      @container (min-width: 440px) {
        .choices {
          gap: 8px;
        }
        .choices button {
          min-block-size: 60px;
          font-size: 1.125rem;
        }
        .what,
        .expected {
          font-size: 1.375rem;
        }
        .detail {
          margin-block-start: 8px;
          font-size: 1rem;
        }
      }
    `,
  ];

  override render() {
    const chosen = this.suggestions[this.chosen];
    if (!chosen) {
      const isLong = this.message.length > LONG;
      return html`<div class=${isLong ? 'cut' : ''}>
        <p class="message">${this.message}</p>
        ${isLong ? this.#about('All of it') : nothing}
      </div>`;
    }
    const isDiluted = this.suggestions.some(({ preDiluted = [] }) => preDiluted.length > 0);
    const [low, high] = chosen.predicted.interval95;
    const count = chosen.notes.length;
    const about = [
      ...(chosen.preDiluted ? ['Dilute first'] : []),
      ...(count > 0 ? [`${count} ${count === 1 ? 'caution' : 'cautions'}`] : []),
    ].join(', ');
    return html`
      <div
        class="choices ${isDiluted ? 'diluted' : ''}"
        role="group"
        aria-label="Suggested additions"
      >
        ${this.suggestions.map((one, index) => this.#choice(one, index))}
      </div>
      <div class="detail">
        <p>
          ${chosen.preDiluted ? this.#dilution(chosen.preDiluted) : nothing}
          <b>${additionInWords(chosen.additions, this.pigments)}.</b>
          Expected ΔE₀₀ ${formatNumber(chosen.predicted.deltaE00, 1)} (${formatNumber(low, 1)} to
          ${formatNumber(high, 1)}); the pot grows ${formatPercent(chosen.growth)}.
          ${chosen.underLamps?.map(
            ({ name, deltaE00 }) => html`Under ${name}: ΔE₀₀ ${formatNumber(deltaE00, 1)}. `,
          )}
        </p>
        ${
          chosen.notes.length > 0
            ? html`<ul class="notes">
                ${chosen.notes.map(
                  (note) => html`<li class="note">${icons.caution}<span>${note}</span></li>`,
                )}
              </ul>`
            : nothing
        }
        ${about === '' ? nothing : this.#about(html`${icons.caution} ${about}`)}
      </div>
    `;
  }

  /** Opens what was left out. */
  #about(said: unknown) {
    return html`<button
      class="about"
      aria-haspopup="dialog"
      @click=${() => this.dispatchEvent(new CustomEvent('lt-about'))}
    >
      ${said}
    </button>`;
  }

  #dilution(preDiluted: readonly PreDilution[]) {
    return html`<span class="dilute">
      Less than can be dosed: ${dilutionsInWords(preDiluted, this.pigments)}. In all:
    </span>`;
  }

  #choice(suggestion: Suggestion, index: number) {
    const { preDiluted = [] } = suggestion;
    const additions = besideDilutions(suggestion.additions, preDiluted, this.pigments);
    return html`<button
      aria-pressed=${index === this.chosen}
      @click=${() => this.dispatchEvent(new CustomEvent('lt-choose', { detail: { index } }))}
    >
      <span class="parts">
        ${preDiluted.map(
          ({ pigment, parts, grams }) =>
            html`<span class="pigment">
              <span class="what">${formatGrams(grams)}</span> of
              ${pigmentCode(pigment, this.pigments)} in white 1 : ${parts}
            </span>`,
        )}
        ${additions.map(([id, grams]) => {
          const units = dosesOf(id, this.pigments, this.doseUnits);
          const counted = units.filter(({ name }) => name === this.dosing);
          const doses = inDosesShort(grams, counted.length > 0 ? counted : units);
          // What the hand does stands first; the other says what that is.
          const [first, second] =
            counted.length > 0 && doses ? [doses, formatGrams(grams)] : [formatGrams(grams), doses];
          return html`<span class="pigment">
            <span class="what">${first}</span>
            <span class="code">${pigmentCode(id, this.pigments)}</span>
            ${second ? html`<small>${second}</small>` : nothing}
          </span>`;
        })}
      </span>
      <span class="expected">
        <span class="unseen">, expected ΔE₀₀</span
        ><span aria-hidden="true">→</span> ${formatNumber(suggestion.predicted.deltaE00, 1)}
      </span>
    </button>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-nudge': NudgeCard;
  }
}
