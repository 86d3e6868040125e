/**
 * The sums of the spray bench as a form: faults at their fields, what it comes to beside them.
 * Event: `lt-plan` {reckoned, unit}.
 */
import { css, html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Attempt, Palette } from '../../job/records.ts';
import type { Brush } from '../../job/spray-plan.ts';
import { FINISHES, type Finish } from '../../paint/drying.ts';
import { potMass } from '../../paint/pot.ts';
import { finishShift } from '../../paint/spray/binder.ts';
import { guideFor } from '../../paint/spray/guide.ts';
import { LENGTH_UNITS, type LengthUnit } from '../../paint/spray/measure.ts';
import { FLOW_CUPS, PLAIN_TEST, THINNERS } from '../../paint/spray/thinning.ts';
import {
  reckon,
  SHAPE_FIELDS,
  unitOf,
  type Field,
  type NumberField,
  type Reckoned,
  type ShapeKind,
  type TypedPlan,
} from '../state/spray-reckoning.ts';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';
import { formatExact, formatGrams, formatNumber } from './numbers.ts';
import { additionInWords } from './pigment-names.ts';
import { typedNumber } from './typed-number.ts';

const SHAPES: readonly (readonly [ShapeKind, string])[] = [
  ['rectangle', 'length × width'],
  ['band', 'band round a cylinder'],
  ['ring', 'flat ring'],
  ['disc', 'disc'],
  ['picture', 'measured on the picture'],
];
const LABELS: Readonly<Record<NumberField, string>> = {
  lengthMm: 'Length',
  widthMm: 'Width',
  diameterMm: 'Diameter',
  heightMm: 'Height of the band',
  turn: 'Way round',
  outerMm: 'Outer diameter',
  innerMm: 'Inner diameter',
  tileWidthMm: 'Width of the tile',
  tileHeightMm: 'Height of the tile',
  coats: 'Coats, mist coat included',
  dryFilmMicrometres: 'Dry film of a coat',
  dryMinutes: 'Drying between coats',
  volumeSolidsPercent: 'Volume solids',
  densityGramsPerMl: 'Density, g/ml',
  transferPercent: 'Stays on the piece',
  deadMl: 'Left in cup and line',
  mediumPercent: 'Clear medium',
  thinnerParts: 'Thinner to 1 part of paint',
  nozzleMm: 'Nozzle',
  pressureBar: 'Pressure',
  distanceMm: 'Distance',
  cupSeconds: 'Time of flow, s',
  dabs: 'Dabs taken from the pot',
  gramsPerDab: 'Paint in a dab',
};

@customElement('lt-spray-form')
export class SprayForm extends LitElement {
  /** What the fields begin with. */
  @property({ attribute: false }) initial!: TypedPlan;
  @property({ attribute: false }) palette!: Palette;
  @property({ attribute: false }) mix!: Pick<Attempt, 'pot'>;
  /** The outline in the picture, in tiles; undefined without one. */
  @property({ attribute: false }) tiles: number | undefined;
  @property({ attribute: false }) brushes: readonly Brush[] = [];
  /** The dab as last read. */
  @property({ attribute: false }) lab: LabD65 | undefined;
  @state() private typed!: TypedPlan;
  @state() private asked = false;
  @state() private paintFinish: Finish = 'matt';
  @state() private mediumFinish: Finish = 'gloss';

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 8px;
        align-items: start;
      }
      .fields,
      .comes {
        display: grid;
        gap: 8px;
        min-inline-size: 0;
      }
      fieldset,
      section {
        display: grid;
        grid-template-columns: repeat(2, minmax(0, 1fr));
        gap: 10px;
        align-items: start;
        min-inline-size: 0;
        margin: 0;
        padding: 16px;
        border: 0;
        background: var(--control);
      }
      section {
        grid-template-columns: minmax(0, 1fr);
      }
      legend {
        float: inline-start;
        grid-column: 1 / -1;
        padding: 0;
        font-size: 1.125rem;
        font-weight: 700;
      }
      h3 {
        font-size: 1.125rem;
      }
      .wide {
        grid-column: 1 / -1;
      }
      .unit {
        color: var(--ink-quiet);
        font-weight: 400;
      }
      .fault {
        font-size: 0.9375rem;
        font-weight: 700;
        line-height: 1.25;
      }
      .fault::before {
        content: '▲ ';
      }
      [aria-invalid='true'] {
        border-width: 3px;
      }
      .hint {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
        line-height: 1.35;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
      }
      .check {
        display: flex;
        align-items: center;
        gap: 10px;
        min-block-size: var(--touch);
      }
      .big {
        font-size: 1.375rem;
        font-weight: 800;
        line-height: 1.2;
      }
      .note {
        display: flex;
        gap: 6px;
      }
      .note svg {
        flex: none;
      }
      @media (min-width: 860px) {
        form {
          grid-template-columns: minmax(0, 7fr) minmax(0, 5fr);
        }
        .comes {
          position: sticky;
          inset-block-start: 8px;
        }
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('initial')) this.typed = this.initial;
  }

  override render() {
    const { typed } = this;
    const answer = reckon(typed, this.tiles, this.mix, this.palette);
    const faults = answer.ok ? {} : answer.faults;
    const number = (field: NumberField, hint = '') => this.#number(field, faults[field], hint);
    return html`<form novalidate @submit=${(event: SubmitEvent) => this.#submit(event, answer)}>
      <div class="fields">
        <fieldset>
          <legend>Surface</legend>
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
        <fieldset>
          <legend>Coats</legend>
          ${number('coats')} ${number('dryFilmMicrometres')} ${number('dryMinutes')}
          ${number('transferPercent')}
        </fieldset>
        <fieldset>
          <legend>Paint</legend>
          ${number('volumeSolidsPercent')} ${number('densityGramsPerMl')} ${number('deadMl')}
          ${number('mediumPercent')} ${number('dabs')} ${number('gramsPerDab')}
          ${this.#finish('Paint dries', this.paintFinish, (f) => (this.paintFinish = f))}
          ${this.#finish('Medium dries', this.mediumFinish, (f) => (this.mediumFinish = f))}
          <p class="hint wide">
            Solids and density stand on the data sheet. Clear medium stays well below one tenth:
            more clogs the nozzle and thickens (common practice, no source).
          </p>
        </fieldset>
        <fieldset>
          <legend>Thinner and brush</legend>
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
          ${typed.cup === '' ? html`<span></span>` : number('cupSeconds')}
          ${
            this.brushes.length === 0
              ? nothing
              : html`<div class="row wide" role="group" aria-label="Brushes that are remembered">
                  ${this.brushes.map(
                    (one) =>
                      html`<button type="button" @click=${() => this.#takeBrush(one)}>
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
        ${answer.ok ? this.#comesTo(answer.reckoned) : this.#stillMissing(faults)}
        <button class="next">Start spraying</button>
      </div>
    </form>`;
  }

  #number(field: NumberField, fault: string | undefined, hint: string) {
    const text = this.typed.numbers[field];
    const unit = unitOf(field, this.typed.unit);
    const isSaid = fault !== undefined && (this.asked || text.trim() !== '');
    return html`<label>
      <span>${LABELS[field]}${unit ? html`<span class="unit">, ${unit}</span>` : nothing}</span>
      <input
        name=${field}
        inputmode="text"
        autocomplete="off"
        .value=${text}
        aria-invalid=${isSaid ? 'true' : 'false'}
        aria-describedby=${isSaid ? `${field}-fault` : nothing}
        @input=${(e: Event) => this.#setNumber(field, valueOf(e))}
      />
      ${isSaid ? html`<span class="fault" id="${field}-fault">${fault}</span>` : nothing}
      ${hint ? html`<span class="hint">${hint}</span>` : nothing}
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

  #comesTo(reckoned: Reckoned) {
    const { batch, left, will, recipe, dilution, areaCm2, inputs, viscosity } = reckoned;
    const { pigments } = this.palette;
    const adds = Object.keys(recipe?.additions ?? {}).length > 0;
    const ml = (value: number) => formatNumber(value, 2);
    const finish =
      this.lab &&
      finishShift(this.lab, this.paintFinish, this.mediumFinish, inputs.mediumPercent / 100);
    return html`<section aria-labelledby="needed" aria-live="polite">
        <h3 id="needed">Paint needed</h3>
        <p class="big">
          ${formatGrams(batch.paint)} (${formatGrams(batch.range[0])} to
          ${formatGrams(batch.range[1])})
        </p>
        <p>
          For ${formatNumber(areaCm2, 1)} cm². Of it ${formatGrams(batch.medium)} clear medium; then
          ${ml(batch.thinnerMl)} ml of ${this.typed.thinner}.
        </p>
        <p class="hint">
          Before thinning: ${ml(batch.onPieceMl)} ml stay on the piece, ${ml(batch.lostToAirMl)} ml
          go to the air, ${ml(batch.leftInBrushMl)} ml stay in the
          brush${batch.spareMl > 0 ? `, ${ml(batch.spareMl)} ml are to spare` : ''}.
        </p>
        ${this.#weighing(reckoned)}
        ${
          viscosity === undefined
            ? nothing
            : html`<p>${this.typed.cup}: ${formatNumber(viscosity, 0)} mm²/s.</p>`
        }
      </section>
      <section aria-labelledby="pot">
        <h3 id="pot">In the pot</h3>
        <p class=${will === 'enough' ? '' : 'note'}>
          ${will === 'enough' ? nothing : icons.caution}
          <span>
            ${formatGrams(potMass(left))} after the dabs:
            <b>${will === 'enough' ? 'enough' : `${will} to finish`}</b>.
          </span>
        </p>
        ${
          recipe && adds
            ? html`<p>Add ${additionInWords(recipe.additions, pigments)}.</p>
                <p class="hint">
                  Rounded to your doses, that is ΔE₀₀ ${formatNumber(recipe.roundingDeltaE00, 2)}
                  from the match, by the paint model. Read a dab of it before you bind.
                </p>`
            : nothing
        }
        ${
          recipe
            ? nothing
            : html`<p class="hint">
                A paint of this mix has no colours yet, so the recipe cannot be scaled here.
              </p>`
        }
      </section>
      <section aria-labelledby="medium">
        <h3 id="medium">What the medium changes</h3>
        ${
          dilution
            ? html`<p>
                A coat hides as before when ${formatNumber(dilution.thickerToHide, 2)} × as thick;
                as thick as before, it is ΔE₀₀ ${formatNumber(dilution.deltaE00OverFill, 2)} off
                over a white fill.
              </p>`
            : nothing
        }
        ${
          finish && finish[1] > 0.005
            ? html`<p>
                A ${this.mediumFinish} medium in ${this.paintFinish} paint shifts what is read by
                ΔE₀₀ ${formatNumber(finish[0], 2)} to ${formatNumber(finish[1], 1)}.
              </p>`
            : nothing
        }
        <p class="hint">Reckoned, not read: read a dry dab once the medium is in.</p>
      </section>`;
  }

  /** Medium that the scale hardly shows, and the batch in which it does. */
  #weighing({ batch, weighable, mediumWeighed, scaleStep }: Reckoned) {
    const back = html`<button type="button" @click=${() => this.#set({ weighable: false })}>
      Only what the area takes
    </button>`;
    if (this.typed.weighable && batch.spareMl > 0) return back;
    if (mediumWeighed === 'well') return nothing;
    const step = `${formatExact(scaleStep)} g`;
    const isLarger = weighable.paint > batch.paint;
    return html`<p class="note">
        ${icons.caution}
        <span>
          ${
            mediumWeighed === 'not at all'
              ? `${formatGrams(batch.medium)} of medium is less than your scale shows, in steps of ${step}.`
              : `${formatGrams(batch.medium)} of medium is only a few steps of your scale, ${step} each: its share may be off by more than a tenth.`
          }
          ${
            isLarger
              ? `In a batch of ${formatGrams(weighable.paint)} it can be weighed, ${formatGrams(weighable.medium)}; what is over goes on the shelf.`
              : 'Leave it out, or take a finer scale.'
          }
        </span>
      </p>
      ${
        isLarger
          ? html`<button type="button" @click=${() => this.#set({ weighable: true })}>
              Mix ${formatGrams(weighable.paint)} instead
            </button>`
          : nothing
      }`;
  }

  #stillMissing(faults: Readonly<Partial<Record<Field, string>>>) {
    const names = (Object.keys(faults) as Field[]).map((field) =>
      field === 'brush' ? 'Brush' : field === 'shape' ? 'Shape' : LABELS[field],
    );
    return html`<section aria-live="polite">
      <h3>Paint needed</h3>
      <p>Stands here once these are right: ${names.join(', ')}.</p>
    </section>`;
  }

  #set(part: Partial<TypedPlan>): void {
    this.typed = { ...this.typed, ...part };
  }
  #setNumber(field: NumberField, text: string): void {
    this.#set({ numbers: { ...this.typed.numbers, [field]: text } });
  }
  #takeBrush(brush: Brush): void {
    this.typed = withBrush(this.typed, brush);
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
    const detail = { reckoned: answer.reckoned, typed: this.typed };
    this.dispatchEvent(new CustomEvent('lt-plan', { detail }));
  }
}

/** The fields with what a brush sprayed well with. */
export function withBrush(typed: TypedPlan, brush: Brush): TypedPlan {
  return {
    ...typed,
    brush: brush.name,
    thinner: brush.thinner,
    cup: brush.cup ?? '',
    note: brush.note,
    numbers: {
      ...typed.numbers,
      nozzleMm: formatExact(brush.nozzleMm),
      pressureBar: formatExact(brush.pressureBar),
      distanceMm: formatExact(brush.distanceMm),
      thinnerParts: formatExact(brush.thinnerParts),
      cupSeconds: brush.cupSeconds === undefined ? '' : formatExact(brush.cupSeconds),
    },
  };
}

function valueOf(event: Event): string {
  return (event.target as HTMLInputElement | HTMLSelectElement).value;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-spray-form': SprayForm;
  }
}
