/**
 * The sums of the spray bench as a form: faults at their fields, what it comes to beside them.
 * Events: `lt-typed` with the part that is typed otherwise, `lt-plan` with what it comes to.
 */
import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Attempt, Palette } from '../../job/records.ts';
import type { Brush } from '../../job/spray-plan.ts';
import { FINISHES, type Finish } from '../../paint/drying.ts';
import { guideFor } from '../../paint/spray/guide.ts';
import { LENGTH_UNITS, type LengthUnit } from '../../paint/spray/measure.ts';
import { FLOW_CUPS, PLAIN_TEST, THINNERS } from '../../paint/spray/thinning.ts';
import {
  reckon,
  SHAPE_FIELDS,
  unitOf,
  type NumberField,
  type Reckoned,
  type ShapeKind,
  type TypedPart,
  type TypedPlan,
} from '../state/spray-reckoning.ts';
import { ofBrush } from '../state/spray-start.ts';
import { base, controls } from '../styles/shared.ts';
import { formatExact, formatNumber } from './numbers.ts';
import { sprayFormStyles } from './spray-form-styles.ts';
import { FIELD_NAMES, sprayComesTo, sprayMissing, type SumsShown } from './spray-sums.ts';
import { typedNumber } from './typed-number.ts';

const SHAPES: readonly (readonly [ShapeKind, string])[] = [
  ['rectangle', 'length × width'],
  ['band', 'band round a cylinder'],
  ['ring', 'flat ring'],
  ['disc', 'disc'],
  ['picture', 'measured on the picture'],
];

@customElement('lt-spray-form')
export class SprayForm extends LitElement {
  /** What stands in the fields; whoever keeps it hears of what is typed. */
  @property({ attribute: false }) typed!: TypedPlan;
  @property({ attribute: false }) palette!: Palette;
  @property({ attribute: false }) mix!: Pick<Attempt, 'pot'>;
  /** The outline in the picture, in tiles; undefined without one. */
  @property({ attribute: false }) tiles: number | undefined;
  @property({ attribute: false }) brushes: readonly Brush[] = [];
  /** The dab as last read. */
  @property({ attribute: false }) lab: LabD65 | undefined;
  @state() private asked = false;
  @state() private paintFinish: Finish = 'matt';
  @state() private mediumFinish: Finish = 'gloss';

  static override styles = [base, controls, sprayFormStyles];

  override render() {
    const { typed } = this;
    const answer = reckon(typed, this.tiles, this.mix, this.palette);
    const faults = answer.ok ? {} : answer.faults;
    const number = (field: NumberField) => this.#number(field, faults[field]);
    return html`<form novalidate @submit=${(event: SubmitEvent) => this.#submit(event, answer)}>
      <div class="fields">
        <fieldset aria-labelledby="surface">
          <h3 id="surface">Surface</h3>
          <label>
            Shape
            <select
              @change=${(e: Event) => this.#set({ shape: valueOf(e) as ShapeKind })}
              .value=${typed.shape}
            >
              ${SHAPES.map(
                ([kind, name]) =>
                  html`<option value=${kind} ?selected=${kind === typed.shape}>${name}</option>`,
              )}
            </select>
          </label>
          <label>
            Lengths in
            <select @change=${(e: Event) => this.#set({ unit: valueOf(e) as LengthUnit })}>
              ${Object.keys(LENGTH_UNITS).map(
                (unit) => html`<option ?selected=${unit === typed.unit}>${unit}</option>`,
              )}
            </select>
          </label>
          ${SHAPE_FIELDS[typed.shape].map((field) => number(field))}
          ${
            typed.shape === 'picture'
              ? html`<p class="wide ${faults.shape ? 'fault' : 'hint'}">
                  ${
                    faults.shape ??
                    `The outline is ${formatNumber(this.tiles ?? 0, 3)} × the face of the tile.`
                  }
                </p>`
              : nothing
          }
          <label class="check wide">
            <input
              type="checkbox"
              .checked=${typed.hollow}
              @change=${(e: Event) => this.#set({ hollow: (e.target as HTMLInputElement).checked })}
            />
            inside a mouth or neck
          </label>
        </fieldset>
        <fieldset aria-labelledby="coats">
          <h3 id="coats">Coats</h3>
          ${number('coats')} ${number('dryFilmMicrometres')} ${number('dryMinutes')}
          ${number('transferPercent')}
        </fieldset>
        <fieldset aria-labelledby="paint">
          <h3 id="paint">Paint</h3>
          ${number('volumeSolidsPercent')} ${number('densityGramsPerMl')} ${number('deadMl')}
          ${number('mediumPercent')} ${number('dabs')} ${number('gramsPerDab')}
          ${this.#finish('Paint dries', this.paintFinish, (f) => (this.paintFinish = f))}
          ${this.#finish('Medium dries', this.mediumFinish, (f) => (this.mediumFinish = f))}
          <p class="hint wide">
            Solids and density stand on the data sheet. Clear medium stays well below one tenth:
            more clogs the nozzle and thickens (common practice, no source).
          </p>
        </fieldset>
        <fieldset aria-labelledby="thinner">
          <h3 id="thinner">Thinner and brush</h3>
          <label>
            Thinner
            <select
              @change=${(e: Event) => this.#set({ thinner: valueOf(e) as TypedPlan['thinner'] })}
            >
              ${THINNERS.map(
                (name) => html`<option ?selected=${name === typed.thinner}>${name}</option>`,
              )}
            </select>
          </label>
          ${number('thinnerParts')}
          <p class="hint wide">${PLAIN_TEST} Or by a flow cup:</p>
          <label>
            Flow cup
            <select @change=${(e: Event) => this.#set({ cup: valueOf(e) })}>
              <option value="">none</option>
              ${FLOW_CUPS.map(
                ({ name }) => html`<option ?selected=${name === typed.cup}>${name}</option>`,
              )}
            </select>
          </label>
          ${typed.cup === '' ? html`<span class="no-time"></span>` : number('cupSeconds')}
          ${
            this.brushes.length === 0
              ? nothing
              : html`<div class="row wide" role="group" aria-label="Brushes that are remembered">
                  ${this.brushes.map(
                    (one) =>
                      html`<button type="button" @click=${() => this.#set(ofBrush(one))}>
                        ${one.name}
                      </button>`,
                  )}
                </div>`
          }
          <label>
            Brush
            <input
              name="brush"
              autocomplete="off"
              .value=${typed.brush}
              aria-invalid=${this.asked && faults.brush ? 'true' : 'false'}
              @input=${(e: Event) => this.#set({ brush: valueOf(e) })}
            />
            ${this.asked && faults.brush ? html`<span class="fault">${faults.brush}</span>` : nothing}
          </label>
          ${number('nozzleMm')} ${number('pressureBar')} ${number('distanceMm')} ${this.#guide()}
        </fieldset>
      </div>
      <div class="comes">
        ${
          answer.ok
            ? sprayComesTo(answer.reckoned, this.#shown(), (weighable) => this.#set({ weighable }))
            : sprayMissing(faults)
        }
        <button class="next">Start spraying</button>
      </div>
    </form>`;
  }

  #number(field: NumberField, fault: string | undefined) {
    const text = this.typed.numbers[field];
    const unit = unitOf(field, this.typed.unit);
    const isSaid = fault !== undefined && (this.asked || text.trim() !== '');
    return html`<label>
      <span
        >${FIELD_NAMES[field]}${unit ? html`<span class="unit">, ${unit}</span>` : nothing}</span
      >
      <span class="field">
        <input
          name=${field}
          inputmode="text"
          autocomplete="off"
          .value=${text}
          aria-invalid=${isSaid ? 'true' : 'false'}
          aria-describedby=${isSaid ? `${field}-fault` : nothing}
          @input=${(e: Event) => this.#set({ numbers: { [field]: valueOf(e) } })}
        />
        ${isSaid ? html`<span class="fault" id="${field}-fault">${fault}</span>` : nothing}
      </span>
    </label>`;
  }

  #finish(label: string, value: Finish, set: (finish: Finish) => void) {
    return html`<label>
      ${label}
      <select @change=${(e: Event) => set(valueOf(e) as Finish)}>
        ${FINISHES.map((finish) => html`<option ?selected=${finish === value}>${finish}</option>`)}
      </select>
    </label>`;
  }

  #guide() {
    const nozzle = typedNumber(this.typed.numbers.nozzleMm);
    const guide = guideFor(nozzle);
    if (!guide) return nothing;
    const [low, high] = guide.pressureBar.map(formatExact);
    const [near, far] = guide.distanceMm.map(formatExact);
    return html`<p class="hint wide">
      Common practice, no source, for ${formatExact(nozzle)} mm: ${low} to ${high} bar from ${near}
      to ${far} mm. The brush’s own sheet comes first.
    </p>`;
  }

  #shown(): SumsShown {
    const { typed, palette, lab, paintFinish, mediumFinish } = this;
    return { typed, palette, lab, finishes: { paint: paintFinish, medium: mediumFinish } };
  }

  #set(detail: TypedPart): void {
    this.dispatchEvent(new CustomEvent<TypedPart>('lt-typed', { detail }));
  }

  #submit(event: SubmitEvent, answer: ReturnType<typeof reckon>): void {
    event.preventDefault();
    this.asked = true;
    if (!answer.ok) {
      void this.updateComplete.then(() => {
        this.renderRoot.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
      });
      return;
    }
    this.dispatchEvent(new CustomEvent<Reckoned>('lt-plan', { detail: answer.reckoned }));
  }
}

function valueOf(event: Event): string {
  return (event.target as HTMLInputElement | HTMLSelectElement).value;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-spray-form': SprayForm;
  }
}
