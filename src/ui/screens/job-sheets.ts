/**
 * The sheets of the jobs screen: a new job, piece or area; a job or area edited; an area matched again;
 * the bin. Events: `lt-done` {done} with its undo, `lt-go` {area} to the bench, `lt-close`.
 */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import type { AnyRecord, Area, Job, Piece } from '../../job/records.ts';
import type { StartingMix } from '../../job/starting-mix.ts';
import type { BenchState } from '../state/bench-state.ts';
import '../elements/sheet.ts';
import { faultInWords } from '../state/fault.ts';
import { startInWords, type Done } from '../state/job-book.ts';
import { OnePress } from '../state/one-press.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { base, controls } from '../styles/shared.ts';
import './bin.ts';

export type JobSheet =
  | { readonly what: 'new-job' }
  | { readonly what: 'new-piece'; readonly job: Job }
  | { readonly what: 'new-area'; readonly piece: Piece }
  | { readonly what: 'job'; readonly job: Job }
  | { readonly what: 'area'; readonly area: Area; readonly piece: Piece; readonly job: Job }
  | {
      readonly what: 'match';
      readonly area: Area;
      readonly piece: Piece;
      /** Pieces it may be matched on, with their jobs. */
      readonly places: readonly { readonly piece: Piece; readonly job: Job }[];
      readonly job: Job;
      /** The mix it starts from; undefined when nothing was mixed. */
      readonly start: StartingMix | undefined;
    }
  | { readonly what: 'bin'; readonly records: readonly AnyRecord[] };

const HEADINGS: Record<JobSheet['what'], string> = {
  'new-job': 'New job',
  'new-piece': 'New piece',
  'new-area': 'New area',
  job: 'Job',
  area: 'Area',
  match: 'Match this area again',
  bin: 'Deleted',
};

const LABELS = {
  job: 'Title of the job',
  piece: 'Name of the piece',
  area: 'Name of the area: ground, band, rim',
} as const;

@customElement('lt-job-sheets')
export class JobSheets extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) sheet: JobSheet | undefined;
  @state() private error = '';
  readonly #press = new OnePress();

  #settings = new Select(
    this,
    () => this.services.store,
    ({ settings }: BenchState) => ({ settings }),
  );

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
      .apart {
        display: grid;
        gap: 8px;
        margin-block-start: 20px;
        padding-block-start: 12px;
        border-block-start: 1px solid var(--rule);
      }
      a {
        font-weight: 600;
      }
      .error:empty {
        display: none;
      }
    `,
  ];

  protected override willUpdate(changed: Map<string, unknown>): void {
    if (changed.has('sheet')) this.error = '';
  }

  override render() {
    const { sheet } = this;
    return html`<lt-sheet
      heading=${sheet ? HEADINGS[sheet.what] : ''}
      asks
      ?open=${sheet !== undefined}
      @lt-close=${() => this.#close()}
    >
      ${this.#content()}
      <p class="error" role="alert">${this.error}</p>
    </lt-sheet>`;
  }

  #content() {
    const { sheet } = this;
    switch (sheet?.what) {
      case 'new-job':
        return this.#names(['job', 'piece', 'area']);
      case 'new-piece':
        return this.#names(['piece', 'area']);
      case 'new-area':
        return this.#names(['area']);
      case 'job':
        return this.#job(sheet.job);
      case 'area':
        return this.#area(sheet.area);
      case 'match':
        return this.#match(sheet);
      case 'bin':
        return html`<lt-bin
          .records=${sheet.records}
          @lt-done=${(e: CustomEvent<{ done: Done }>) => this.#done(e.detail.done)}
          @lt-emptied=${() => this.#close()}
        ></lt-bin>`;
      case undefined:
        return nothing;
    }
  }

  #names(fields: readonly (keyof typeof LABELS)[]) {
    return html`<form novalidate @submit=${this.#add}>
      ${fields.map(
        (field) =>
          html`<label>
            ${LABELS[field]}
            <input name=${field} maxlength="200" autocomplete="off" />
          </label>`,
      )}
      <button class="next">Make it and go to the bench</button>
    </form>`;
  }

  #job(job: Job) {
    const { settings } = this.#settings.value;
    const tiles = [...(settings?.tiles ?? [])];
    if (job.tile && !tiles.some(({ name }) => name === job.tile?.name)) tiles.unshift(job.tile);
    return html`<form
        novalidate
        @submit=${(event: SubmitEvent) => {
          const value = fieldsOf(event);
          const lamp = value('lamp');
          const tile = tiles.find(({ name }) => name === value('tile'));
          const bare = { ...job };
          Reflect.deleteProperty(bare, 'lamp');
          Reflect.deleteProperty(bare, 'tile');
          const changed: Job = {
            ...bare,
            title: value('title'),
            notes: value('notes'),
            ...(lamp && { lamp }),
            ...(tile && { tile }),
          };
          void this.#do(() => this.services.book.edit(job, changed));
        }}
      >
        <label>Title<input name="title" maxlength="200" .value=${job.title} /></label>
        <label>
          Lamp
          <input name="lamp" maxlength="80" list="lamps" .value=${job.lamp ?? ''} />
          <datalist id="lamps">
            ${settings?.lamps.map((lamp) => html`<option value=${lamp}></option>`)}
          </datalist>
        </label>
        <label>
          White tile
          <select name="tile">
            <option value="" ?selected=${!job.tile}>the bench’s own, whichever it is</option>
            ${tiles.map(
              ({ name }) =>
                html`<option value=${name} ?selected=${job.tile?.name === name}>${name}</option>`,
            )}
          </select>
        </label>
        <label>Notes<textarea name="notes" maxlength="20000" .value=${job.notes}></textarea></label>
        <button class="next">Keep</button>
      </form>
      <div class="apart">
        <button @click=${() => void this.#do(() => this.services.book.remove(job))}>
          Delete this job
        </button>
      </div>`;
  }

  #area(area: Area) {
    return html`<form
        novalidate
        @submit=${(event: SubmitEvent) => {
          const value = fieldsOf(event);
          const changed: Area = { ...area, name: value('name'), notes: value('notes') };
          void this.#do(() => this.services.book.edit(area, changed));
        }}
      >
        <label>Name<input name="name" maxlength="200" .value=${area.name} /></label>
        <label>
          Notes<textarea name="notes" maxlength="20000" .value=${area.notes}></textarea>
        </label>
        <button class="next">Keep</button>
      </form>
      <div class="apart">
        <button @click=${() => this.dispatchEvent(new CustomEvent('lt-match'))}>
          Match this area again
        </button>
        <p class="quiet">
          For the second of a pair, or the same piece years later: a new area with this one’s target
          glaze and the last of its mixes that blended.
        </p>
        <button @click=${() => void this.#do(() => this.services.book.remove(area))}>
          Delete this area
        </button>
      </div>`;
  }

  #match({ area, piece, places, job, start }: JobSheet & { what: 'match' }) {
    return html`<form
      novalidate
      @submit=${(event: SubmitEvent) => {
        const value = fieldsOf(event);
        void this.#go(async () => {
          const name = value('name') || area.name;
          const chosen = value('on') as Id<'piece'> | '';
          if (chosen) return await this.services.book.match(area, start, chosen, name);
          const fresh = value('piece');
          if (!fresh) throw new Error('Give the new piece a name, or choose a piece.');
          return await this.services.book.matchOnNewPiece(area, start, job.id, fresh, name);
        });
      }}
    >
      <p>
        The new area has the target glaze of ${piece.name}, ${area.name}, and starts from
        ${start ? startInWords(start) : 'an empty pot: nothing was mixed for it'}.
        ${
          start?.told
            ? html`<a href=${hashOf({ screen: 'record', reading: start.told.reading.id })}
                >That reading</a
              >`
            : nothing
        }
      </p>
      <label>
        On
        <select name="on">
          <option value="">a new piece of ${job.title}</option>
          ${places.map(
            (place) =>
              html`<option value=${place.piece.id}>
                ${place.piece.name}, ${place.job.title}
              </option>`,
          )}
        </select>
      </label>
      <label>
        Name of the new piece
        <input name="piece" maxlength="200" autocomplete="off" />
      </label>
      <label>Name of the area<input name="name" maxlength="200" .value=${area.name} /></label>
      <button class="next">Make it and go to the bench</button>
    </form>`;
  }

  #add = (event: SubmitEvent) => {
    const value = fieldsOf(event);
    const { sheet } = this;
    const names = [...new FormData(event.currentTarget as HTMLFormElement).keys()];
    const missing = names.find((name) => value(name) === '');
    if (missing) {
      this.error = `Give the ${missing} a name.`;
      return;
    }
    const { records } = this.services;
    void this.#go(async () => {
      if (sheet?.what === 'new-area') return await records.addArea(sheet.piece.id, value('area'));
      return sheet?.what === 'new-piece'
        ? await records.addPiece(sheet.job.id, value('piece'), value('area'))
        : await records.addJob(value('job'), value('piece'), value('area'));
    });
  };

  async #do(work: () => Promise<Done>): Promise<void> {
    await this.#guard(async () => {
      this.#done(await work());
    });
  }

  #done(done: Done): void {
    this.dispatchEvent(new CustomEvent('lt-done', { detail: { done } }));
    this.#close();
  }

  async #go(work: () => Promise<Id<'area'> | undefined>): Promise<void> {
    await this.#guard(async () => {
      const area = await work();
      this.#close();
      if (area) this.dispatchEvent(new CustomEvent('lt-go', { detail: { area } }));
    });
  }

  /** A fault keeps the sheet, and what was typed into it, open. */
  async #guard(work: () => Promise<void>): Promise<void> {
    await this.#press.begin(async () => {
      try {
        this.error = '';
        await work();
      } catch (error) {
        this.error = faultInWords(error);
      }
    });
  }

  #close(): void {
    this.dispatchEvent(new CustomEvent('lt-close'));
  }
}

/** The fields of a form that was sent, by name, without space round them. */
function fieldsOf(event: SubmitEvent): (name: string) => string {
  event.preventDefault();
  const data = new FormData(event.currentTarget as HTMLFormElement);
  return (name) => {
    const field = data.get(name);
    return typeof field === 'string' ? field.trim() : '';
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-job-sheets': JobSheets;
  }
}
