/** Jobs, their pieces and areas: choose one and go to the bench, begin another, keep them in order. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import type { Job } from '../../job/records.ts';
import { icons, verdictIcon } from '../elements/icons.ts';
import { formatNumber, formatTime } from '../elements/numbers.ts';
import '../elements/undo-line.ts';
import { takeDrops } from '../state/drops.ts';
import { faultInWords } from '../state/fault.ts';
import type { AreaEntry, Done, JobEntry, PieceEntry } from '../state/job-book.ts';
import { Likenesses } from '../state/likenesses.ts';
import { readingSettings } from '../state/reading-settings.ts';
import { hashOf } from '../state/route.ts';
import { recordsTask } from '../state/records-watch.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Thumbnails } from '../state/thumbnails.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import './import-sheet.ts';
import type { FileOnOffer } from './import-sheet.ts';
import './job-sheets.ts';
import type { JobSheet } from './job-sheets.ts';

@customElement('lt-jobs')
export class JobsScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private search = '';
  @state() private sheet: JobSheet | undefined;
  @state() private offer: FileOnOffer | undefined;
  @state() private done: Done | undefined;
  @state() private trouble = '';

  #jobs: readonly JobEntry[] = [];
  #photographs = new Likenesses(this, (id: Id<'picture'>) =>
    this.services.book.pictureOf(id, 'thumbnail'),
  );
  #crops = new Thumbnails(this, () => this.services.records);
  #list = recordsTask(this, () => this.services.records, {
    task: async () => {
      const [jobs, bin] = await Promise.all([this.services.book.list(), this.services.book.bin()]);
      this.#jobs = jobs;
      return { jobs, bin };
    },
    args: () => [],
  });

  static override styles = [
    base,
    controls,
    paper,
    css`
      .search {
        flex: 1;
        min-inline-size: 180px;
        max-inline-size: 420px;
      }
      .piece {
        display: grid;
        grid-template-columns: 64px minmax(0, 1fr);
        gap: 4px 12px;
        margin-block-start: 12px;
        padding-block-start: 12px;
        border-block-start: 1px solid var(--rule);
      }
      .head {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
      }
      .head > :first-child {
        flex: 1 1 12rem;
        min-inline-size: 0;
      }
      h4 {
        margin: 0;
        font-size: 1rem;
      }
      .likeness {
        inline-size: 64px;
        block-size: 64px;
        object-fit: cover;
        background: var(--surround);
      }
      .areas {
        display: grid;
        grid-column: 1 / -1;
        gap: 4px;
      }
      .area {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 4px;
      }
      .open {
        padding-block: 8px;
        overflow-wrap: anywhere;
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        font-weight: 400;
        text-align: start;
      }
      .open b {
        display: block;
      }
      .matches {
        display: flex;
        grid-column: 1 / -1;
        align-items: center;
        min-block-size: var(--touch);
        padding-inline: 14px;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
      .last {
        display: flex;
        align-items: center;
        gap: 8px;
        font-weight: 700;
      }
      .notes {
        margin-block-start: 6px;
        white-space: pre-line;
      }
      .trouble {
        margin-block-end: 8px;
      }
    `,
  ];

  constructor() {
    super();
    // A job's file changes nothing before the sheet has said what it would.
    takeDrops(this, (dropped) => {
      const file = dropped?.files[0];
      if (!file || this.sheet) return;
      void this.#guard(async () => {
        this.offer = await this.services.handOver.plan(file);
      });
    });
  }

  override render() {
    const { done } = this;
    return html`
      <div class="bar">
        <h2>Jobs</h2>
        <input
          class="search"
          type="search"
          placeholder="Search jobs, pieces, areas, notes"
          aria-label="Search jobs, pieces, areas, notes"
          .value=${this.search}
          @input=${(e: Event) => (this.search = (e.currentTarget as HTMLInputElement).value)}
        />
        <label class="button file">
          <input type="file" accept=".zip,application/zip" @change=${this.#bring} />
          <span>Open a job’s file</span>
        </label>
        <button @click=${() => (this.sheet = { what: 'new-job' })}>New job</button>
      </div>
      <p class="trouble" role="alert">${this.trouble}</p>
      <lt-undo-line
        .text=${done?.text ?? ''}
        .canUndo=${done !== undefined}
        @lt-undo=${() => void this.#undo()}
        @lt-close=${() => (this.done = undefined)}
      ></lt-undo-line>
      ${this.#list.render({
        // Drawn anew after every change: what was there stays until then.
        pending: () =>
          this.#jobs.length > 0
            ? this.#found(this.#jobs)
            : html`<p class="empty">Opening the list.</p>`,
        complete: ({ jobs, bin }) => html`
          ${this.#found(jobs)}
          ${
            bin.length > 0
              ? html`<button @click=${() => (this.sheet = { what: 'bin', records: bin })}>
                  Deleted (${bin.length})
                </button>`
              : nothing
          }
        `,
        error: (error) =>
          html`<p class="empty" role="alert">The jobs could not be listed: ${String(error)}</p>`,
      })}
      <lt-job-sheets
        .sheet=${this.sheet}
        @lt-close=${() => (this.sheet = undefined)}
        @lt-done=${(event: CustomEvent<{ done: Done }>) => (this.done = event.detail.done)}
        @lt-go=${(event: CustomEvent<{ area: Id<'area'> }>) => void this.#open(event.detail.area)}
        @lt-match=${() => void this.#guard(() => this.#match())}
      ></lt-job-sheets>
      <lt-import-sheet
        .offer=${this.offer}
        @lt-close=${() => (this.offer = undefined)}
        @lt-taken=${() => void this.#list.run()}
      ></lt-import-sheet>
    `;
  }

  #found(jobs: readonly JobEntry[]) {
    const words = this.search.trim().toLowerCase().split(/\s+/);
    const found = jobs.flatMap((entry) => matching(entry, words));
    if (found.length === 0) {
      return html`<p class="empty">
        ${jobs.length > 0 ? 'Nothing here matches the search.' : 'No job yet. Begin one with New job.'}
      </p>`;
    }
    return found.map((entry) => this.#job(entry));
  }

  #job({ job, pieces, lastWorked }: JobEntry) {
    const about = [
      `last worked on ${formatTime(lastWorked)}`,
      ...(job.lamp ? [`lamp: ${job.lamp}`] : []),
      ...(job.tile ? [`tile: ${job.tile.name}`] : []),
    ];
    return html`<section class="panel">
      <div class="head">
        <div>
          <h3>${job.title}</h3>
          <p class="quiet">${about.join(' · ')}</p>
        </div>
        <div class="both">
          <button
            aria-label="Edit the job ${job.title}"
            @click=${() => (this.sheet = { what: 'job', job })}
          >
            Edit
          </button>
          <button @click=${() => (this.sheet = { what: 'new-piece', job })}>Add a piece</button>
        </div>
      </div>
      ${job.notes ? html`<p class="notes">${job.notes}</p>` : nothing}
      ${pieces.map((piece) => this.#piece(piece, job))}
    </section>`;
  }

  #piece({ piece, areas, pictures }: PieceEntry, job: Job) {
    return html`<div class="piece">
      ${this.#likeness(areas, pictures)}
      <div class="head">
        <div>
          <h4>${piece.name}</h4>
          <p class="quiet">${piece.reference}</p>
        </div>
        <div class="both">
          <a class="button" href=${hashOf({ screen: 'piece', piece: piece.id })}>Record</a>
          <button @click=${() => (this.sheet = { what: 'new-area', piece })}>Add an area</button>
        </div>
      </div>
      <div class="areas">
        ${areas.map((entry) => this.#area(entry, () => (this.sheet = { what: 'area', area: entry.area, piece, job })))}
      </div>
    </div>`;
  }

  /** The newest photograph, else the newest dab. */
  #likeness(areas: readonly AreaEntry[], pictures: PieceEntry['pictures']) {
    const picture = pictures.at(-1);
    const last = areas.flatMap(({ last }) => last ?? []).at(-1);
    const address = picture
      ? this.#photographs.of(picture.id)
      : last && this.#crops.of(last.id).thumbnail;
    return address
      ? html`<img class="likeness" src=${address} alt="" />`
      : html`<span class="likeness"></span>`;
  }

  #area({ area, readings, last, matches }: AreaEntry, edit: () => void) {
    const about = [
      readingsInWords(readings),
      ...(last ? [`last ${formatTime(last.createdAt)}, ${last.film}`] : []),
    ];
    return html`<div class="area">
      <button class="open" @click=${() => void this.#open(area.id)}>
        <span><b>${area.name}</b><span class="quiet">${about.join(' · ')}</span></span>
        ${
          last
            ? html`<span class="last">
                ${verdictIcon(last.verdict.acceptable)} ${last.verdict.acceptable}
                ${formatNumber(last.difference.deltaE00, 1)}
              </span>`
            : nothing
        }
      </button>
      <button aria-label="Edit the area ${area.name}" @click=${edit}>${icons.more}</button>
      ${
        matches
          ? html`<a class="matches" href=${hashOf({ screen: 'piece', piece: matches.piece.id })}
              >matches ${matches.piece.name}, ${matches.area.name}: its record</a
            >`
          : nothing
      }
    </div>`;
  }

  async #match(): Promise<void> {
    const { sheet } = this;
    if (sheet?.what !== 'area') return;
    const { area, piece, job } = sheet;
    const places = this.#jobs.flatMap((entry) =>
      entry.pieces
        .filter((one) => one.piece.id !== piece.id)
        .map((one) => ({ piece: one.piece, job: entry.job })),
    );
    const { book, store } = this.services;
    const start = await book.startOf(area, readingSettings(store.state).thresholds.acceptable);
    this.sheet = { what: 'match', area, piece, job, start, places: [...places, { piece, job }] };
  }

  #bring = (event: Event) => {
    const input = event.currentTarget as HTMLInputElement;
    const file = input.files?.[0];
    if (!file) return;
    void this.#guard(async () => {
      this.offer = await this.services.handOver.plan(file);
      // The same file may be chosen again.
      input.value = '';
    });
  };

  async #undo(): Promise<void> {
    const { done } = this;
    this.done = undefined;
    await this.#guard(async () => await done?.undo());
  }

  async #open(area: Id<'area'>): Promise<void> {
    await this.services.session.openArea(area);
    location.hash = '#/bench';
  }

  async #guard(work: () => Promise<void>): Promise<void> {
    try {
      this.trouble = '';
      await work();
    } catch (error) {
      this.trouble = faultInWords(error);
    }
  }
}

/** The job when it holds all of the words, narrowed to the pieces that do when the job itself does not. */
function matching(entry: JobEntry, words: readonly string[]): readonly JobEntry[] {
  const hasAll = (text: string) => words.every((word) => text.toLowerCase().includes(word));
  const { job, pieces } = entry;
  const ofJob = [job.title, job.notes, job.lamp ?? '', job.tile?.name ?? ''].join(' ');
  if (hasAll(ofJob)) return [entry];
  const own = pieces.filter(({ piece, areas }) => {
    const texts = [piece.name, piece.reference, piece.description, piece.notes];
    return hasAll(
      [ofJob, ...texts, ...areas.flatMap(({ area }) => [area.name, area.notes])].join(' '),
    );
  });
  return own.length > 0 ? [{ ...entry, pieces: own }] : [];
}

function readingsInWords(count: number): string {
  if (count === 0) return 'no reading yet';
  return count === 1 ? '1 reading' : `${count} readings`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-jobs': JobsScreen;
  }
}
