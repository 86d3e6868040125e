/** The palette on the bench: which paints are on it, how well they are known, how they are dosed. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import { coloursOf } from '../../job/solver-palette.ts';
import { strengthOf } from '../../job/strengths.ts';
import '../elements/cautions.ts';
import '../elements/dose-form.ts';
import type { Dosing, Weighed } from '../elements/dose-form.ts';
import { icons } from '../elements/icons.ts';
import '../elements/pigment-card.ts';
import '../elements/pigment-form.ts';
import type { Identity } from '../elements/pigment-form.ts';
import { pigmentName } from '../elements/pigment-names.ts';
import '../elements/sheet.ts';
import type { BenchState } from '../state/bench-state.ts';
import { contrastOf, missingStep } from '../state/characterising.ts';
import { faultInWords } from '../state/fault.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { noticeLine, noticeStyles } from './guide.ts';
import './palettes-sheet.ts';

type Sheet =
  { readonly what: 'add' | 'doses' } | { readonly what: 'edit'; readonly pigment: Pigment };

const HEADINGS: Readonly<Record<Sheet['what'], string>> = {
  add: 'Add a paint',
  edit: 'Edit the paint',
  doses: 'Doses',
};

@customElement('lt-palette')
export class PaletteScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private sheet: Sheet | undefined;
  /** The sheet of palettes is open. */
  @state() private choosing = false;
  @state() private fault = '';
  @state() private said = '';

  /** What was said elsewhere is not said again here. */
  #saidBefore: BenchState['notice'];
  #bench = new Select(
    this,
    () => this.services.store,
    ({ palette, notice }: BenchState) => ({ palette, notice }),
  );
  #quality = new Task(this, {
    task: async ([palette]) => (palette ? await this.#palettes.quality(palette) : new Map()),
    args: () => [this.#bench.value.palette] as const,
  });

  static override styles = [
    base,
    controls,
    paper,
    noticeStyles,
    css`
      .progress {
        display: grid;
        gap: 4px;
        line-height: 1.35;
      }
      .pigments {
        display: grid;
        grid-template-columns: repeat(auto-fill, minmax(min(340px, 100%), 1fr));
        gap: 8px;
        margin-block-end: 8px;
      }
      .away {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
        padding-block: 4px;
        border-block-start: 1px solid var(--rule);
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#saidBefore = this.services.store.state.notice;
  }

  get #palettes() {
    return this.services.session.palettes;
  }

  override render() {
    const { palette } = this.#bench.value;
    const notice =
      this.#bench.value.notice === this.#saidBefore ? undefined : this.#bench.value.notice;
    if (!palette) return html`<p class="empty" role="status">Opening the palette.</p>`;
    const present = palette.pigments.filter(({ putAway }) => !putAway);
    const away = palette.pigments.filter(({ putAway }) => putAway);
    return html`
      <div class="bar">
        <h2>${palette.name}</h2>
        <div class="actions">
          <button @click=${() => this.#open({ what: 'add' })}>Add a paint</button>
          <button @click=${() => this.#open({ what: 'doses' })}>Doses</button>
          <button @click=${() => (this.choosing = true)}>${icons.palette} Palettes</button>
          <a class="button" href=${hashOf({ screen: 'shelf' })}>Shelf</a>
        </div>
      </div>
      ${noticeLine(notice, this.services)} ${this.#progress(present)}
      ${palette.notes ? html`<p class="panel">${palette.notes}</p>` : nothing}
      <div class="pigments">
        ${present.map(
          (pigment) =>
            html`<lt-pigment
              .pigment=${pigment}
              .quality=${this.#quality.value?.get(pigment.id)}
              .contrast=${contrastOf(pigment)}
              .strength=${strengthOf(palette, pigment.id)}
              @lt-read=${() => {
                location.hash = hashOf({ screen: 'characterise', pigment: pigment.id });
              }}
              @lt-edit=${() => this.#open({ what: 'edit', pigment })}
              @lt-put-away=${() => void this.#palettes.putAway(pigment)}
              @lt-forget=${() => void this.#palettes.forgetStrength(pigment)}
            ></lt-pigment>`,
        )}
      </div>
      ${
        away.length > 0
          ? html`<section class="panel">
              <h3>Removed</h3>
              <p class="quiet">Earlier mixes still name them; nothing suggests them.</p>
              ${away.map(
                (pigment) =>
                  html`<div class="away">
                    ${pigmentName(pigment.id, palette.pigments)}
                    <button @click=${() => void this.#palettes.bringBack(pigment)}>
                      Bring back<span class="unseen"> ${pigment.name}</span>
                    </button>
                  </div>`,
              )}
            </section>`
          : nothing
      }
      <section class="panel cautions">
        <lt-cautions .places=${['pigments', 'solvents']}></lt-cautions>
      </section>
      <lt-sheet
        heading=${this.sheet ? HEADINGS[this.sheet.what] : ''}
        ?asks=${this.sheet?.what !== 'doses'}
        ?open=${this.sheet !== undefined}
        @lt-close=${() => (this.sheet = undefined)}
      >
        ${this.#content(palette)}
      </lt-sheet>
      <lt-palettes-sheet
        ?open=${this.choosing}
        @lt-close=${() => (this.choosing = false)}
      ></lt-palettes-sheet>
    `;
  }

  /** What is read, what is guessed, and the one thing to do next. */
  #progress(present: readonly Pigment[]) {
    if (present.length === 0) {
      return html`<section class="panel progress">
        <h3>No paint is on this palette yet</h3>
        <p>Add the paints you mix with, the white among them. Then read each on the tile.</p>
        <div class="actions">
          <button class="next" @click=${() => this.#open({ what: 'add' })}>Add a paint</button>
        </div>
      </section>`;
    }
    const left = present.filter((pigment) => missingStep(pigment) !== undefined);
    const guessed = present.filter((pigment) => coloursOf(pigment)?.invented);
    const hasWhite = present.some(({ isWhite }) => isWhite);
    return html`<section class="panel progress">
      <p>
        <b>${present.length - left.length} of ${present.length} paints are characterised.</b>
        ${
          guessed.length > 0
            ? html`${guessed.length === 1 ? 'One stands' : `${guessed.length} stand`} on invented
              spectra, only a guess.`
            : nothing
        }
        ${hasWhite ? nothing : 'None is marked as the white: tints cannot be understood without it.'}
      </p>
      <div class="actions">
        <a
          class="button ${left.length > 0 ? 'next' : ''}"
          href=${hashOf({ screen: 'characterise' })}
        >
          ${left.length > 0 ? `Read the paints on the tile (${left.length} left)` : 'Read paints again'}
        </a>
      </div>
    </section>`;
  }

  #content(palette: Palette) {
    const { sheet } = this;
    switch (sheet?.what) {
      case 'add':
        return html`<lt-pigment-form
          action="Add it"
          .fault=${this.fault}
          @lt-identity=${(e: CustomEvent<Identity>) =>
            void this.#keep(() => this.#palettes.addPigment(e.detail))}
        ></lt-pigment-form>`;
      case 'edit': {
        const { id, name, colourIndex, isWhite } = sheet.pigment;
        return html`<lt-pigment-form
          action="Keep it"
          .identity=${{ name, colourIndex, isWhite }}
          .fault=${this.fault}
          @lt-identity=${(e: CustomEvent<Identity>) =>
            void this.#keep(() => this.#palettes.rename(id, e.detail))}
        ></lt-pigment-form>`;
      }
      case 'doses':
        return html`<lt-dose-form
          .palette=${palette}
          .said=${this.said}
          @lt-dosing=${(e: CustomEvent<Dosing>) => void this.#palettes.setDosing(e.detail)}
          @lt-weighed=${(e: CustomEvent<Weighed>) => void this.#weighed(e.detail)}
          @lt-unweigh=${(e: CustomEvent<Pick<Weighed, 'name' | 'pigment'>>) =>
            void this.#palettes.unweigh(e.detail.name, e.detail.pigment)}
        ></lt-dose-form>`;
      case undefined:
        return nothing;
    }
  }

  #open(sheet: Sheet | undefined): void {
    this.sheet = sheet;
    this.fault = '';
    this.said = '';
  }

  /** Closes the sheet when it was kept; what is at fault stays open with the reason. */
  async #keep(work: () => Promise<string | undefined>): Promise<void> {
    try {
      const fault = await work();
      if (fault === undefined) this.#open(undefined);
      else this.fault = fault;
    } catch (error) {
      this.fault = faultInWords(error);
    }
  }

  async #weighed({ name, pigment, weighings, count }: Weighed): Promise<void> {
    try {
      await this.#palettes.weigh(name, pigment, weighings, count);
      this.said = 'Kept.';
    } catch (error) {
      this.said = faultInWords(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-palette': PaletteScreen;
  }
}
