/**
 * One paint of the palette: its colours, how well they are known, what it is to beware of.
 * Events: `lt-read`, `lt-edit`, `lt-put-away`, `lt-forget`.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { cssColour } from '../../colour/css.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Pigment } from '../../job/mixing.ts';
import { coloursOf } from '../../job/solver-palette.ts';
import { hazardOf } from '../../paint/hazards.ts';
import { COMPLETE_HIDING } from '../../paint/hiding.ts';
import type { Characterisation } from '../../paint/quality.ts';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';
import { formatLab, formatNumber } from './numbers.ts';

@customElement('lt-pigment')
export class PigmentCard extends LitElement {
  @property({ attribute: false }) pigment!: Pigment;
  @property({ attribute: false }) quality: Characterisation | undefined;
  /** Contrast ratio of its masstone over black and white, where both were read. */
  @property({ attribute: false }) contrast: number | undefined;
  /** Learned strength, relative to its characterisation. */
  @property({ type: Number }) strength = 1;

  static override styles = [
    base,
    controls,
    css`
      :host {
        display: grid;
        grid-template: 1fr auto / 148px minmax(0, 1fr);
        background: var(--control);
      }
      .colours {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        grid-template-rows: 1fr auto;
        padding: 12px 12px 4px;
        background: var(--surround);
        color: var(--ink-on-surround);
        font-size: 0.8125rem;
        font-weight: 600;
        text-align: center;
      }
      .colours.one {
        grid-template-columns: 1fr;
      }
      .colours div {
        min-block-size: 64px;
      }
      .colours .all {
        grid-column: 1 / -1;
      }
      .none {
        display: grid;
        align-content: center;
        font-weight: 400;
      }
      .text {
        display: grid;
        gap: 4px;
        align-content: start;
        padding: 12px 14px;
        line-height: 1.3;
      }
      h3 {
        font-size: 1.125rem;
        line-height: 1.2;
      }
      h3 span {
        font-weight: 400;
      }
      .note {
        display: flex;
        gap: 6px;
        font-size: 0.9375rem;
      }
      .note svg {
        flex: none;
      }
      .strength {
        display: flex;
        flex-wrap: wrap;
        gap: 4px 8px;
        align-items: center;
        justify-content: space-between;
      }
      .actions {
        grid-column: 1 / -1;
        display: grid;
        grid-template-columns: 2fr 1fr 1fr;
        border-block-start: 1px solid var(--rule);
      }
      .actions button {
        border-color: transparent;
        border-radius: 0;
        padding-inline: 8px;
      }
      .actions button + button {
        border-inline-start-color: var(--rule);
      }
      @media print {
        :host {
          break-inside: avoid;
        }
        .actions {
          display: none;
        }
      }
    `,
  ];

  override render() {
    const { pigment } = this;
    const hazard = hazardOf(pigment.colourIndex);
    return html`
      ${this.#colours()}
      <div class="text">
        <h3>
          ${
            pigment.colourIndex
              ? html`${pigment.colourIndex} <span>${pigment.name}</span>`
              : pigment.name
          }
        </h3>
        ${pigment.isWhite ? html`<p class="quiet">the white that tints are mixed with</p>` : nothing}
        ${this.#known()} ${this.#learned()}
        ${hazard ? html`<p class="note">${icons.caution}<span>${hazard.caution}</span></p>` : nothing}
      </div>
      <div class="actions">
        <button @click=${() => this.#emit('lt-read')}>
          ${pigment.masstone ? 'Read again' : 'Read it'}<span class="unseen"> ${pigment.name}</span>
        </button>
        <button @click=${() => this.#emit('lt-edit')}>
          Edit<span class="unseen"> ${pigment.name}</span>
        </button>
        <button @click=${() => this.#emit('lt-put-away')}>
          Remove<span class="unseen"> ${pigment.name}</span>
        </button>
      </div>
    `;
  }

  #colours() {
    const colours = coloursOf(this.pigment);
    if (!colours) return html`<div class="colours one"><p class="none">not read yet</p></div>`;
    const { masstone, tint, invented } = colours;
    const swatch = (lab: LabD65) => html`<div .style=${`background: ${cssColour(lab)}`}></div>`;
    return html`<div class="colours ${tint ? '' : 'one'}">
      ${swatch(masstone)} ${tint ? swatch(tint.lab) : nothing}
      ${
        invented
          ? html`<span class="all">invented</span>`
          : html`<span>masstone</span>${tint ? html`<span>tint</span>` : nothing}`
      }
    </div>`;
  }

  #known() {
    const { pigment, quality } = this;
    const colours = coloursOf(pigment);
    if (!colours) {
      return html`<p class="note">
        ${icons.caution}<span
          >Nothing is known of its colour, not even by its name: it is left out of suggestions until
          it is read.</span
        >
      </p>`;
    }
    if (colours.invented) {
      return html`<p class="note">
        ${icons.caution}<span
          >Invented, only a guess: suggestions with it may be far off until it is read.</span
        >
      </p>`;
    }
    const { tint, moreTints } = colours;
    return html`
      <p>
        ${
          quality
            ? html`<b>${GRADES[quality.grade]}</b>: mixes with it come out within about ΔE₀₀
                ${formatNumber(quality.deltaE00, 1)}.`
            : nothing
        }
        ${pigment.origin === 'typed' ? 'Its colours were typed.' : nothing}
      </p>
      ${quality?.remedy ? html`<p class="quiet">Better with ${quality.remedy}.</p>` : nothing}
      ${
        this.contrast === undefined
          ? nothing
          : html`<p class="quiet">
              ${
                this.contrast >= COMPLETE_HIDING
                  ? 'Its masstone hides'
                  : 'Its masstone does not hide: read it again, laid thicker'
              }
              (contrast ratio ${formatNumber(this.contrast, 2)}).
            </p>`
      }
      <p class="quiet">
        masstone ${formatLab(colours.masstone)}${tint ? html`<br />${tintLine(tint)}` : nothing}
        ${moreTints?.map((one) => html`<br />${tintLine(one)}`)}
      </p>
    `;
  }

  #learned() {
    const { strength, pigment } = this;
    if (Math.abs(strength - 1) < WORTH_SAYING) return nothing;
    return html`<p class="strength">
      <span
        >Colours <b>${formatNumber(strength, 2)} ×</b> as strongly as
        ${pigment.tint ? 'its tint said' : 'was reckoned'}: your attempts taught that.</span
      >
      <button @click=${() => this.#emit('lt-forget')}>
        Forget that<span class="unseen"> of ${pigment.name}</span>
      </button>
    </p>`;
  }

  #emit(type: string): void {
    this.dispatchEvent(new CustomEvent(type));
  }
}

/** A strength nearer to 1 than this is not worth a word. */
const WORTH_SAYING = 0.03;

const GRADES: Readonly<Record<Characterisation['grade'], string>> = {
  good: 'Well known',
  fair: 'Fairly known',
  poor: 'Poorly known',
};

function tintLine({ lab, pigment, white }: { lab: LabD65; pigment: number; white: number }) {
  const parts = white / pigment;
  return `tint 1 : ${formatNumber(parts, parts < 20 ? 1 : 0).replace(/\.0$/, '')} ${formatLab(lab)}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-pigment': PigmentCard;
  }
}
