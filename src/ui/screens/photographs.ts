/** The photographs of a piece before, during and after treatment: added, captioned, dated, deleted. Event: `lt-done` {done}. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { PHOTO_TYPES } from '../../camera/photo.ts';
import type { Id } from '../../job/ids.ts';
import type { Area, Picture, Piece } from '../../job/records.ts';
import '../elements/sheet.ts';
import { faultInWords } from '../state/fault.ts';
import type { Done } from '../state/job-book.ts';
import { Likenesses } from '../state/likenesses.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';

export const STAGES = ['before', 'during', 'after'] as const;

@customElement('lt-photographs')
export class Photographs extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) piece!: Piece;
  @property({ attribute: false }) areas: readonly Area[] = [];
  @property({ attribute: false }) pictures: readonly Picture[] = [];
  @state() private editing: Picture | undefined;
  @state() private trouble = '';
  @state() private busy = false;

  #likenesses = new Likenesses(this, (id: Id<'picture'>) =>
    this.services.book.pictureOf(id, 'thumbnail'),
  );

  static override styles = [
    base,
    controls,
    paper,
    css`
      :host {
        max-inline-size: none;
        margin: 0 0 8px;
        padding: 0;
      }
      .stages {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(240px, 100%), 1fr));
        gap: 16px;
        margin-block-start: 8px;
      }
      .head {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
      }
      h4 {
        margin: 0;
        font-size: 1rem;
      }
      .pictures {
        display: flex;
        flex-wrap: wrap;
        gap: 8px;
        margin-block-start: 8px;
      }
      .pictures button {
        flex-direction: column;
        gap: 4px;
        inline-size: 112px;
        padding: 4px;
        font-size: 0.875rem;
        font-weight: 400;
        overflow-wrap: anywhere;
      }
      img,
      .blank {
        inline-size: 102px;
        block-size: 102px;
        object-fit: cover;
        background: var(--surround);
      }
      .file {
        position: relative;
      }
      form {
        display: grid;
        gap: 12px;
      }
      .apart {
        display: grid;
        margin-block-start: 20px;
      }
      .large {
        inline-size: 100%;
        block-size: auto;
        max-block-size: 40vh;
        object-fit: contain;
        background: var(--surround);
      }
    `,
  ];

  override render() {
    return html`<section class="panel" aria-label="Photographs">
        <h3>Photographs</h3>
        <p role="alert">${this.trouble}</p>
        <div class="stages">${STAGES.map((stage) => this.#stage(stage))}</div>
      </section>
      ${this.#sheet()}`;
  }

  #stage(stage: Picture['stage']) {
    const pictures = this.pictures.filter((one) => one.stage === stage);
    return html`<div>
      <div class="head">
        <h4>${stage}</h4>
        <label class="button file">
          <input
            type="file"
            accept=${PHOTO_TYPES}
            multiple
            ?disabled=${this.busy}
            @change=${(event: Event) => void this.#add(event, stage)}
          />
          <span>Add<span class="unseen"> photographs, ${stage}</span></span>
        </label>
      </div>
      ${
        pictures.length === 0
          ? html`<p class="quiet">none yet</p>`
          : html`<div class="pictures">
              ${pictures.map((picture) => {
                const address = this.#likenesses.of(picture.id);
                return html`<button @click=${() => (this.editing = picture)}>
                  ${address ? html`<img src=${address} alt="" />` : html`<span class="blank"></span>`}
                  ${picture.caption || `no caption, ${picture.takenAt.slice(0, 10)}`}
                </button>`;
              })}
            </div>`
      }
    </div>`;
  }

  #sheet() {
    const { editing } = this;
    return html`<lt-sheet
      heading="Photograph"
      asks
      ?open=${editing !== undefined}
      @lt-close=${() => (this.editing = undefined)}
    >
      ${editing ? this.#form(editing) : nothing}
    </lt-sheet>`;
  }

  #form(picture: Picture) {
    const address = this.#likenesses.of(picture.id);
    return html`<form
        novalidate
        @submit=${(event: SubmitEvent) => {
          event.preventDefault();
          const data = new FormData(event.currentTarget as HTMLFormElement);
          void this.#finish(() => this.services.book.edit(picture, edited(picture, data)));
        }}
      >
        ${address ? html`<img class="large" src=${address} alt=${picture.caption} />` : nothing}
        <label> Caption<input name="caption" maxlength="500" .value=${picture.caption} /> </label>
        <label>
          Stage
          <select name="stage">
            ${STAGES.map(
              (stage) =>
                html`<option value=${stage} ?selected=${picture.stage === stage}>${stage}</option>`,
            )}
          </select>
        </label>
        <label>
          Shows
          <select name="area">
            <option value="" ?selected=${!picture.area}>the whole piece</option>
            ${this.areas.map(
              ({ id, name }) =>
                html`<option value=${id} ?selected=${picture.area === id}>${name}</option>`,
            )}
          </select>
        </label>
        <label>
          Date taken<input type="date" name="taken" .value=${picture.takenAt.slice(0, 10)} />
        </label>
        <button class="next">Keep</button>
      </form>
      <div class="apart">
        <button @click=${() => void this.#finish(() => this.services.book.remove(picture))}>
          Delete this photograph
        </button>
      </div>`;
  }

  async #add(event: Event, stage: Picture['stage']): Promise<void> {
    const input = event.currentTarget as HTMLInputElement;
    const files = [...(input.files ?? [])];
    this.busy = true;
    await this.#finish(() => this.services.book.addPhotographs(this.piece.id, files, { stage }));
    this.busy = false;
    input.value = '';
  }

  async #finish(work: () => Promise<Done>): Promise<void> {
    try {
      this.trouble = '';
      const done = await work();
      this.editing = undefined;
      this.dispatchEvent(new CustomEvent('lt-done', { detail: { done } }));
    } catch (error) {
      this.editing = undefined;
      this.trouble = faultInWords(error);
    }
  }
}

function edited(picture: Picture, data: FormData): Picture {
  const text = (name: string) => {
    const value = data.get(name);
    return typeof value === 'string' ? value.trim() : '';
  };
  const bare = { ...picture };
  Reflect.deleteProperty(bare, 'area');
  const area = text('area') as Id<'area'> | '';
  const day = text('taken');
  return {
    ...bare,
    caption: text('caption'),
    stage: STAGES.find((stage) => stage === text('stage')) ?? picture.stage,
    // The hour is the camera's; only the day is a person's to say.
    takenAt: day ? `${day}${picture.takenAt.slice(10)}` : picture.takenAt,
    ...(area && { area }),
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-photographs': Photographs;
  }
}
