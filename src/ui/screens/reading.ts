/** A saved reading with its evidence: the crop, what counted in it, the numbers, how they were made. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import { SOURCE_NAMES } from '../../job/shot.ts';
import { dryingInWords } from '../../job/drying.ts';
import { FILM_STATES } from '../../paint/drying.ts';
import { driftInWords } from '../../reading/drift.ts';
import '../elements/cautions.ts';
import '../elements/crop.ts';
import type { CropMask } from '../elements/crop.ts';
import {
  formatGrams,
  formatLab,
  formatNumber,
  formatPercent,
  formatTime,
} from '../elements/numbers.ts';
import { pigmentName } from '../elements/pigment-names.ts';
import '../elements/result.ts';
import '../elements/swatches.ts';
import { typedField } from '../elements/typed-number.ts';
import type { SavedReading } from '../state/bench-state.ts';
import { removeSaved } from '../state/removing.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Typing } from '../state/typing.ts';
import { paper } from '../styles/paper.ts';
import { savedRecord } from '../styles/saved-record.ts';
import { base, controls } from '../styles/shared.ts';
import { WorkLine } from './work-line.ts';

const SHARE_NAMES: Readonly<Record<string, string>> = {
  noise: 'noise of the camera',
  shading: 'light under the dab',
  texture: 'unevenness of dab and glaze',
  tile: 'colour of the tile',
  tone: 'tone response of the camera',
  pigments: 'other pigments than the glaze’s',
  turn: 'turn of the piece to the lamp',
  placement: 'outline of the dab',
  highlight: 'highlights near by',
};

@customElement('lt-reading')
export class ReadingScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property() reading = '';
  @state() private marked = true;

  #typing = new Typing(this);

  #load = new Task(this, {
    task: async ([id]) => {
      const { records } = this.services;
      const saved = await records.reading(id as Id<'reading'>);
      if (!saved || saved.record.deletedAt) return undefined;
      const [crop, mask] = await Promise.all([
        records.pictureOf(saved.record.id, 'crop'),
        records.maskOf(saved.record),
      ]);
      return { ...saved, crop, mask };
    },
    args: () => [this.reading] as const,
  });
  #line = new WorkLine(this, () => this.#load.run());

  static override styles = [
    base,
    controls,
    paper,
    savedRecord,
    css`
      lt-swatches {
        block-size: 150px;
        margin: -16px -16px 12px;
      }
      .share {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 2px 12px;
        margin-block: 8px;
      }
      .share svg {
        grid-column: 1 / -1;
        inline-size: 100%;
        block-size: 12px;
      }
      .whole {
        fill: var(--control-deep);
      }
      .part {
        fill: var(--ink-quiet);
      }
      form {
        display: grid;
        gap: 12px;
      }
      table {
        inline-size: 100%;
        border-collapse: collapse;
      }
      th,
      td {
        padding: 6px 0;
        border-block-end: 1px solid var(--rule);
        font-weight: 400;
        text-align: start;
        vertical-align: top;
      }
      td {
        padding-inline-start: 12px;
        text-align: end;
        overflow-wrap: anywhere;
      }
      tr:last-child > * {
        border: 0;
      }
      caption {
        padding-block-end: 4px;
        font-weight: 700;
        text-align: start;
      }
    `,
  ];

  override render() {
    return html`
      <div class="bar">
        <h2>Reading</h2>
        <div class="actions">
          <a class="button" href="#/lamps">Under other lamps</a>
          <a class="button" href="#/bench">Back to the bench</a>
        </div>
      </div>
      ${this.#load.render({
        pending: () => html`<p class="empty">Opening the reading.</p>`,
        complete: (saved) =>
          saved ? this.#saved(saved) : html`<p class="empty">This reading is no longer there.</p>`,
        error: (error) =>
          html`<p class="empty" role="alert">The reading could not be opened: ${String(error)}</p>`,
      })}
    `;
  }

  #saved({
    record,
    attempt,
    crop,
    mask,
  }: SavedReading & { crop: Blob | undefined; mask: CropMask | undefined }) {
    const pigments = this.services.store.state.palette?.pigments ?? [];
    const pot = Object.entries(attempt?.pot ?? {}).sort(([, a], [, b]) => b - a);
    return html`<div class="columns">
      <section class="panel">
        <lt-swatches .glaze=${record.glazeLab} .dab=${record.dabLab}></lt-swatches>
        <lt-result .reading=${record} .thresholds=${record.thresholds}></lt-result>
        <p>${this.#drying(record)}</p>
      </section>
      <section class="panel evidence">
        <lt-crop .picture=${crop} .mask=${mask} ?marked=${this.marked}></lt-crop>
        <div class="below">
          <span class="quiet">
            ${
              this.marked
                ? 'Darkened pixels did not count; chequered ones were thrown away.'
                : 'The crop as it was taken.'
            }
          </span>
          <button aria-pressed=${this.marked} @click=${() => (this.marked = !this.marked)}>
            What counted
          </button>
        </div>
      </section>
      <section class="panel">
        ${table('Colours, CIELAB D65/2°', [
          ['Glaze', formatLab(record.glazeLab)],
          ['Dab', formatLab(record.dabLab)],
          ['Dab minus glaze', formatLab(record.difference.lab)],
        ])}
      </section>
      <section class="panel">
        <h3>Where the uncertainty comes from</h3>
        ${record.uncertainty.shares
          .filter(({ share }) => share >= 0.005)
          .map(
            ({ source, share }) =>
              html`<div class="share">
                <span>${SHARE_NAMES[source] ?? source}</span><span>${formatPercent(share)}</span>
                <svg viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">
                  <rect class="whole" width="100" height="4" />
                  <rect class="part" width=${100 * share} height="4" />
                </svg>
              </div>`,
          )}
        <p class="quiet">${record.uncertainty.sentence}</p>
      </section>
      ${
        pot.length > 0
          ? html`<section class="panel">
              ${table(
                'The mix',
                pot.map(([id, grams]) => [pigmentName(id, pigments), formatGrams(grams)]),
              )}
            </section>`
          : nothing
      }
      <section class="panel">
        ${table('How it was made', [
          ['Taken', formatTime(record.createdAt)],
          ['Picture', `${SOURCE_NAMES[record.source]}, ${record.camera.label}`],
          ['Frames averaged', String(record.frames)],
          ['Tile', `${record.tile.name}, ${formatLab(record.tile.lab)}`],
          ['Tile level', formatPercent(record.tile.level)],
          ['Tile', record.tile.found ? 'found by itself' : 'given by hand'],
          ['Film', record.film],
          ['Lamp', record.lamp || 'not named'],
          ['Camera profile', record.profile?.name ?? 'none: sRGB assumed'],
          ...(record.drift ? [['Light', driftInWords(record.drift)] as const] : []),
          ['Algorithm', record.algorithm],
        ])}
      </section>
      <section class="panel"><lt-cautions .places=${['record']}></lt-cautions></section>
      <section class="panel">
        ${this.#line.render()}
        <form novalidate @submit=${(event: SubmitEvent) => this.#edit(event, record)}>
          <label>
            The dab was
            <select name="film">
              ${FILM_STATES.map(
                (film) =>
                  html`<option value=${film} ?selected=${record.film === film}>${film}</option>`,
              )}
            </select>
          </label>
          <label>Note<input name="note" maxlength="2000" .value=${record.note} /></label>
          <button>Keep</button>
        </form>
      </section>
      <section class="panel">
        <button
          @click=${() =>
            void this.#line.attempt(() =>
              removeSaved(this.services, record.id, 'The reading is deleted.'),
            )}
        >
          Delete this reading
        </button>
      </section>
    </div>`;
  }

  /** What a dab that was not dry is expected to do. */
  #drying(record: ReadingRecord): string {
    const { palette } = this.services.store.state;
    return palette ? dryingInWords(palette, record, (value) => formatNumber(value, 1)) : '';
  }

  #edit(event: SubmitEvent, record: ReadingRecord): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const typed = typedField(form, 'film');
    const film = FILM_STATES.find((one) => one === typed) ?? record.film;
    const changed = { ...record, film, note: typedField(form, 'note') } as const;
    void this.#line.attempt(async () => {
      this.#line.say(await this.services.book.edit(record, changed));
      this.#typing.done();
      await this.#relearn(changed);
    });
  }

  /** The palette learns how its paint dries from states as they are said now. */
  async #relearn(changed: ReadingRecord): Promise<void> {
    const { store, session } = this.services;
    if (!changed.attempt) return;
    const readings = store.state.readings.map(({ record }) =>
      record.id === changed.id ? changed : record,
    );
    await session.mixing.relearnDrying(changed.attempt, readings);
  }
}

function table(caption: string, rows: readonly (readonly [string, string])[]) {
  return html`<table>
    <caption>
      ${caption}
    </caption>
    <tbody>
      ${rows.map(
        ([name, value]) =>
          html`<tr>
            <th scope="row">${name}</th>
            <td>${value}</td>
          </tr>`,
      )}
    </tbody>
  </table>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-reading': ReadingScreen;
  }
}
