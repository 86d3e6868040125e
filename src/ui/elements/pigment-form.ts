/**
 * What a paint is called: Colour Index generic name and the restorer's own. Event: `lt-identity`
 * {name, colourIndex, isWhite}. A field at fault keeps the form open and says so.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { GENERIC_NAMES, genericPigment } from '../../paint/generic-pigments.ts';
import { hazardOf } from '../../paint/hazards.ts';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';

export interface Identity {
  readonly name: string;
  readonly colourIndex?: string;
  readonly isWhite?: boolean;
}

const NAME = /^([NP])\s*(B|Bk|Br|G|M|O|R|V|W|Y)\s*(\d{1,3})((?::\d{1,2})?)$/i;
const HUES = ['B', 'Bk', 'Br', 'G', 'M', 'O', 'R', 'V', 'W', 'Y'];

/** "pb28" → "PB 28"; undefined when it is no Colour Index generic name. */
export function tidyColourIndex(text: string): string | undefined {
  const found = NAME.exec(text.trim());
  if (!found) return undefined;
  const hue = HUES.find((one) => one.toLowerCase() === found[2]!.toLowerCase())!;
  return `${found[1]!.toUpperCase()}${hue} ${Number(found[3])}${found[4]!}`;
}

@customElement('lt-pigment-form')
export class PigmentForm extends LitElement {
  @property({ attribute: false }) identity: Identity | undefined;
  @property() action = 'Add it';
  /** What the keeper of the palette has against it. */
  @property() fault = '';
  @state() private own = '';
  @state() private typed = '';

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
      }
      .check {
        grid-template-columns: auto 1fr;
        align-items: center;
        gap: 12px;
        min-block-size: var(--touch);
        font-weight: 400;
      }
      .hint {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
        line-height: 1.35;
      }
      .note {
        display: flex;
        gap: 8px;
        line-height: 1.35;
      }
      .note svg {
        flex: none;
      }
    `,
  ];

  override render() {
    const { identity } = this;
    const known = tidyColourIndex(this.typed || (identity?.colourIndex ?? ''));
    const hazard = hazardOf(known);
    return html`<form novalidate @submit=${this.#submit}>
      <label>
        Colour Index generic name
        <input
          name="colourIndex"
          list="generic"
          maxlength="12"
          autocomplete="off"
          placeholder="PB 28"
          .value=${identity?.colourIndex ?? ''}
          @input=${this.#typing}
        />
      </label>
      <datalist id="generic">
        ${GENERIC_NAMES.map((name) => html`<option value=${name}></option>`)}
      </datalist>
      <p class="hint">
        It stands on the tube: P for pigment, the hue, a number. For a mixed paint leave it empty.
      </p>
      <label>
        What you call it
        <input name="name" maxlength="80" autocomplete="off" .value=${identity?.name ?? ''} />
      </label>
      <label class="check">
        <input name="isWhite" type="checkbox" .checked=${identity?.isWhite ?? false} />
        This is the white that tints are mixed with
      </label>
      ${hazard ? html`<p class="note">${icons.caution}<span>${hazard.caution}</span></p>` : nothing}
      <p class="error" role="alert">${this.own || this.fault}</p>
      <button class="next">${this.action}</button>
    </form>`;
  }

  /** A name that something was invented for brings its usual name with it. */
  #typing = (event: Event) => {
    this.typed = (event.currentTarget as HTMLInputElement).value;
    const generic = genericPigment(tidyColourIndex(this.typed) ?? '');
    const name = this.renderRoot.querySelector<HTMLInputElement>('[name=name]');
    if (generic && name?.value === '') name.value = generic.id;
    const white = this.renderRoot.querySelector<HTMLInputElement>('[name=isWhite]');
    if (white && generic?.isWhite && !this.identity) white.checked = true;
  };

  #submit = (event: SubmitEvent) => {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const text = (field: string) => {
      const value = data.get(field);
      return typeof value === 'string' ? value.trim() : '';
    };
    const colourIndex = tidyColourIndex(text('colourIndex'));
    if (text('colourIndex') !== '' && colourIndex === undefined) {
      this.own = `“${text('colourIndex')}” is no Colour Index generic name: one is PB 28 or PR 101.`;
      return;
    }
    const usual = genericPigment(colourIndex ?? '')?.id ?? colourIndex ?? '';
    const name = text('name') === '' ? usual : text('name');
    if (name === '') {
      this.own = 'Give the paint a name.';
      return;
    }
    this.own = '';
    const detail: Identity = {
      name,
      ...(colourIndex !== undefined && { colourIndex }),
      ...(data.has('isWhite') && { isWhite: true }),
    };
    this.dispatchEvent(new CustomEvent('lt-identity', { detail }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-pigment-form': PigmentForm;
  }
}
