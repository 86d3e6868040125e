/** What the form of the spray bench comes to: paint, pot and medium; or which fields it still wants. */
import { html, nothing } from 'lit';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Palette } from '../../job/records.ts';
import type { Finish } from '../../paint/drying.ts';
import { potMass } from '../../paint/pot.ts';
import { finishShift } from '../../paint/spray/binder.ts';
import type { Field, NumberField, Reckoned, TypedPlan } from '../state/spray-reckoning.ts';
import { icons } from './icons.ts';
import { formatExact, formatGrams, formatNumber } from './numbers.ts';
import { additionInWords } from './pigment-names.ts';

export const FIELD_NAMES: Readonly<Record<NumberField, string>> = {
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
  densityGramsPerMl: 'Density',
  transferPercent: 'Stays on the piece',
  deadMl: 'Left in cup and line',
  mediumPercent: 'Clear medium',
  thinnerParts: 'Thinner to 1 part of paint',
  nozzleMm: 'Nozzle',
  pressureBar: 'Pressure',
  distanceMm: 'Distance',
  cupSeconds: 'Time of flow',
  dabs: 'Dabs taken from the pot',
  gramsPerDab: 'Paint in a dab',
};

/** What the sums are told with. */
export interface SumsShown {
  readonly typed: TypedPlan;
  readonly palette: Palette;
  /** The dab as last read. */
  readonly lab: LabD65 | undefined;
  /** How paint and medium dry. */
  readonly finishes: { readonly paint: Finish; readonly medium: Finish };
}

/** What the fields come to, once they are right. */
export function sprayComesTo(
  reckoned: Reckoned,
  { typed, palette, lab, finishes }: SumsShown,
  weighable: (isWanted: boolean) => void,
) {
  const { batch, left, will, recipe, dilution, areaCm2, inputs, viscosity } = reckoned;
  const adds = Object.keys(recipe?.additions ?? {}).length > 0;
  const ml = (value: number) => formatNumber(value, 2);
  const finish =
    lab && finishShift(lab, finishes.paint, finishes.medium, inputs.mediumPercent / 100);
  return html`<section aria-labelledby="needed" aria-live="polite">
      <h3 id="needed">Paint needed</h3>
      <p class="big">
        ${formatGrams(batch.paint)} (${formatGrams(batch.range[0])} to
        ${formatGrams(batch.range[1])})
      </p>
      <p>
        For ${formatNumber(areaCm2, 1)} cm². Of it ${formatGrams(batch.medium)} clear medium; then
        ${ml(batch.thinnerMl)} ml of ${typed.thinner}.
      </p>
      <p class="hint">
        Before thinning: ${ml(batch.onPieceMl)} ml stay on the piece, ${ml(batch.lostToAirMl)} ml go
        to the air, ${ml(batch.leftInBrushMl)} ml stay in the
        brush${batch.spareMl > 0 ? `, ${ml(batch.spareMl)} ml are to spare` : ''}.
      </p>
      ${weighing(reckoned, typed, weighable)}
      ${
        viscosity === undefined
          ? nothing
          : html`<p>${typed.cup}: ${formatNumber(viscosity, 0)} mm²/s.</p>`
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
          ? html`<p>Add ${additionInWords(recipe.additions, palette.pigments)}.</p>
              <p class="hint">
                Rounded to your doses, that is ΔE₀₀ ${formatNumber(recipe.roundingDeltaE00, 2)} from
                the match, by the paint model. Read a dab of it before you bind.
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
              A coat hides as before when ${formatNumber(dilution.thickerToHide, 2)} × as thick; as
              thick as before, it is ΔE₀₀ ${formatNumber(dilution.deltaE00OverFill, 2)} off over a
              white fill.
            </p>`
          : nothing
      }
      ${
        finish && finish[1] > 0.005
          ? html`<p>
              A ${finishes.medium} medium in ${finishes.paint} paint shifts what is read by ΔE₀₀
              ${formatNumber(finish[0], 2)} to ${formatNumber(finish[1], 1)}.
            </p>`
          : nothing
      }
      <p class="hint">Reckoned, not read: read a dry dab once the medium is in.</p>
    </section>`;
}

/** Medium that the scale hardly shows, and the batch in which it does. */
function weighing(
  { batch, weighable: larger, mediumWeighed, scaleStep }: Reckoned,
  typed: TypedPlan,
  weighable: (isWanted: boolean) => void,
) {
  const back = html`<button type="button" @click=${() => weighable(false)}>
    Only what the area takes
  </button>`;
  if (typed.weighable && batch.spareMl > 0) return back;
  if (mediumWeighed === 'well') return nothing;
  const step = `${formatExact(scaleStep)} g`;
  const isLarger = larger.paint > batch.paint;
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
            ? `In a batch of ${formatGrams(larger.paint)} it can be weighed, ${formatGrams(larger.medium)}; what is over goes on the shelf.`
            : 'Leave it out, or take a finer scale.'
        }
      </span>
    </p>
    ${
      isLarger
        ? html`<button type="button" @click=${() => weighable(true)}>
            Mix ${formatGrams(larger.paint)} instead
          </button>`
        : nothing
    }`;
}

/** Which fields are wrong, by name. */
export function sprayMissing(faults: Readonly<Partial<Record<Field, string>>>) {
  const names = (Object.keys(faults) as Field[]).map((field) =>
    field === 'brush' ? 'Brush' : field === 'shape' ? 'Shape' : FIELD_NAMES[field],
  );
  return html`<section aria-live="polite">
    <h3>Paint needed</h3>
    <p>Stands here once these are right: ${names.join(', ')}.</p>
  </section>`;
}
