/** The treatment record of a piece: to be completed here, and to be printed or saved as PDF. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import { parentOf } from '../../job/ids.ts';
import type { AreaReport } from '../../job/report.ts';
import type { Piece } from '../../job/records.ts';
import { formatGrams, formatNumber, formatPercent, formatTime } from '../elements/numbers.ts';
import '../elements/sheet.ts';
import { download, type PieceTexts, type TreatmentReport } from '../state/hand-over.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Thumbnails } from '../state/thumbnails.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';

const TEXTS: readonly (readonly [keyof PieceTexts, string, 'line' | 'text'])[] = [
  ['name', 'Piece', 'line'],
  ['reference', 'Reference: inventory number, mark', 'line'],
  ['description', 'Description', 'text'],
  ['conditionAsFound', 'Condition as found', 'text'],
  ['treatment', 'Treatment', 'text'],
  ['reversibility', 'Reversibility: how the retouching can be taken off again', 'text'],
  ['treatedBy', 'Who did it', 'line'],
];

@customElement('lt-treatment')
export class TreatmentScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property() piece = '';
  @state() private editing = false;
  @state() private trouble = '';

  #thumbnails = new Thumbnails(this, () => this.services.records);
  #load = new Task(this, {
    task: ([id]) => this.services.handOver.treatment(id as Id<'piece'>),
    args: () => [this.piece] as const,
  });

  static override styles = [
    base,
    controls,
    paper,
    css`
      .actions {
        display: flex;
        flex-wrap: wrap;
        gap: 8px;
      }
      .sheet-of-paper {
        max-inline-size: 800px;
        margin-inline: auto;
        padding: 24px;
        background: var(--control);
        color: var(--ink);
      }
      h3 {
        margin-block: 20px 4px;
        font-size: 1.0625rem;
      }
      h4 {
        margin: 12px 0 4px;
        font-size: 1rem;
      }
      .missing-text {
        color: var(--ink-quiet);
        font-style: italic;
      }
      .written {
        white-space: pre-line;
      }
      table {
        inline-size: 100%;
        border-collapse: collapse;
        font-size: 0.9375rem;
      }
      th,
      td {
        padding: 4px 8px 4px 0;
        border-block-end: 1px solid var(--rule);
        text-align: start;
        vertical-align: middle;
      }
      img {
        display: block;
        inline-size: 56px;
        block-size: 56px;
        object-fit: cover;
      }
      form {
        display: grid;
        gap: 12px;
      }
      textarea {
        min-block-size: 96px;
        resize: vertical;
      }
      @media print {
        :host {
          max-inline-size: none;
          padding: 0;
        }
        .bar,
        .missing {
          display: none;
        }
        .sheet-of-paper {
          max-inline-size: none;
          padding: 0;
          background: #ffffff;
          color: #000000;
        }
        .missing-text {
          color: #000000;
        }
        th,
        td {
          border-color: #808080;
        }
        section,
        tr {
          break-inside: avoid;
        }
      }
    `,
  ];

  override render() {
    return this.#load.render({
      pending: () => html`<p class="empty">Opening the record.</p>`,
      complete: (found) =>
        found
          ? this.#page(found.piece, found.report)
          : html`<p class="empty">This piece is no longer there.</p>`,
      error: (error) =>
        html`<p class="empty" role="alert">The record could not be opened: ${String(error)}</p>`,
    });
  }

  #page(piece: Piece, report: TreatmentReport) {
    const job = parentOf(piece.id);
    const { handOver } = this.services;
    const save = (file: Promise<File>) => void this.#attempt(async () => download(await file));
    return html`
      <div class="bar">
        <h2>Treatment record</h2>
        <div class="actions">
          <button class="next" @click=${() => (this.editing = true)}>Write</button>
          <button @click=${() => window.print()}>Print or PDF</button>
          <button @click=${() => save(handOver.table(job))}>Table of readings</button>
          <button @click=${() => save(handOver.bundle(job))}>Whole job as a file</button>
        </div>
      </div>
      <p role="alert">${this.trouble}</p>
      ${
        report.missing.length > 0
          ? html`<p class="panel missing">Still missing: ${report.missing.join(', ')}.</p>`
          : nothing
      }
      <article class="sheet-of-paper">${this.#report(report)}</article>
      ${this.#sheet(piece)}
    `;
  }

  #report(report: TreatmentReport) {
    const { identity, dates, materials } = report;
    const said = (text: string) =>
      text.trim() === ''
        ? html`<p class="missing-text">not written yet</p>`
        : html`<p class="written">${text}</p>`;
    const days = dates.from === dates.to ? dates.from : `${dates.from} to ${dates.to}`;
    return html`
      <h2>${identity.piece}</h2>
      <p>${[identity.reference, identity.job, days].filter(Boolean).join(' · ')}</p>
      <h3>Description</h3>
      ${said(identity.description)}
      <h3>Condition as found</h3>
      ${said(report.conditionAsFound)}
      <h3>Treatment</h3>
      ${said(report.treatment)} ${report.areas.map((area) => this.#area(area))}
      ${
        materials.length > 0
          ? html`<h3>Other materials</h3>
              <ul>
                ${materials.map(
                  ({ name, use, quantity }) =>
                    html`<li>${[name, use, quantity].filter(Boolean).join(', ')}</li>`,
                )}
              </ul>`
          : nothing
      }
      <h3>Reversibility</h3>
      ${said(report.reversibility)}
      <h3>How the colours were read</h3>
      <p>
        CIELAB D65/2° and ΔE₀₀ (CIEDE2000) with 95 % intervals, by camera against
        ${report.tiles.join(', ') || 'no tile yet'}${
          report.lamps.length > 0 ? `; lamp: ${report.lamps.join(', ')}` : ''
        }.
      </p>
      <h3>Who did it</h3>
      ${said(report.treatedBy)}
      <h3>Cautions</h3>
      <ul>
        ${report.cautions.map((caution) => html`<li>${caution}</li>`)}
      </ul>
    `;
  }

  #area({ area, mix, mediumGrams, thinnerGrams, readings }: AreaReport) {
    const more = [
      ...(mediumGrams > 0 ? [`clear medium ${formatGrams(mediumGrams)}`] : []),
      ...(thinnerGrams > 0 ? [`thinner ${formatGrams(thinnerGrams)}`] : []),
    ];
    return html`<section>
      <h4>Area: ${area.name}</h4>
      ${
        mix.length > 0
          ? html`<p>
              Retouched with
              ${[
                ...mix.map(
                  ({ name, grams, share }) =>
                    `${name} ${formatGrams(grams)} (${formatPercent(share)})`,
                ),
                ...more,
              ].join('; ')}.
            </p>`
          : nothing
      }
      ${
        readings.length === 0
          ? html`<p class="missing-text">no reading yet</p>`
          : html`<table>
              <thead>
                <tr>
                  <th scope="col">Dab</th>
                  <th scope="col">Taken</th>
                  <th scope="col">ΔE₀₀ (95 %)</th>
                  <th scope="col">Verdict</th>
                  <th scope="col">Difference</th>
                </tr>
              </thead>
              <tbody>
                ${readings.map((reading) => {
                  const { thumbnail } = this.#thumbnails.of(reading.id);
                  const { deltaE00, interval95 } = reading.difference;
                  return html`<tr>
                    <td>
                      ${thumbnail ? html`<img src=${thumbnail} alt="Crop of the dab" />` : nothing}
                    </td>
                    <td>${formatTime(reading.createdAt)}, ${reading.film}</td>
                    <td>
                      ${formatNumber(deltaE00, 1)} (${formatNumber(interval95[0], 1)} to
                      ${formatNumber(interval95[1], 1)})
                    </td>
                    <td>${reading.verdict.acceptable}</td>
                    <td>${reading.words.join(', ') || 'none worth a word'}</td>
                  </tr>`;
                })}
              </tbody>
            </table>`
      }
    </section>`;
  }

  #sheet(piece: Piece) {
    return html`<lt-sheet
      heading="Write the record"
      ?open=${this.editing}
      @lt-close=${() => (this.editing = false)}
    >
      <form novalidate @submit=${(event: SubmitEvent) => void this.#write(event, piece)}>
        ${TEXTS.map(
          ([name, label, kind]) =>
            html`<label>
              ${label}
              ${
                kind === 'line'
                  ? html`<input name=${name} maxlength="200" .value=${piece[name]} />`
                  : html`<textarea name=${name} .value=${piece[name]}></textarea>`
              }
            </label>`,
        )}
        <p role="alert">${this.trouble}</p>
        <button class="next">Keep</button>
      </form>
    </lt-sheet>`;
  }

  async #write(event: SubmitEvent, piece: Piece): Promise<void> {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const text = (name: keyof PieceTexts) => {
      const value = data.get(name);
      return typeof value === 'string' ? value : piece[name];
    };
    const texts = Object.fromEntries(TEXTS.map(([name]) => [name, text(name)]));
    await this.#attempt(async () => {
      await this.services.handOver.writePiece(piece, texts as unknown as PieceTexts);
      this.editing = false;
      await this.#load.run();
    });
  }

  async #attempt(work: () => Promise<void>): Promise<void> {
    try {
      this.trouble = '';
      await work();
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-treatment': TreatmentScreen;
  }
}
