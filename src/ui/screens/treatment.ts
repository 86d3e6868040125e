/** The treatment record of a piece: written here, with its photographs, and printed or saved as PDF. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import { parentOf } from '../../job/ids.ts';
import type { Piece } from '../../job/records.ts';
import { download } from '../state/download.ts';
import type { TreatmentReport } from '../state/hand-over.ts';
import type { Done } from '../state/job-book.ts';
import { recordsTask } from '../state/records-watch.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import './photographs.ts';
import './record-paper.ts';
import { WorkLine } from './work-line.ts';
import './write-record.ts';

@customElement('lt-treatment')
export class TreatmentScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property() piece = '';
  @state() private editing = false;

  #shown: { readonly piece: Piece; readonly report: TreatmentReport } | undefined;
  #load = recordsTask(this, () => this.services.records, {
    task: async ([id]) => {
      this.#shown = await this.services.handOver.treatment(id as Id<'piece'>);
      return this.#shown;
    },
    args: () => [this.piece] as const,
  });
  #line = new WorkLine(this);

  static override styles = [
    base,
    controls,
    paper,
    css`
      @media print {
        .bar,
        .missing,
        lt-photographs {
          display: none;
        }
      }
    `,
  ];

  override render() {
    return this.#load.render({
      // Drawn anew after every change: what was there stays until then.
      pending: () =>
        this.#shown ? this.#page(this.#shown) : html`<p class="empty">Opening the record.</p>`,
      complete: (found) =>
        found
          ? this.#page(found)
          : html`<p class="empty">
              This piece is no longer there. <a href="#/jobs">Back to the jobs</a>
            </p>`,
      error: (error) =>
        html`<p class="empty" role="alert">The record could not be opened: ${String(error)}</p>`,
    });
  }

  #page({ piece, report }: { readonly piece: Piece; readonly report: TreatmentReport }) {
    const job = parentOf(piece.id);
    const { handOver } = this.services;
    const save = (file: Promise<File>) => void this.#line.attempt(async () => download(await file));
    return html`
      <div class="bar">
        <h2>Treatment record</h2>
        <div class="actions">
          <button class="next" @click=${() => (this.editing = true)}>Write</button>
          <button @click=${() => window.print()}>Print or PDF</button>
          <button @click=${() => save(handOver.table(job))}>Table of readings</button>
          ${
            report.areas.some(({ plans }) => plans.length > 0)
              ? html`<button @click=${() => save(handOver.sprayTable(job))}>
                  Table of spraying
                </button>`
              : nothing
          }
          <button @click=${() => save(handOver.bundle(job))}>Whole job as a file</button>
        </div>
      </div>
      ${this.#line.render()}
      ${
        report.missing.length > 0
          ? html`<p class="panel missing">Still missing: ${report.missing.join(', ')}.</p>`
          : nothing
      }
      <lt-photographs
        .piece=${piece}
        .areas=${report.areas.map(({ area }) => area)}
        .pictures=${Object.values(report.images).flat()}
        @lt-done=${(event: CustomEvent<{ done: Done }>) => this.#line.say(event.detail.done)}
      ></lt-photographs>
      <lt-record-paper .report=${report}></lt-record-paper>
      <lt-write-record
        .piece=${piece}
        .open=${this.editing}
        @lt-close=${() => (this.editing = false)}
        @lt-done=${(event: CustomEvent<{ done: Done }>) => {
          this.editing = false;
          this.#line.say(event.detail.done);
        }}
      ></lt-write-record>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-treatment': TreatmentScreen;
  }
}
