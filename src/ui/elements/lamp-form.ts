/** A lamp of the studio as it is edited. Emits `lt-lamp` with the lamp, `lt-remove`, `lt-close`. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { COLDEST_LAMP, HOTTEST_LAMP, LAMP_KINDS, type LampKind } from '../../colour/lamp-light.ts';
import type { Lamp, NamedLamp } from '../../job/lamps.ts';
import { Typing } from '../state/typing.ts';
import { base, controls } from '../styles/shared.ts';
import { formatExact } from './numbers.ts';
import { typedField, typedNumber } from './typed-number.ts';

export const KIND_NAMES: Readonly<Record<LampKind, string>> = {
  daylight: 'daylight',
  halogen: 'halogen or bulb',
  led: 'LED',
  fluorescent: 'fluorescent tube',
};

@customElement('lt-lamp-form')
export class LampForm extends LitElement {
  /** The lamp to edit; absent: a new one. */
  @property({ attribute: false }) lamp: NamedLamp | undefined;
  @state() private fault = '';

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
        padding: 16px;
        background: var(--control-deep);
      }
      .fields {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(170px, 100%), 1fr));
        gap: 12px;
      }
    `,
  ];

  constructor() {
    super();
    new Typing(this);
  }

  override render() {
    const lamp = this.lamp;
    return html`<form novalidate @submit=${(event: SubmitEvent) => this.#keep(event)}>
      <div class="fields">
        <label>
          Name<input name="name" maxlength="80" required .value=${lamp?.name ?? ''} />
        </label>
        <label>
          Kind
          <select name="kind">
            ${LAMP_KINDS.map(
              (kind) =>
                html`<option value=${kind} ?selected=${(lamp?.kind ?? 'led') === kind}>
                  ${KIND_NAMES[kind]}
                </option>`,
            )}
          </select>
        </label>
        <label>
          Colour temperature, K
          <input
            name="kelvin"
            inputmode="decimal"
            placeholder="if printed on it"
            .value=${lamp?.kelvin === undefined ? '' : formatExact(lamp.kelvin)}
          />
        </label>
      </div>
      <label>Note<input name="note" maxlength="500" .value=${lamp?.note ?? ''} /></label>
      <p role="alert" ?hidden=${this.fault === ''}>${this.fault}</p>
      <div class="both">
        <button class="next">Keep the lamp</button>
        <button type="button" @click=${() => this.#emit('lt-close')}>Cancel</button>
        ${
          lamp
            ? html`<button type="button" @click=${() => this.#emit('lt-remove')}>
                Delete the lamp
              </button>`
            : nothing
        }
      </div>
    </form>`;
  }

  #keep(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const name = typedField(form, 'name').trim();
    const typed = typedField(form, 'kelvin').trim();
    const kelvin = typedNumber(typed);
    if (name === '') this.fault = 'Give the lamp a name: bench lamp, window.';
    else if (typed !== '' && !(kelvin >= COLDEST_LAMP && kelvin <= HOTTEST_LAMP)) {
      this.fault = `A lamp has ${COLDEST_LAMP} to ${HOTTEST_LAMP} K; leave it empty if you do not know.`;
    } else {
      this.fault = '';
      const kind = LAMP_KINDS.find((one) => one === typedField(form, 'kind')) ?? 'led';
      const estimate = this.lamp?.estimate;
      const lamp: Lamp = {
        name,
        kind,
        note: typedField(form, 'note').trim(),
        ...(typed !== '' && { kelvin }),
        ...(estimate && { estimate }),
      };
      this.#emit('lt-lamp', lamp);
    }
  }

  #emit(name: string, detail?: Lamp): void {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-lamp-form': LampForm;
  }
}
