/** The palettes: which one this area is mixed from; made, named, removed. Event: `lt-close`. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Palette } from '../../job/records.ts';
import { usualPigments } from '../../job/usual-pigments.ts';
import '../elements/sheet.ts';
import { typedField } from '../elements/typed-number.ts';
import type { BenchState } from '../state/bench-state.ts';
import { faultInWords } from '../state/fault.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { base, controls } from '../styles/shared.ts';

/** What is on the sheet: the list, or the name of a new one or of the one in use. */
type Page = 'list' | 'new' | 'rename';

const HEADINGS: Readonly<Record<Page, string>> = {
  list: 'Palettes',
  new: 'New palette',
  rename: 'Name of the palette',
};

@customElement('lt-palettes-sheet')
export class PalettesSheet extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ type: Boolean }) open = false;
  @state() private page: Page = 'list';
  @state() private fault = '';

  #bench = new Select(
    this,
    () => this.services.store,
    ({ palette, notice, place }: BenchState) => ({ palette, notice, place }),
  );
  #list = new Task(this, {
    task: async () => await this.#palettes.list(),
    args: () => [this.#bench.value.palette, this.#bench.value.notice] as const,
  });

  static override styles = [
    base,
    controls,
    css`
      form,
      .stack {
        display: grid;
        gap: 12px;
      }
      .palette {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto auto;
        gap: 4px 8px;
        align-items: center;
        padding-block-end: 8px;
        border-block-end: 1px solid var(--rule);
      }
      .palette b {
        display: block;
      }
    `,
  ];

  get #palettes() {
    return this.services.session.palettes;
  }

  override render() {
    const { palette } = this.#bench.value;
    return html`<lt-sheet
      heading=${HEADINGS[this.page]}
      asks
      ?open=${this.open}
      @lt-close=${() => this.#close()}
    >
      ${palette ? this.#content(palette) : nothing}
    </lt-sheet>`;
  }

  #content(inUse: Palette) {
    switch (this.page) {
      case 'list':
        return this.#all(inUse);
      case 'new':
        return html`<form novalidate @submit=${this.#add}>
          <label>Name<input name="name" maxlength="80" autocomplete="off" /></label>
          <label>
            Begin with
            <select name="begin">
              <option value="generic">ten usual paints, to be read or removed</option>
              <option value="none">no paint</option>
            </select>
          </label>
          <p class="quiet">
            Until a paint is read its colour is invented after its Colour Index name, only a guess.
          </p>
          <p class="error" role="alert">${this.fault}</p>
          <button class="next">Make the palette</button>
        </form>`;
      case 'rename':
        return html`<form novalidate @submit=${this.#rename}>
          <label>
            Name
            <input name="name" maxlength="80" autocomplete="off" .value=${inUse.name} />
          </label>
          <p class="error" role="alert">${this.fault}</p>
          <button class="next">Keep the name</button>
        </form>`;
    }
  }

  #all(inUse: Palette) {
    const { place } = this.#bench.value;
    return html`<div class="stack">
      <p class="quiet">
        ${place ? `${place.piece.name}, ${place.area.name}` : 'This area'} is mixed from
        ${inUse.name}. Another palette begins with an empty pot; what was mixed before stays in the
        record.
      </p>
      ${this.#list.value?.map((palette) => {
        const count = palette.pigments.filter(({ putAway }) => !putAway).length;
        return html`<div class="palette">
          <span>
            <b>${palette.name}</b>
            <span class="quiet">${count} ${count === 1 ? 'paint' : 'paints'}</span>
          </span>
          ${
            palette.id === inUse.id
              ? html`<button @click=${() => this.#turnTo('rename')}>Rename</button>
                  <span>in use</span>`
              : html`<button @click=${() => void this.#keep(() => this.#palettes.use(palette.id))}>
                    Use<span class="unseen"> ${palette.name}</span>
                  </button>
                  <button @click=${() => void this.#palettes.remove(palette)}>
                    Remove<span class="unseen"> ${palette.name}</span>
                  </button>`
          }
        </div>`;
      })}
      <button class="next" @click=${() => this.#turnTo('new')}>New palette</button>
    </div>`;
  }

  #turnTo(page: Page): void {
    this.page = page;
    this.fault = '';
  }

  #close(): void {
    this.#turnTo('list');
    this.dispatchEvent(new CustomEvent('lt-close'));
  }

  /** Closes the sheet when it was kept; what is at fault stays open with the reason. */
  async #keep(work: () => Promise<unknown>): Promise<void> {
    try {
      const fault = await work();
      if (typeof fault === 'string') this.fault = fault;
      else this.#close();
    } catch (error) {
      this.fault = faultInWords(error);
    }
  }

  /** A name that was typed; without one the fault is said. */
  #nameIn(event: SubmitEvent): string {
    event.preventDefault();
    const name = typedField(event.currentTarget as HTMLFormElement, 'name');
    if (name === '') this.fault = 'Give the palette a name.';
    return name;
  }

  #rename = (event: SubmitEvent) => {
    const name = this.#nameIn(event);
    if (name === '') return;
    void this.#keep(() => this.#palettes.edit('The name is kept.', (now) => ({ ...now, name })));
  };

  #add = (event: SubmitEvent) => {
    const name = this.#nameIn(event);
    if (name === '') return;
    const begin = typedField(event.currentTarget as HTMLFormElement, 'begin');
    void this.#keep(() => this.#palettes.add(name, begin === 'generic' ? usualPigments() : []));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-palettes-sheet': PalettesSheet;
  }
}
