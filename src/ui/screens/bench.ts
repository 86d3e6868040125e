/** The bench: picture, swatches, reading, next addition and attempts, all in sight at once. */
import { consume } from '@lit/context';
import { html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { filesIn } from '../../camera/photo.ts';
import type { Id } from '../../job/ids.ts';
import type { PixelPoint, PixelPolygon } from '../../reading/types.ts';
import '../elements/attempts.ts';
import type { AttemptOnShow } from '../elements/attempts.ts';
import { icons } from '../elements/icons.ts';
import '../elements/nudge.ts';
import { formatGrams } from '../elements/numbers.ts';
import { additionShort, totalGrams } from '../elements/pigment-names.ts';
import '../elements/pot.ts';
import '../elements/refusal.ts';
import '../elements/result.ts';
import { resultInWords } from '../elements/result.ts';
import '../elements/swatches.ts';
import '../elements/viewfinder.ts';
import type { PointTarget, Viewfinder } from '../elements/viewfinder.ts';
import { SETTLED } from '../state/settling.ts';
import { evidenceInFrame, potOf, type BenchState } from '../state/bench-state.ts';
import { takeDrops } from '../state/drops.ts';
import { actionOf, type BenchAction } from '../state/keys.ts';
import { nextStep } from '../state/next-step.ts';
import { hashOf } from '../state/route.ts';
import type { RollState } from '../state/photo-roll.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { Thumbnails } from '../state/thumbnails.ts';
import { base, controls } from '../styles/shared.ts';
import { guide } from './guide.ts';
import './bench-sheets.ts';
import type { BenchSheet } from './bench-sheets.ts';
import { benchLayout } from './bench-layout.ts';
import { feedView } from './feed-view.ts';
import { rollLine, rollStyles } from './roll-line.ts';

const TARGETS: readonly (readonly [PointTarget, string])[] = [
  ['dab', 'Dab'],
  ['glaze', 'Glaze'],
  ['tile', 'Tile'],
];

@customElement('lt-bench')
export class BenchScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private sheet: BenchSheet | undefined;
  @query('lt-viewfinder') private viewfinder!: Viewfinder;

  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => now,
  );
  #roll = new Select(
    this,
    () => this.services.roll.store,
    (now: RollState) => now,
  );
  #thumbnails = new Thumbnails(this, () => this.services.records);

  static override styles = [base, controls, benchLayout, rollStyles];

  constructor() {
    super();
    // Anywhere on the bench: what misses the picture is meant for it all the same.
    takeDrops(this, (dropped) => {
      this.sheet = undefined;
      void this.services.roll.open(filesIn(dropped));
    });
  }

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener('keydown', this.#key);
    window.addEventListener('paste', this.#paste);
  }
  override disconnectedCallback(): void {
    window.removeEventListener('keydown', this.#key);
    window.removeEventListener('paste', this.#paste);
    super.disconnectedCallback();
  }

  override render() {
    const now = this.#bench.value;
    return html`
      <div class="see">
        ${guide(now, nextStep(now).text, this.services)} ${this.#picture(now)}
        ${rollLine(this.#roll.value, this.services, () => (this.sheet = 'not-read'))}
        ${this.#tools(now)} ${this.#swatches(now)}
      </div>
      <div class="do">
        ${this.#reading(now)} ${this.#nextAddition(now)} ${this.#attempts(now)}
        ${this.#actions(now)}
      </div>
      <p class="unseen" role="status">${this.#announcement(now)}</p>
      <lt-bench-sheets
        .sheet=${this.sheet}
        .bench=${now}
        @lt-sheet=${(event: CustomEvent<{ sheet: BenchSheet | undefined }>) =>
          (this.sheet = event.detail.sheet)}
      ></lt-bench-sheets>
    `;
  }

  #picture(now: BenchState) {
    const { feed, held, live } = now;
    const { session } = this.services;
    const evidence = held
      ? evidenceInFrame(held)
      : live?.result?.ok
        ? live.result.evidence
        : undefined;
    return html`
      <lt-viewfinder
        class="picture"
        .pictureWidth=${feed.width}
        .pictureHeight=${feed.height}
        .tile=${now.tile ?? live?.tile}
        .dab=${now.dab}
        .glaze=${now.glaze}
        .evidence=${evidence}
        .target=${now.target}
        .closeUp=${now.closeUp}
        @lt-point=${(e: CustomEvent<{ target: 'dab' | 'glaze'; point: PixelPoint }>) =>
          void session.pointing.pointAt(e.detail.target, e.detail.point)}
        @lt-tile=${(e: CustomEvent<{ polygon: PixelPolygon }>) =>
          void session.pointing.moveTile(e.detail.polygon)}
      >
        ${feedView(feed, () => (this.sheet = 'picture'))}
        ${
          feed.status === 'running'
            ? html`<p class="chip">${feed.label}<b>${steadiness(now)}</b></p>`
            : nothing
        }
      </lt-viewfinder>
    `;
  }

  #tools(now: BenchState) {
    return html`<div class="tools" role="toolbar" aria-label="Pointing and picture">
      ${TARGETS.map(
        ([target, name]) =>
          html`<button
            aria-pressed=${now.target === target}
            title="What the next tap in the picture places"
            @click=${() => this.services.session.pointing.setTarget(target)}
          >
            ${icons[target]} ${name}
          </button>`,
      )}
      <button
        aria-pressed=${now.closeUp}
        ?disabled=${!now.dab}
        @click=${() => this.#toggleCloseUp()}
      >
        ${now.closeUp ? icons.far : icons.near} Close-up
      </button>
      <button title="The blend map of a sprayed area" @click=${() => this.#do('map')}>
        ${icons.map} Map
      </button>
      <button aria-haspopup="dialog" @click=${() => (this.sheet = 'picture')}>
        ${icons.camera} Picture
      </button>
    </div>`;
  }

  #swatches(now: BenchState) {
    const reading = now.held?.result ?? okResult(now);
    const chosen = now.nudge.suggestions[now.nudge.chosen];
    return html`<lt-swatches
      class="swatches"
      .glaze=${reading?.glazeLab}
      .dab=${reading?.dabLab}
      .predicted=${chosen?.predicted.lab}
    ></lt-swatches>`;
  }

  #reading(now: BenchState) {
    const refused =
      now.refused.length > 0
        ? now.refused
        : !now.held && now.live?.result && !now.live.result.ok
          ? now.live.result.refused
          : [];
    const reading = now.held?.result ?? okResult(now);
    return html`<section class="panel reading" aria-label="Reading">
      ${
        refused.length > 0 && !now.held
          ? html`<lt-verdict acceptable="refused"></lt-verdict>
              <lt-refusal .refused=${refused}></lt-refusal>`
          : reading
            ? html`<lt-result
                .reading=${reading}
                .thresholds=${now.place?.area.thresholds ?? now.settings?.thresholds}
                ?live=${!now.held}
              ></lt-result>`
            : html`<p class="empty">
                The difference between dab and glaze stands here, with its interval and verdict.
              </p>`
      }
    </section>`;
  }

  #nextAddition(now: BenchState) {
    const blends = now.held?.result.verdict.acceptable === 'blends';
    return html`<section class="panel nudge" aria-labelledby="addition">
      <div class="heading">
        <h2 id="addition">Next addition</h2>
        ${
          now.nudge.startAgain && now.nudge.suggestions.length === 0
            ? html`<a class="button" href=${hashOf({ screen: 'pot' })}>Start a new mix</a>`
            : nothing
        }
        ${
          blends
            ? html`<button @click=${() => (this.sheet = 'spraying')}>
                ${icons.caution} Before you spray
              </button>`
            : nothing
        }
      </div>
      <lt-nudge
        .suggestions=${now.nudge.suggestions}
        .chosen=${now.nudge.chosen}
        .message=${now.nudge.message}
        .pigments=${now.palette?.pigments ?? []}
        .doseUnits=${now.palette?.doseUnits ?? []}
        .dosing=${now.palette?.dosing ?? 'scale'}
        @lt-about=${() => (this.sheet = 'about')}
        @lt-choose=${(e: CustomEvent<{ index: number }>) =>
          this.services.session.mixing.choose(e.detail.index)}
      ></lt-nudge>
      <lt-pot .pot=${potOf(now)} .pigments=${now.palette?.pigments ?? []}></lt-pot>
    </section>`;
  }

  #attempts(now: BenchState) {
    const attempts = now.readings.map(({ record, attempt }, index): AttemptOnShow => ({
      id: record.id,
      number: index + 1,
      deltaE00: record.difference.deltaE00,
      verdict: record.verdict.acceptable,
      film: record.film,
      addition: attempt
        ? additionShort(attempt.addition, now.palette?.pigments ?? [])
        : 'mix not said',
      ...this.#thumbnails.of(record.id),
    }));
    return html`<div class="panel attempts">
      <a class="button" href=${hashOf({ screen: 'pot' })}>
        Pot<br />${formatGrams(totalGrams(potOf(now)))}
      </a>
      <lt-attempts
        .attempts=${attempts}
        @lt-open-reading=${(e: CustomEvent<{ id: Id<'reading'> }>) => {
          location.hash = hashOf({ screen: 'record', reading: e.detail.id });
        }}
      ></lt-attempts>
    </div>`;
  }

  #actions(now: BenchState) {
    const { session } = this.services;
    const { action } = nextStep(now);
    const next = (own: typeof action) => (own === action ? 'next' : '');
    const chosen = now.nudge.suggestions[now.nudge.chosen];
    return html`<div class="actions" role="group" aria-label="Attempt">
      <button
        class=${next('read')}
        ?disabled=${!now.dab || !now.glaze || now.busy !== undefined}
        @click=${() => void session.readings.take()}
      >
        Read <kbd>R</kbd>
      </button>
      <button
        class=${next('save')}
        ?disabled=${!now.held || now.held.saved !== undefined || now.busy !== undefined}
        @click=${() => void session.readings.save()}
      >
        ${now.held?.saved ? 'Saved' : 'Save'} <kbd>S</kbd>
      </button>
      <button
        class=${next('added')}
        ?disabled=${!chosen || now.busy !== undefined}
        @click=${() => void session.added()}
      >
        Added it <kbd>A</kbd>
      </button>
    </div>`;
  }

  /** Spoken once for each reading, refusal and notice; live values are never announced. */
  #announcement(now: BenchState): string {
    if (now.refused.length > 0) return `No reading. ${now.refused.map((r) => r.message).join(' ')}`;
    if (now.notice) return now.notice.text;
    return now.held ? resultInWords(now.held.result) : '';
  }

  #toggleCloseUp(): void {
    const { store } = this.services;
    store.set(({ closeUp, dab }) => ({ closeUp: !closeUp && dab !== undefined }));
  }

  #key = (event: KeyboardEvent) => {
    const action = actionOf(event, this.#bench.value.settings?.keys);
    if (!action || this.sheet || !this.#bench.value.singleKeys) return;
    event.preventDefault();
    this.#do(action);
  };

  #do(action: BenchAction): void {
    const { session, roll } = this.services;
    switch (action) {
      case 'read':
        return void session.readings.take();
      case 'save':
        return void session.readings.save();
      case 'added':
        return void session.added();
      case 'next':
        return void session.doNext();
      case 'undo':
        return void session.undo();
      case 'next-photo':
        return void roll.step(1);
      case 'previous-photo':
        return void roll.step(-1);
      case 'live':
        session.readings.letGo();
        return;
      case 'dab':
      case 'glaze':
      case 'tile':
        session.pointing.setTarget(action);
        return void this.viewfinder.focusTarget(action);
      case 'close-up':
        this.#toggleCloseUp();
        return;
      case 'map':
        location.hash = hashOf({ screen: 'map' });
        return;
      case 'pot':
        location.hash = hashOf({ screen: 'pot' });
        return;
      case 'keys':
        this.sheet = 'keys';
    }
  }

  #paste = (event: ClipboardEvent) => {
    const files = filesIn(event.clipboardData);
    if (files.length === 0) return;
    event.preventDefault();
    void this.services.roll.open(files);
  };
}

function okResult({ live }: BenchState) {
  return live?.result?.ok ? live.result : undefined;
}

function steadiness({ held, live, feed }: BenchState): string {
  if (held) return 'reading held';
  if (feed.kind === 'photo') return 'photograph';
  if (!live) return '';
  if (live.moving) return 'moving';
  // In quarters: a number that runs beside the swatches would draw the eye.
  if (live.settled < SETTLED) return `settling, ${25 * Math.floor(4 * live.settled)} %`;
  return live.result?.ok ? 'steady, holds' : 'steady';
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-bench': BenchScreen;
  }
}
