/** Jobs, their pieces and areas: choose one and go to the bench, or begin another. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import { verdictIcon } from '../elements/icons.ts';
import { formatNumber, formatTime } from '../elements/numbers.ts';
import '../elements/sheet.ts';
import type { JobOutline } from '../state/bench-records.ts';
import type { HandOver, ImportPlan } from '../state/hand-over.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';

/** What the sheet asks the name of. */
type Adding =
  | { readonly what: 'job' }
  | { readonly what: 'piece'; readonly job: Id<'job'> }
  | { readonly what: 'area'; readonly piece: Id<'piece'> };

@customElement('lt-jobs')
export class JobsScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private search = '';
  @state() private adding: Adding | undefined;
  @state() private error = '';
  @state() private bringing: Awaited<ReturnType<HandOver['plan']>> | undefined;

  #stopWatching: (() => void) | undefined;
  #outline = new Task(this, {
    task: () => this.services.records.outline(),
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
        margin-block-start: 12px;
        padding-block-start: 12px;
        border-block-start: 1px solid var(--rule);
      }
      .piece-head,
      .job-head {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
      }
      .both {
        display: flex;
        gap: 8px;
      }
      h4 {
        margin: 0;
        font-size: 1rem;
      }
      .areas {
        display: grid;
        gap: 4px;
      }
      .area {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        inline-size: 100%;
        font-weight: 400;
        text-align: start;
      }
      .area b {
        display: block;
      }
      .last {
        display: flex;
        align-items: center;
        gap: 8px;
        font-weight: 700;
      }
      .file input {
        position: absolute;
        inline-size: 1px;
        min-block-size: 1px;
        opacity: 0;
      }
      .file:focus-within {
        outline: 3px solid #ffffff;
        outline-offset: 2px;
      }
      .lines li {
        margin-block-end: 8px;
      }
      .wide {
        inline-size: 100%;
        margin-block-start: 8px;
      }
      form {
        display: grid;
        gap: 12px;
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#stopWatching = this.services.records.onChange(() => void this.#outline.run());
  }
  override disconnectedCallback(): void {
    this.#stopWatching?.();
    super.disconnectedCallback();
  }

  override render() {
    return html`
      <div class="bar">
        <h2>Jobs</h2>
        <input
          class="search"
          type="search"
          placeholder="Search jobs, pieces, areas"
          aria-label="Search jobs, pieces, areas"
          .value=${this.search}
          @input=${(e: Event) => (this.search = (e.currentTarget as HTMLInputElement).value)}
        />
        <label class="button file">
          <input type="file" accept=".zip,application/zip" @change=${this.#bring} />
          <span>Open a job’s file</span>
        </label>
        <button @click=${() => this.#ask({ what: 'job' })}>New job</button>
      </div>
      ${this.#outline.render({
        pending: () => html`<p class="empty">Opening the list.</p>`,
        complete: (outline) => this.#list(outline),
        error: (error) =>
          html`<p class="empty" role="alert">The jobs could not be listed: ${String(error)}</p>`,
      })}
      ${this.#sheet()} ${this.#importSheet()}
    `;
  }

  #list(outline: readonly JobOutline[]) {
    const wanted = this.search.trim().toLowerCase();
    const found = outline.filter(({ place: { job, piece, area } }) =>
      `${job.title} ${piece.name} ${piece.reference} ${area.name}`.toLowerCase().includes(wanted),
    );
    if (found.length === 0) {
      return html`<p class="empty">
        ${wanted ? 'Nothing is called that.' : 'No job yet. Begin one with New job.'}
      </p>`;
    }
    const jobs = grouped(found, ({ place }) => place.job.id).reverse();
    return jobs.map((areas) => {
      const { job } = areas[0]!.place;
      return html`<section class="panel">
        <div class="job-head">
          <h3>${job.title}</h3>
          <button @click=${() => this.#ask({ what: 'piece', job: job.id })}>Add a piece</button>
        </div>
        ${grouped(areas, ({ place }) => place.piece.id).map((own) => this.#piece(own))}
      </section>`;
    });
  }

  #piece(areas: readonly JobOutline[]) {
    const { piece } = areas[0]!.place;
    return html`<div class="piece">
      <div class="piece-head">
        <h4>${piece.name}</h4>
        <div class="both">
          <a class="button" href=${hashOf({ screen: 'piece', piece: piece.id })}>Record</a>
          <button @click=${() => this.#ask({ what: 'area', piece: piece.id })}>Add an area</button>
        </div>
      </div>
      <div class="areas">
        ${areas.map(({ place: { area }, readings, lastReading }) => {
          const last = lastReading;
          return html`<button class="area" @click=${() => void this.#open(area.id)}>
            <span>
              <b>${area.name}</b>
              <span class="quiet">
                ${readingsInWords(readings)}${last ? `, last ${formatTime(last.createdAt)}` : ''}
              </span>
            </span>
            ${
              last
                ? html`<span class="last">
                    ${verdictIcon(last.verdict.acceptable)} ${last.verdict.acceptable}
                    ${formatNumber(last.difference.deltaE00, 1)}
                  </span>`
                : nothing
            }
          </button>`;
        })}
      </div>
    </div>`;
  }

  #sheet() {
    const { adding } = this;
    const fields = !adding
      ? []
      : adding.what === 'job'
        ? (['job', 'piece', 'area'] as const)
        : adding.what === 'piece'
          ? (['piece', 'area'] as const)
          : (['area'] as const);
    return html`<lt-sheet
      heading=${adding ? `New ${adding.what}` : ''}
      ?open=${adding !== undefined}
      @lt-close=${() => (this.adding = undefined)}
    >
      <form novalidate @submit=${(event: SubmitEvent) => void this.#add(event)}>
        ${fields.map(
          (field) =>
            html`<label>
              ${LABELS[field]}
              <input name=${field} maxlength="200" autocomplete="off" />
            </label>`,
        )}
        <p role="alert">${this.error}</p>
        <button class="next">Make it and go to the bench</button>
      </form>
    </lt-sheet>`;
  }

  #importSheet() {
    const { bringing } = this;
    const differs = bringing?.ok === true && bringing.plan.differ.length > 0;
    return html`<lt-sheet
      heading=${bringing?.ok === false ? 'This file cannot be taken in' : 'What this file would change'}
      ?open=${bringing !== undefined}
      @lt-close=${() => (this.bringing = undefined)}
    >
      ${
        bringing?.ok === false
          ? html`<ul class="lines">
                ${bringing.faults.slice(0, 12).map((fault) => html`<li>${fault}</li>`)}
              </ul>
              <p>Nothing was changed.</p>`
          : nothing
      }
      ${
        bringing?.ok === true
          ? html`<ul class="lines">
                ${bringing.plan.lines.map((line) => html`<li>${line}</li>`)}
              </ul>
              <p role="alert">${this.error}</p>
              <button class="next wide" @click=${() => void this.#takeIn(bringing.plan, false)}>
                ${differs ? 'Take it in, keep what is here' : 'Take it in'}
              </button>
              ${
                differs
                  ? html`<button
                      class="wide"
                      @click=${() => void this.#takeIn(bringing.plan, true)}
                    >
                      Take it in, replace what differs
                    </button>`
                  : nothing
              }`
          : nothing
      }
    </lt-sheet>`;
  }

  #bring = (event: Event) => {
    const input = event.currentTarget as HTMLInputElement;
    const file = input.files?.[0];
    if (!file) return;
    this.error = '';
    // The same file may be chosen again.
    void this.services.handOver.plan(file).then((found) => {
      this.bringing = found;
      input.value = '';
    });
  };

  async #takeIn(plan: ImportPlan, replace: boolean): Promise<void> {
    try {
      await this.services.handOver.takeIn(plan, replace);
      this.bringing = undefined;
      await this.#outline.run();
    } catch (error) {
      this.error = error instanceof Error ? error.message : String(error);
    }
  }

  #ask(adding: Adding): void {
    this.error = '';
    this.adding = adding;
  }

  async #add(event: SubmitEvent): Promise<void> {
    event.preventDefault();
    const { adding } = this;
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const value = (name: string) => {
      const field = data.get(name);
      return typeof field === 'string' ? field.trim() : '';
    };
    const missing = [...data.keys()].find((name) => value(name) === '');
    if (!adding || missing) {
      this.error = `Give the ${missing ?? 'job'} a name.`;
      return;
    }
    const { records } = this.services;
    try {
      const area =
        adding.what === 'job'
          ? await records.addJob(value('job'), value('piece'), value('area'))
          : adding.what === 'piece'
            ? await records.addPiece(adding.job, value('piece'), value('area'))
            : await records.addArea(adding.piece, value('area'));
      this.adding = undefined;
      await this.#open(area);
    } catch (error) {
      this.error = error instanceof Error ? error.message : String(error);
    }
  }

  async #open(area: Id<'area'>): Promise<void> {
    await this.services.session.openArea(area);
    location.hash = '#/bench';
  }
}

function readingsInWords(count: number): string {
  if (count === 0) return 'no reading yet';
  return count === 1 ? '1 reading' : `${count} readings`;
}

/** Items with the same key together, in the order in which the keys first come. */
function grouped<Item>(items: readonly Item[], keyOf: (item: Item) => string): Item[][] {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    groups.set(key, [...(groups.get(key) ?? []), item]);
  }
  return [...groups.values()];
}

const LABELS = {
  job: 'Title of the job',
  piece: 'Name of the piece',
  area: 'Name of the area: ground, band, rim',
} as const;

declare global {
  interface HTMLElementTagNameMap {
    'lt-jobs': JobsScreen;
  }
}
