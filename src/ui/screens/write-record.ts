/** The texts and materials of a piece, to be written. Events: `lt-done` {done}, `lt-close`. */
import { consume } from '@lit/context';
import { css, html, LitElement } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Piece } from '../../job/records.ts';
import '../elements/sheet.ts';
import { faultInWords } from '../state/fault.ts';
import type { Done } from '../state/job-book.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base, controls } from '../styles/shared.ts';

type Texts = Extract<
  keyof Piece,
  | 'name'
  | 'reference'
  | 'description'
  | 'conditionAsFound'
  | 'treatment'
  | 'reversibility'
  | 'treatedBy'
  | 'notes'
>;
const TEXTS: readonly (readonly [Texts, string, 'line' | 'text'])[] = [
  ['name', 'Piece', 'line'],
  ['reference', 'Reference: inventory number, mark', 'line'],
  ['description', 'Description', 'text'],
  ['conditionAsFound', 'Condition as found', 'text'],
  ['treatment', 'Treatment', 'text'],
  ['reversibility', 'Reversibility: how the retouching can be taken off again', 'text'],
  ['treatedBy', 'Who did it', 'line'],
  ['notes', 'Notes for yourself: they are not printed', 'text'],
];

type Material = Piece['materials'][number];
const EMPTY: Material = { name: '', use: '', quantity: '' };

@customElement('lt-write-record')
export class WriteRecord extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) piece!: Piece;
  @property({ type: Boolean }) open = false;
  @state() private materials: readonly Material[] = [];
  @state() private error = '';

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
      }
      textarea {
        min-block-size: 96px;
        resize: vertical;
      }
      fieldset {
        margin: 0;
        padding: 0;
        border: 0;
      }
      legend {
        margin-block-end: 4px;
        font-weight: 600;
      }
      .material {
        display: grid;
        grid-template-columns: repeat(3, minmax(0, 1fr)) auto;
        gap: 4px;
        align-items: end;
        margin-block-end: 8px;
      }
      .material label {
        font-size: 0.875rem;
      }
      @media (max-width: 520px) {
        .material {
          grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        }
      }
      .apart {
        display: grid;
        margin-block-start: 20px;
      }
    `,
  ];

  protected override willUpdate(changed: Map<string, unknown>): void {
    if (!changed.has('open') || !this.open) return;
    this.materials = this.piece.materials.length > 0 ? this.piece.materials : [EMPTY];
    this.error = '';
  }

  override render() {
    const { piece } = this;
    return html`<lt-sheet
      heading="Write the record"
      asks
      ?open=${this.open}
      @lt-close=${() => this.dispatchEvent(new CustomEvent('lt-close'))}
    >
      <form novalidate @submit=${(event: SubmitEvent) => void this.#write(event)}>
        ${TEXTS.slice(0, 5).map((text) => this.#field(text))}
        <fieldset>
          <legend>Materials besides the paints, by their generic names</legend>
          ${this.materials.map((material, i) => this.#material(material, i))}
          <button type="button" @click=${() => (this.materials = [...this.#typed(), EMPTY])}>
            Another material
          </button>
        </fieldset>
        ${TEXTS.slice(5).map((text) => this.#field(text))}
        <p role="alert">${this.error}</p>
        <button class="next">Keep</button>
      </form>
      <div class="apart">
        <button @click=${() => void this.#finish(() => this.services.book.remove(piece))}>
          Delete this piece
        </button>
      </div>
    </lt-sheet>`;
  }

  #field([name, label, kind]: (typeof TEXTS)[number]) {
    return html`<label>
      ${label}
      ${
        kind === 'line'
          ? html`<input name=${name} maxlength="200" .value=${this.piece[name]} />`
          : html`<textarea name=${name} .value=${this.piece[name]}></textarea>`
      }
    </label>`;
  }

  #material(material: Material, i: number) {
    const field = (name: keyof Material, label: string) =>
      html`<label>
        ${label}<input name="material-${name}" maxlength="200" .value=${material[name]} />
      </label>`;
    return html`<div class="material">
      ${field('name', 'What')} ${field('use', 'Used for')} ${field('quantity', 'How much')}
      <button
        type="button"
        aria-label="Take out material ${i + 1}"
        @click=${() => (this.materials = this.#typed().filter((_, at) => at !== i))}
      >
        Take out
      </button>
    </div>`;
  }

  /** The materials as they stand in the fields now. */
  #typed(): readonly Material[] {
    const form = this.renderRoot.querySelector('form');
    const data = form ? new FormData(form) : new FormData();
    const all = (name: keyof Material) =>
      data
        .getAll(`material-${name}`)
        .map((value) => (typeof value === 'string' ? value.trim() : ''));
    const [names, uses, quantities] = [all('name'), all('use'), all('quantity')];
    return names.map((name, i) => ({ name, use: uses[i] ?? '', quantity: quantities[i] ?? '' }));
  }

  async #write(event: SubmitEvent): Promise<void> {
    event.preventDefault();
    const { piece } = this;
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const texts = TEXTS.map(([name]) => {
      const value = data.get(name);
      return [name, typeof value === 'string' ? value : piece[name]] as const;
    });
    const materials = this.#typed().filter(({ name, use, quantity }) => name || use || quantity);
    const nameless = materials.find(({ name }) => !name);
    if (nameless) {
      this.error = 'A material has no name: say what it is, or take it out.';
      return;
    }
    const changed: Piece = {
      ...piece,
      ...(Object.fromEntries(texts) as Record<Texts, string>),
      materials,
    };
    await this.#finish(() => this.services.book.edit(piece, changed));
  }

  /** A fault keeps the sheet, and what was typed into it, open. */
  async #finish(work: () => Promise<Done>): Promise<void> {
    try {
      this.error = '';
      const done = await work();
      this.dispatchEvent(new CustomEvent('lt-done', { detail: { done } }));
    } catch (error) {
      this.error = faultInWords(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-write-record': WriteRecord;
  }
}
