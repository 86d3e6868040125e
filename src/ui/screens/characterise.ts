/**
 * Paints read on the tile, one after another: masstone, then tint. Every reading is kept at once, so
 * that one may leave at any time and go on tomorrow.
 */
import { consume } from '@lit/context';
import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { cssColour } from '../../colour/css.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import { hazardOf } from '../../paint/hazards.ts';
import type { PixelPoint, PixelPolygon } from '../../reading/types.ts';
import { icons } from '../elements/icons.ts';
import '../elements/lab-form.ts';
import { formatNamedLab } from '../elements/numbers.ts';
import '../elements/reading-order.ts';
import '../elements/refusal.ts';
import '../elements/sheet.ts';
import '../elements/tint-amounts.ts';
import type { TintAmounts } from '../elements/tint-amounts.ts';
import '../elements/viewfinder.ts';
import type { Viewfinder } from '../elements/viewfinder.ts';
import type { BenchState, Characterising } from '../state/bench-state.ts';
import { gramsOf } from '../state/characterising.ts';
import { doseOf } from '../state/doses.ts';
import { actionOf } from '../state/keys.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { base, controls } from '../styles/shared.ts';
import { guide } from './guide.ts';
import './bench-sheets.ts';
import { benchLayout } from './bench-layout.ts';
import { characteriseLayout } from './characterise-layout.ts';
import {
  announcement,
  guideLine,
  HEADINGS,
  hidingLine,
  instruction,
  isDone,
  keptBefore,
  refusedNow,
  steadiness,
  stepsOf,
} from './characterise-words.ts';
import { feedView } from './feed-view.ts';

@customElement('lt-characterise')
export class CharacteriseScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  /** The paint asked for in the address; else the first that lacks something. */
  @property() pigment: string | undefined;
  @state() private sheet: 'picture' | 'type' | undefined;
  @query('lt-viewfinder') private viewfinder!: Viewfinder;

  #entered = false;
  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => now,
  );

  static override styles = [base, controls, benchLayout, characteriseLayout];

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener('keydown', this.#key);
  }
  override disconnectedCallback(): void {
    window.removeEventListener('keydown', this.#key);
    if (this.#entered) void this.services.session.characterising.leave();
    this.#entered = false;
    super.disconnectedCallback();
  }

  /** As soon as there is a palette and a picture the bench turns to the tile. */
  protected override willUpdate(): void {
    const { palette, feed } = this.#bench.value;
    // An update that was asked for before one left still comes after.
    if (!this.isConnected || this.#entered || !palette || feed.status !== 'running') return;
    this.#entered = true;
    void this.services.session.characterising.enter(this.pigment);
  }

  override render() {
    const now = this.#bench.value;
    const { palette, characterising } = now;
    if (!palette) return html`<p class="empty panel" role="status">Opening the palette.</p>`;
    const present = palette.pigments.filter(({ putAway }) => !putAway);
    const pigment = present.find(({ id }) => id === characterising?.pigment);
    if (present.length === 0) {
      return html`<section class="panel">
        <p>No paint is on this palette yet: add one, then read it here.</p>
        <a class="button next" href=${hashOf({ screen: 'palette' })}>To the palette</a>
      </section>`;
    }
    return html`
      <div class="see">
        ${guide(now, guideLine(now, palette, pigment), this.services)} ${this.#picture(now)}
        ${this.#tools(now)}
      </div>
      <div class="do">
        ${
          pigment && characterising
            ? html`${this.#what(palette, pigment, characterising)} ${this.#live(now, pigment)}`
            : html`<p class="panel" role="status">Turning to the tile.</p>`
        }
        <section class="panel order" aria-label="Progress">
          <lt-reading-order
            .pigments=${present}
            .chosen=${pigment?.id ?? ''}
            @lt-choose-paint=${(e: CustomEvent<{ pigment: string }>) =>
              void this.services.session.characterising.choose(e.detail.pigment)}
          ></lt-reading-order>
        </section>
        ${this.#actions(now, pigment)}
      </div>
      <p class="unseen" role="status">${announcement(now)}</p>
      ${this.#sheets(pigment, characterising)}
    `;
  }

  #picture(now: BenchState) {
    const { feed, live } = now;
    const { session } = this.services;
    return html`<lt-viewfinder
      class="picture"
      .pictureWidth=${feed.width}
      .pictureHeight=${feed.height}
      .tile=${now.tile ?? live?.tile}
      .dab=${now.dab}
      .target=${now.target}
      .closeUp=${now.closeUp}
      @lt-point=${(e: CustomEvent<{ point: PixelPoint }>) =>
        void session.pointing.pointOnTile(e.detail.point)}
      @lt-tile=${(e: CustomEvent<{ polygon: PixelPolygon }>) =>
        void session.pointing.moveTile(e.detail.polygon)}
    >
      ${feedView(feed, () => (this.sheet = 'picture'))}
      ${
        feed.status === 'running'
          ? html`<p class="chip">${feed.label}<b>${steadiness(now)}</b></p>`
          : nothing
      }
    </lt-viewfinder>`;
  }

  #tools(now: BenchState) {
    const { session, store } = this.services;
    return html`<div class="tools" role="toolbar" aria-label="Pointing and picture">
      <button
        aria-pressed=${now.target === 'dab'}
        @click=${() => session.pointing.setTarget('dab')}
      >
        ${icons.dab} Paint
      </button>
      <button
        aria-pressed=${now.target === 'tile'}
        @click=${() => session.pointing.setTarget('tile')}
      >
        ${icons.tile} Tile
      </button>
      <button
        aria-pressed=${now.closeUp}
        ?disabled=${!now.dab}
        @click=${() => store.set(({ closeUp }) => ({ closeUp: !closeUp }))}
      >
        ${now.closeUp ? icons.far : icons.near} Close-up
      </button>
      <button aria-haspopup="dialog" @click=${() => (this.sheet = 'picture')}>
        ${icons.camera} Picture
      </button>
    </div>`;
  }

  /** Which paint, which step, how to lay it. */
  #what(palette: Palette, pigment: Pigment, now: Characterising) {
    const { session } = this.services;
    const white = palette.pigments.find(({ isWhite }) => isWhite);
    const grams = gramsOf(now, palette);
    const hazard = hazardOf(pigment.colourIndex);
    const isTint = now.step === 'tint' || now.step === 'more-tint';
    const measures = (['g', 'drop', 'touch'] as const).filter(
      (measure) =>
        measure === 'g' ||
        (white && doseOf(palette, white.id, measure) && doseOf(palette, pigment.id, measure)),
    );
    return html`<section class="panel what" aria-labelledby="paint">
      <h2 id="paint">
        ${pigment.colourIndex ? html`${pigment.colourIndex} <span>${pigment.name}</span>` : pigment.name}
      </h2>
      <div class="steps" role="group" aria-label="What is read">
        ${stepsOf(pigment).map(
          (step) =>
            html`<button
              aria-pressed=${step === now.step}
              @click=${() => void session.characterising.choose(pigment.id, step)}
            >
              ${isDone(pigment, step) ? '✓ ' : nothing}${HEADINGS[step]}
            </button>`,
        )}
      </div>
      <p>${instruction(now.step, pigment, white)}</p>
      ${
        isTint && white
          ? html`<lt-tint-amounts
              .amounts=${now.amounts}
              .measures=${measures}
              .pigmentName=${pigment.name}
              .whiteName=${white.name}
              .grams=${typeof grams === 'string' ? undefined : grams}
              @lt-tint=${(e: CustomEvent<TintAmounts>) =>
                void session.characterising.setAmounts(e.detail)}
            ></lt-tint-amounts>`
          : nothing
      }
      ${
        now.fault
          ? html`<p class="fault" role="alert">${icons.caution}<span>${now.fault}</span></p>`
          : nothing
      }
      ${hazard ? html`<p class="note quiet">${icons.caution}<span>${hazard.caution}</span></p>` : nothing}
    </section>`;
  }

  /** What the camera sees of it now, and what was kept before. */
  #live(now: BenchState, pigment: Pigment) {
    const refused = now.refused.length > 0 ? now.refused : refusedNow(now);
    if (refused.length > 0) {
      return html`<section class="panel" aria-label="Reading">
        <lt-refusal .refused=${refused}></lt-refusal>
      </section>`;
    }
    const lab = now.live?.result?.ok ? now.live.result.dabLab : undefined;
    const step = now.characterising!.step;
    const before = keptBefore(pigment, step);
    return html`<section class="panel live" aria-label="Reading">
      <div class="swatch">
        ${lab ? html`<div .style=${`background: ${cssColour(lab)}`}></div>` : nothing}
      </div>
      <div class="numbers">
        ${lab ? html`<b>${formatNamedLab(lab)}</b> now, ${steadiness(now)}` : 'The reading stands here.'}
        ${before ? html`<p class="quiet">kept: ${formatNamedLab(before)}</p>` : nothing}
        ${hidingLine(pigment)}
      </div>
    </section>`;
  }

  #actions(now: BenchState, pigment: Pigment | undefined) {
    const { session } = this.services;
    const isBusy = now.busy !== undefined;
    return html`<div class="actions" role="group" aria-label="Reading">
      <button
        class="next"
        ?disabled=${!now.dab || !pigment || isBusy}
        @click=${() => void session.characterising.read()}
      >
        ${isBusy ? 'Reading' : 'Read and keep'} <kbd>R</kbd>
      </button>
      <button ?disabled=${!pigment} @click=${() => (this.sheet = 'type')}>Type it</button>
      <a class="button" href=${hashOf({ screen: 'palette' })}>Done</a>
    </div>`;
  }

  #sheets(pigment: Pigment | undefined, now: Characterising | undefined) {
    return html`
      <lt-bench-sheets
        .sheet=${this.sheet === 'picture' ? 'picture' : undefined}
        .bench=${this.#bench.value}
        onTile
        @lt-sheet=${() => (this.sheet = undefined)}
      ></lt-bench-sheets>
      <lt-sheet
        heading=${pigment && now ? `${HEADINGS[now.step]} of ${pigment.name}` : ''}
        asks
        ?open=${this.sheet === 'type'}
        @lt-close=${() => {
          if (this.sheet === 'type') this.sheet = undefined;
        }}
      >
        ${
          this.sheet === 'type'
            ? html`<lt-lab-form
                @lt-lab=${(e: CustomEvent<{ lab: LabD65 }>) => {
                  this.sheet = undefined;
                  void this.services.session.characterising.keep(e.detail.lab, 'typed');
                }}
              ></lt-lab-form>`
            : nothing
        }
      </lt-sheet>
    `;
  }

  #key = (event: KeyboardEvent) => {
    const action = actionOf(event);
    const { session } = this.services;
    if (!action || this.sheet || !this.#bench.value.singleKeys) return;
    if (action === 'read' || action === 'next') void session.characterising.read();
    else if (action === 'undo') void session.undoNotice();
    else if (action === 'dab' || action === 'tile') {
      session.pointing.setTarget(action);
      void this.viewfinder.focusTarget(action);
    } else return;
    event.preventDefault();
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-characterise': CharacteriseScreen;
  }
}
