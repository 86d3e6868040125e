/**
 * How the hand doses: what the scale shows, by grams or by counting, and what a drop or a touch weighs.
 * Events: `lt-dosing` {dosing, scaleStep, smallest}; `lt-weighed` {name, pigment, weighings, count};
 * `lt-unweigh` {name, pigment}. `pigment` is absent for all paints.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { DoseUnit, Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';
import { formatExact, formatNumber } from './numbers.ts';
import { pigmentName } from './pigment-names.ts';
import { typedField, typedNumber } from './typed-number.ts';

export type Dosing = Required<Pick<Palette, 'dosing' | 'scaleStep'>> & Pick<Palette, 'smallest'>;
export interface Weighed {
  readonly name: DoseUnit['name'];
  readonly pigment?: string;
  /** Grams on the scale after each `count` of them. */
  readonly weighings: readonly number[];
  readonly count: number;
}

const NAMES = [
  ['drop', 'drops'],
  ['touch', 'touches of the mixing stick'],
] as const;
const STEPS = [0.1, 0.01, 0.001] as const;

@customElement('lt-dose-form')
export class DoseForm extends LitElement {
  @property({ attribute: false }) palette!: Palette;
  /** What was kept, or what was wrong with it. */
  @property() said = '';
  @state() private error = '';

  static override styles = [
    base,
    controls,
    css`
      :host {
        display: grid;
        gap: 20px;
      }
      fieldset {
        display: grid;
        gap: 8px;
        margin: 0;
        padding: 0;
        border: 0;
      }
      legend {
        padding: 0;
        margin-block-end: 4px;
        font-weight: 700;
      }
      .row {
        display: grid;
        grid-template-columns: repeat(3, minmax(0, 1fr));
        gap: 6px;
      }
      .row button {
        padding-inline: 6px;
      }
      form {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 10px;
      }
      .wide,
      form button {
        grid-column: 1 / -1;
      }
      .hint {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
        line-height: 1.35;
      }
      .weighed {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
        border-block-end: 1px solid var(--rule);
      }
    `,
  ];

  override render() {
    const { palette } = this;
    const { dosing = 'scale', scaleStep = 0.01, smallest } = palette;
    const isWeighed = (name: DoseUnit['name']) =>
      this.#weighed().some(([unit]) => unit.name === name);
    const keep = (part: Partial<Dosing>) =>
      this.dispatchEvent(
        new CustomEvent<Dosing>('lt-dosing', { detail: { dosing, scaleStep, smallest, ...part } }),
      );
    return html`
      <fieldset>
        <legend>I dose</legend>
        <div class="row" role="group" aria-label="I dose">
          <button aria-pressed=${dosing === 'scale'} @click=${() => keep({ dosing: 'scale' })}>
            by the scale
          </button>
          ${NAMES.map(
            ([name]) =>
              html`<button
                aria-pressed=${dosing === name}
                ?disabled=${!isWeighed(name)}
                @click=${() => keep({ dosing: name })}
              >
                in ${name === 'drop' ? 'drops' : 'touches'}
              </button>`,
          )}
        </div>
        <p class="hint">
          ${
            dosing === 'scale'
              ? 'Additions are said in grams. Weigh drops or touches below to have them counted instead.'
              : 'Additions are rounded to whole doses, and what they then lead to is reckoned anew.'
          }
        </p>
      </fieldset>
      <fieldset>
        <legend>My scale shows steps of</legend>
        <div class="row" role="group" aria-label="My scale shows steps of">
          ${STEPS.map(
            (step) =>
              html`<button
                aria-pressed=${scaleStep === step && palette.scaleStep !== undefined}
                @click=${() => keep({ scaleStep: step, smallest: step })}
              >
                ${formatExact(step)} g
              </button>`,
          )}
        </div>
        <p class="hint">
          Nothing smaller than ${formatExact(smallest)} g is suggested; for less, a pre-diluted
          paint is proposed.
        </p>
      </fieldset>
      <form novalidate @submit=${this.#submit}>
        <p class="wide"><b>Weigh drops or touches</b></p>
        <label>
          What
          <select name="name">
            ${NAMES.map(([name, many]) => html`<option value=${name}>${many}</option>`)}
          </select>
        </label>
        <label>
          Of
          <select name="pigment">
            <option value="">every paint</option>
            ${palette.pigments
              .filter(({ putAway }) => !putAway)
              .map(
                ({ id }) => html`<option value=${id}>${pigmentName(id, palette.pigments)}</option>`,
              )}
          </select>
        </label>
        <label>
          How many
          <input name="count" inputmode="numeric" value="10" autocomplete="off" />
        </label>
        <label>
          They weigh, g
          <input
            name="grams"
            inputmode="text"
            autocomplete="off"
            placeholder=${formatNumber(0.42, 2)}
          />
        </label>
        <p class="hint wide">
          Tare, count ten, write down the grams. Weighed twice or more (${formatNumber(0.42, 2)}
          ${formatNumber(0.39, 2)}) it also tells how even your drops are.
        </p>
        <p class="error wide" role="alert">${this.error}</p>
        <button>Keep this dose</button>
      </form>
      ${this.#list()}
      <p role="status" class="hint">${this.said}</p>
    `;
  }

  #weighed(): readonly (readonly [DoseUnit, Pigment | undefined])[] {
    const { palette } = this;
    return [
      ...palette.doseUnits.map((unit) => [unit, undefined] as const),
      ...palette.pigments.flatMap((pigment) =>
        (pigment.doseUnits ?? []).map((unit) => [unit, pigment] as const),
      ),
    ];
  }

  #list() {
    const all = this.#weighed();
    if (all.length === 0) return nothing;
    return html`<ul aria-label="Doses weighed">
      ${all.map(([{ name, grams, spread }, pigment]) => {
        const of = pigment ? pigmentName(pigment.id, this.palette.pigments) : 'every paint';
        return html`<li class="weighed">
          <span>
            A ${name} of ${of}: <b>${formatNumber(grams, 3)} g</b>${
              spread === undefined ? '' : `, give or take ${formatNumber(100 * spread, 0)} %`
            }
          </span>
          <button
            class="plain"
            aria-label="Forget the ${name} of ${of}"
            @click=${() =>
              this.dispatchEvent(
                new CustomEvent('lt-unweigh', {
                  detail: { name, ...(pigment && { pigment: pigment.id }) },
                }),
              )}
          >
            ${icons.close}
          </button>
        </li>`;
      })}
    </ul>`;
  }

  #submit = (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const count = typedNumber(typedField(form, 'count'));
    if (!Number.isInteger(count) || count < 1 || count > 1000) {
      this.error = 'How many: give a whole number, ten is usual.';
      return;
    }
    const texts = typedField(form, 'grams')
      .split(/[\s;]+/)
      .filter((text) => text !== '');
    const weighings = texts.map(typedNumber);
    const bad = texts.find((_, index) => !(weighings[index]! > 0 && weighings[index]! <= 1000));
    if (weighings.length === 0 || bad !== undefined) {
      this.error =
        bad === undefined
          ? 'They weigh: give the grams.'
          : `They weigh: “${bad}” is no mass in grams.`;
      return;
    }
    this.error = '';
    const pigment = typedField(form, 'pigment');
    const detail: Weighed = {
      name: typedField(form, 'name') === 'touch' ? 'touch' : 'drop',
      ...(pigment !== '' && { pigment }),
      weighings,
      count,
    };
    this.dispatchEvent(new CustomEvent('lt-weighed', { detail }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-dose-form': DoseForm;
  }
}
