/** The pot: dab, glaze and prediction, the way so far, what went in, what it taught, what to start with. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { parentOf, type Id } from '../../job/ids.ts';
import { strengthOf } from '../../job/strengths.ts';
import '../elements/colour-path/colour-path.ts';
import type { PullOnPath } from '../elements/colour-path/pulls.ts';
import '../elements/exaggerated.ts';
import { icons } from '../elements/icons.ts';
import '../elements/mix-list.ts';
import type { MixOnShow } from '../elements/mix-list.ts';
import '../elements/nudge.ts';
import { formatNumber } from '../elements/numbers.ts';
import {
  additionInWords,
  dilutionsInWords,
  pigmentCode,
  pigmentName,
} from '../elements/pigment-names.ts';
import '../elements/pot.ts';
import '../elements/swatches.ts';
import { FILM_STATES } from '../../paint/drying.ts';
import { potMixes, potOf, type BenchState } from '../state/bench-state.ts';
import { mixBlends, pathOf, readDabs, type ReadDab } from '../state/pot-way.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { Thumbnails } from '../state/thumbnails.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { noticeLine, noticeStyles } from './guide.ts';
import './bench-sheets.ts';
import './near-jars.ts';
import './start-mix.ts';
import type { BenchSheet } from './bench-sheets.ts';

@customElement('lt-pot-screen')
export class PotScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private sheet: BenchSheet | undefined;
  @state() private starting = false;

  /** What was said elsewhere is not said again here. */
  #saidBefore: BenchState['notice'];
  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => now,
  );
  #thumbnails = new Thumbnails(this, () => this.services.records);
  #pulls = new Task(this, {
    task: async ([, , dab]) => dab && (await this.services.session.mixing.pulls(dab)),
    args: () => {
      const now = this.#bench.value;
      return [now.palette, now.mixes, readDabs(now).at(-1)?.dabLab] as const;
    },
  });

  static override styles = [
    base,
    controls,
    paper,
    noticeStyles,
    css`
      .columns {
        display: grid;
        gap: 8px;
        align-items: start;
      }
      .columns > * {
        display: grid;
        gap: 8px;
        min-inline-size: 0;
      }
      .panel {
        margin: 0;
      }
      .panel h3 {
        margin-block-end: 8px;
      }
      .swatches {
        display: grid;
        grid-template-columns: 2fr 1fr;
        background: var(--surround);
      }
      .swatches > * {
        min-block-size: 150px;
      }
      .film-link {
        margin-block-start: 8px;
      }
      .film {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 8px;
      }
      .stack {
        display: grid;
        gap: 8px;
      }
      .note {
        display: flex;
        gap: 6px;
        font-size: 0.9375rem;
      }
      .note svg {
        flex: none;
      }
      .advice {
        display: grid;
        gap: 10px;
      }
      @media (max-width: 519px) {
        .swatches {
          grid-template-columns: 1fr;
        }
        .swatches > * {
          min-block-size: 112px;
        }
      }
      @media (min-width: 860px) {
        .columns {
          grid-template-columns: minmax(0, 7fr) minmax(0, 5fr);
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#saidBefore = this.services.store.state.notice;
  }

  override render() {
    const now = this.#bench.value;
    const { palette, place } = now;
    const notice = now.notice === this.#saidBefore ? undefined : now.notice;
    if (!palette || !place) return html`<p class="empty" role="status">Opening the pot.</p>`;
    const read = readDabs(now);
    return html`
      <div class="bar">
        <h2>The pot</h2>
        <div class="actions">
          <a class="button" href=${hashOf({ screen: 'bench' })}>Back to the bench</a>
          <a class="button" href=${hashOf({ screen: 'shelf' })}>Shelf</a>
          <a class="button ${mixBlends(now) ? 'next' : ''}" href=${hashOf({ screen: 'spray' })}
            >Spray</a
          >
        </div>
      </div>
      ${noticeLine(notice, this.services)}
      <div class="columns">
        <div>${this.#swatches(now, read.at(-1))} ${this.#path(now, read)}</div>
        <div>
          <lt-near-jars></lt-near-jars> ${this.#next(now)} ${this.#pot(now)} ${this.#mixes(now)}
          ${this.#taught(now)}
        </div>
      </div>
      <lt-bench-sheets
        .sheet=${this.sheet}
        .bench=${now}
        @lt-sheet=${(event: CustomEvent<{ sheet: BenchSheet | undefined }>) =>
          (this.sheet = event.detail.sheet)}
      ></lt-bench-sheets>
      <lt-start-mix
        .open=${this.starting}
        .bench=${now}
        @lt-close=${() => (this.starting = false)}
      ></lt-start-mix>
    `;
  }

  #swatches(now: BenchState, last: ReadDab | undefined) {
    const predicted = now.nudge.suggestions[now.nudge.chosen]?.predicted.lab;
    return html`<div class="swatches">
      <lt-swatches
        .glaze=${last?.glazeLab}
        .dab=${last?.dabLab}
        .predicted=${predicted}
      ></lt-swatches>
      ${
        last
          ? html`<lt-exaggerated .glaze=${last.glazeLab} .dab=${last.dabLab}></lt-exaggerated>`
          : nothing
      }
    </div>`;
  }

  #path(now: BenchState, read: readonly ReadDab[]) {
    const last = read.at(-1);
    const pigments = now.palette?.pigments ?? [];
    const pulls = Object.entries(this.#pulls.value ?? {})
      .filter(([id]) => !pigments.find((one) => one.id === id)?.putAway)
      .map(([id, perGram]): PullOnPath => ({
        code: pigmentCode(id, pigments),
        name: pigmentName(id, pigments),
        perGram,
      }));
    return html`<section class="panel" aria-labelledby="way">
      <h3 id="way">The way to the glaze</h3>
      <lt-colour-path
        .glaze=${last?.glazeLab}
        .covariance=${last?.covariance}
        .attempts=${last ? pathOf(read, last.glazeLab) : []}
        .predicted=${now.nudge.suggestions[now.nudge.chosen]?.predicted.lab}
        .pulls=${pulls}
      ></lt-colour-path>
    </section>`;
  }

  #next(now: BenchState) {
    const { nudge, palette } = now;
    return html`<section class="panel advice" aria-labelledby="next">
      <h3 id="next">Next addition</h3>
      <lt-nudge
        .suggestions=${nudge.suggestions}
        .chosen=${nudge.chosen}
        .message=${nudge.message}
        .pigments=${palette!.pigments}
        .doseUnits=${palette!.doseUnits}
        .dosing=${palette!.dosing ?? 'scale'}
        @lt-about=${() => (this.sheet = 'about')}
        @lt-choose=${(e: CustomEvent<{ index: number }>) =>
          this.services.session.mixing.choose(e.detail.index)}
      ></lt-nudge>
      ${
        nudge.suggestions.length > 0
          ? html`<button class="next" @click=${() => void this.services.session.added()}>
              Added it
            </button>`
          : nothing
      }
      ${
        nudge.suggestions.length > 0 && nudge.message
          ? html`<p class="quiet">${nudge.message}</p>`
          : nothing
      }
      ${
        nudge.startAgain
          ? html`<p>
                A fresh mix comes to ΔE₀₀ ${formatNumber(nudge.startAgain.deltaE00, 1)}:
                ${additionInWords(nudge.startAgain.pot, palette!.pigments)}.
                ${
                  nudge.startAgain.preDiluted.length > 0
                    ? `Of that, ${dilutionsInWords(nudge.startAgain.preDiluted, palette!.pigments)}.`
                    : nothing
                }
              </p>
              <button
                class=${nudge.suggestions.length > 0 ? '' : 'next'}
                @click=${() => (this.starting = true)}
              >
                Start a new mix
              </button>`
          : nothing
      }
      ${nudge.warnings?.map((line) => html`<p class="note">${icons.caution}<span>${line}</span></p>`)}
    </section>`;
  }

  #pot(now: BenchState) {
    const isEmpty = Object.keys(potOf(now)).length === 0;
    return html`<section class="panel stack" aria-label="What is in the pot">
      <lt-pot .pot=${potOf(now)} .pigments=${now.palette!.pigments}></lt-pot>
      <div class="actions">
        ${
          now.nudge.startAgain
            ? nothing
            : html`<button class=${isEmpty ? 'next' : ''} @click=${() => (this.starting = true)}>
                ${isEmpty ? 'What to start with' : 'Start a new mix'}
              </button>`
        }
        <button @click=${() => (this.sheet = 'added-other')}>
          ${now.nudge.suggestions.length > 0 ? 'I added something else' : 'Record an addition'}
        </button>
        <button @click=${() => (this.sheet = 'state-pot')}>State what is in the pot</button>
      </div>
      <h3>The dab that is read is</h3>
      <div class="film" role="group" aria-label="The dab that is read is">
        ${FILM_STATES.map(
          (film) =>
            html`<button
              aria-pressed=${now.film === film}
              @click=${() => this.services.store.set({ film })}
            >
              ${film}
            </button>`,
        )}
      </div>
      <a class="button film-link" href="#/film">How it dries and hides</a>
    </section>`;
  }

  #mixes(now: BenchState) {
    const mixes = potMixes(now).map((mix): MixOnShow => ({
      id: mix.id,
      addition: mix.addition,
      pot: mix.pot,
      readings: now.readings.flatMap(({ record, attempt }, index) =>
        attempt?.id === mix.id
          ? [
              {
                id: record.id,
                number: index + 1,
                deltaE00: record.difference.deltaE00,
                verdict: record.verdict.acceptable,
                film: record.film,
                ...this.#thumbnails.of(record.id),
              },
            ]
          : [],
      ),
    }));
    const note = potMixes(now)[0]?.note;
    const first = now.place?.area.matches;
    return html`<section class="panel" aria-labelledby="mixes">
      <h3 id="mixes">What went in</h3>
      ${note ? html`<p class="quiet">${note}</p>` : nothing}
      ${
        first
          ? html`<a class="button" href=${hashOf({ screen: 'piece', piece: parentOf(first) })}>
              Record of what it must match
            </a>`
          : nothing
      }
      <lt-mix-list
        .mixes=${mixes}
        .pigments=${now.palette!.pigments}
        @lt-open-reading=${(e: CustomEvent<{ id: Id<'reading'> }>) => {
          location.hash = hashOf({ screen: 'record', reading: e.detail.id });
        }}
      ></lt-mix-list>
      ${
        mixes.length > 1
          ? html`<button @click=${() => void this.services.session.undo()}>
              ${icons.undo} Undo the last addition
            </button>`
          : nothing
      }
    </section>`;
  }

  /** What this pot's attempts say of the paints. */
  #taught(now: BenchState) {
    const palette = now.palette!;
    const first = potMixes(now)[0]?.id;
    const taught = palette.learned?.find(({ pot }) => pot === first);
    if (!taught) return nothing;
    return html`<section class="panel" aria-labelledby="taught">
      <h3 id="taught">What this pot taught</h3>
      <ul class="stack">
        ${Object.entries(taught.factors).map(
          ([id, factor]) =>
            html`<li>
              ${pigmentName(id, palette.pigments)} colours ${formatNumber(factor, 2)} × as strongly
              as was known before, ${formatNumber(strengthOf(palette, id), 2)} × in all.
            </li>`,
        )}
      </ul>
      <p class="quiet">Kept with the palette for the next job; taken back there.</p>
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-pot-screen': PotScreen;
  }
}
