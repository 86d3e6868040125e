/** A colour typed in: CIELAB D65/2°. Event: `lt-lab` {lab}. */
import { css, html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { labD65 } from '../../colour/spaces.ts';
import { base, controls } from '../styles/shared.ts';
import { typedField, typedNumber } from './typed-number.ts';

const FIELDS = [
  ['L', 'L*', 0, 100],
  ['a', 'a*', -150, 150],
  ['b', 'b*', -150, 150],
] as const;

@customElement('lt-lab-form')
export class LabForm extends LitElement {
  @state() private error = '';

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        grid-template-columns: repeat(3, minmax(0, 1fr));
        gap: 10px;
      }
      p,
      button {
        grid-column: 1 / -1;
      }
      .hint {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
    `,
  ];

  override render() {
    return html`<form novalidate @submit=${this.#submit}>
      ${FIELDS.map(
        ([name, label]) =>
          html`<label>${label}<input name=${name} inputmode="text" autocomplete="off" /></label>`,
      )}
      <p class="hint">CIELAB under D65, 2° observer, of an opaque film, specular excluded.</p>
      <p class="error" role="alert">${this.error}</p>
      <button class="next">Keep these values</button>
    </form>`;
  }

  #submit = (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const values: number[] = [];
    for (const [name, label, from, to] of FIELDS) {
      const text = typedField(form, name);
      const value = typedNumber(text);
      if (!(value >= from && value <= to)) {
        this.error = `${label}: “${text}” is not a number from ${from} to ${to}.`.replace('-', '−');
        return;
      }
      values.push(value);
    }
    this.error = '';
    const lab = labD65(values[0]!, values[1]!, values[2]!);
    this.dispatchEvent(new CustomEvent('lt-lab', { detail: { lab } }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-lab-form': LabForm;
  }
}
