/**
 * A chart's reference values typed or pasted into a table of 24 patches. Emits `lt-reference` with the
 * patches once all are right, `lt-close` when it is given up.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { CHART_COLUMNS, type ReferencePatch } from '../../reading/profile/cgats.ts';
import {
  cgatsText,
  CHART_WHITES,
  EMPTY_PATCHES,
  pasted,
  typedChart,
  type ChartWhite,
  type TypedPatch,
} from '../../reading/profile/typed-chart.ts';
import { download } from '../state/download.ts';
import { Typing } from '../state/typing.ts';
import { base, controls } from '../styles/shared.ts';

const NAMES = ['L*', 'a*', 'b*'] as const;

@customElement('lt-chart-values')
export class ChartValues extends LitElement {
  @property({ attribute: false }) rows: readonly TypedPatch[] = EMPTY_PATCHES;
  @state() private white: ChartWhite = 'D50';
  @state() private fault = '';

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
        margin-block-start: 12px;
        padding: 16px;
        background: var(--control-deep);
      }
      table {
        inline-size: 100%;
        border-collapse: collapse;
        table-layout: fixed;
      }
      th {
        text-align: start;
      }
      th:first-child {
        inline-size: 4.5rem;
        font-weight: 400;
      }
      td {
        padding: 1px;
      }
      td input {
        padding: 4px 8px;
      }
      .row td,
      .row th {
        padding-block-start: 10px;
      }
    `,
  ];

  constructor() {
    super();
    new Typing(this);
  }

  override render() {
    return html`<form novalidate @submit=${(event: SubmitEvent) => this.#take(event)}>
      <p>
        Type the 24 values row by row as the chart’s sheet gives them, or paste its lines into the
        first field.
      </p>
      <label>
        Stated for
        <select
          @change=${(e: Event) => (this.white = (e.target as HTMLSelectElement).value as ChartWhite)}
        >
          ${CHART_WHITES.map(
            (white) =>
              html`<option value=${white} ?selected=${white === this.white}>${white}, 2°</option>`,
          )}
        </select>
      </label>
      <table>
        <tr>
          <th scope="col">Patch</th>
          ${NAMES.map((name) => html`<th scope="col">${name}</th>`)}
        </tr>
        ${this.rows.map((row, i) => this.#row(row, i))}
      </table>
      ${this.fault === '' ? nothing : html`<p role="alert">${this.fault}</p>`}
      <div class="both">
        <button class="next">Use these values</button>
        <button type="button" @click=${() => this.#keepAsFile()}>Save them as a file</button>
        <button type="button" @click=${() => this.dispatchEvent(new CustomEvent('lt-close'))}>
          Cancel
        </button>
      </div>
    </form>`;
  }

  #row(row: TypedPatch, i: number) {
    return html`<tr class=${i % CHART_COLUMNS === 0 ? 'row' : ''}>
      <th scope="row">${i + 1}</th>
      ${row.map(
        (value, k) =>
          html`<td>
            <input
              inputmode="text"
              autocomplete="off"
              aria-label="Patch ${i + 1}, ${NAMES[k]!}"
              .value=${value}
              @input=${(e: Event) => this.#typed(i, k, (e.target as HTMLInputElement).value)}
              @paste=${(e: ClipboardEvent) => this.#pasted(i, e)}
            />
          </td>`,
      )}
    </tr>`;
  }

  #typed(patch: number, field: number, text: string): void {
    this.rows = this.rows.map((row, i) =>
      i === patch ? (row.map((v, k) => (k === field ? text : v)) as unknown as TypedPatch) : row,
    );
  }

  /** A lone number is pasted as the browser does; whole lines go into the table. */
  #pasted(patch: number, event: ClipboardEvent): void {
    const rows = pasted(this.rows, patch, event.clipboardData?.getData('text') ?? '');
    if (rows.every((row, i) => row === this.rows[i])) return;
    event.preventDefault();
    this.rows = rows;
  }

  #take(event: SubmitEvent): void {
    event.preventDefault();
    const typed = typedChart(this.rows, this.white);
    this.fault = typed.ok ? '' : typed.message;
    if (!typed.ok) return;
    this.dispatchEvent(
      new CustomEvent<readonly ReferencePatch[]>('lt-reference', { detail: typed.patches }),
    );
  }

  #keepAsFile(): void {
    const typed = typedChart(this.rows, this.white);
    // The file's format states D50.
    const isOther = this.white !== 'D50';
    this.fault = typed.ok
      ? isOther
        ? 'A file is for D50: values stated for D65 are not saved as one.'
        : ''
      : typed.message;
    if (!typed.ok || isOther) return;
    download(new File([cgatsText(this.rows)], 'chart.txt', { type: 'text/plain' }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-chart-values': ChartValues;
  }
}
