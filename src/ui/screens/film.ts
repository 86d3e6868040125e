/** How the paint dries, and how many coats hide: what was learned, and what a card tells. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { labD65, type LabD65 } from '../../colour/spaces.ts';
import type { Id } from '../../job/ids.ts';
import { dryingInWords, dryingOf } from '../../job/drying.ts';
import type { Palette } from '../../job/records.ts';
import { coatsToHide, USUAL_CARD, type Coats } from '../../paint/coats.ts';
import { FILM_STATES, FINISHES, type FilmState } from '../../paint/drying.ts';
import { formatExact, formatNumber, formatPercent } from '../elements/numbers.ts';
import { typedNumber } from '../elements/typed-number.ts';
import type { BenchState } from '../state/bench-state.ts';
import type { TypedCard } from '../state/drafts.ts';
import { faultInWords } from '../state/fault.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';

const CARD_FIELDS = [
  ['overBlack', 'Coat over black'],
  ['overWhite', 'Coat over white'],
  ['black', 'Bare black'],
  ['white', 'Bare white'],
  ['fill', 'Bare fill, if it is to vanish'],
] as const;
type CardField = (typeof CARD_FIELDS)[number][0];
const AXES = ['L*', 'a*', 'b*'] as const;

@customElement('lt-film')
export class FilmScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private coats: Coats | undefined;
  @state() private said = '';

  #bench = new Select(
    this,
    () => this.services.store,
    ({ place, palette, readings, film, held }: BenchState) => ({
      place,
      palette,
      readings,
      film,
      held,
    }),
  );

  static override styles = [
    base,
    controls,
    paper,
    css`
      .panel > .quiet {
        margin-block: 4px 12px;
      }
      .both {
        margin-block: 8px;
      }
      table {
        inline-size: 100%;
        margin-block: 8px;
        border-collapse: collapse;
      }
      th,
      td {
        padding: 8px 4px;
        border-block-end: 1px solid var(--rule);
        font-weight: 400;
        text-align: start;
      }
      td {
        text-align: end;
      }
      fieldset {
        display: grid;
        grid-template-columns: repeat(3, minmax(0, 1fr));
        gap: 8px;
        margin: 0 0 12px;
        padding: 0;
        border: 0;
      }
      legend {
        padding-block-end: 4px;
        font-weight: 700;
      }
      fieldset button {
        grid-column: 1 / -1;
      }
      .answer {
        margin-block: 12px;
        font-size: 1.0625rem;
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const { place, palette } = this.#bench.value;
    if (!place || !palette) return html`<p class="empty">Opening the palette.</p>`;
    return html`
      <div class="bar">
        <h2>Drying and hiding</h2>
        <a class="button" href="#/pot">To the pot</a>
      </div>
      <div class="halves">${this.#drying(palette)} ${this.#hiding(place.area.id)}</div>
    `;
  }

  #drying(palette: Palette) {
    const { readings, film } = this.#bench.value;
    const last = readings.at(-1)?.record;
    const drying = dryingOf(palette);
    const rows = FILM_STATES.slice(1).map((to, i) => [FILM_STATES[i]!, to] as const);
    const words = last && dryingInWords(palette, last, (value) => formatNumber(value, 1));
    return html`<section class="panel">
      <h3>Wet and dry, matt and gloss</h3>
      <p class="quiet">
        Read and save the same dab in two states, under the same lamp: the palette learns how its
        paint shifts, and additions aim at the colour that will be there in the end.
      </p>
      <p><b>The dab that is read is</b></p>
      <div class="both" role="group" aria-label="The dab that is read is">
        ${FILM_STATES.map(
          (one) =>
            html`<button
              aria-pressed=${film === one}
              @click=${() => this.services.store.set({ film: one })}
            >
              ${one}
            </button>`,
        )}
      </div>
      <label>
        Finish of this palette’s paint
        <select @change=${(event: Event) => void this.#finish(palette, event)}>
          <option value="" ?selected=${!palette.finish}>not said</option>
          ${FINISHES.map(
            (one) => html`<option value=${one} ?selected=${palette.finish === one}>${one}</option>`,
          )}
        </select>
      </label>
      <table>
        <caption class="unseen">
          Learned shifts
        </caption>
        <tbody>
          ${rows.map(([from, to]) => this.#step(drying.shift(from, to), from, to))}
        </tbody>
      </table>
      <p>${words ?? nothing}</p>
      <p role="status">${this.said}</p>
    </section>`;
  }

  #step(
    { lab, sigma, pairs }: ReturnType<ReturnType<typeof dryingOf>['shift']>,
    from: FilmState,
    to: FilmState,
  ) {
    const many = pairs === 1 ? '1 dab' : `${pairs} dabs`;
    return html`<tr>
      <th scope="row">
        ${from} → ${to}<br /><span class="quiet">${pairs === 0 ? 'not learned yet' : many}</span>
      </th>
      ${
        pairs === 0
          ? html`<td colspan="3" class="quiet">not counted until a dab is read in both</td>`
          : AXES.map(
              (axis, k) =>
                html`<td>
                  Δ${axis} ${formatNumber(lab[k]!, 1)}<br /><span class="quiet"
                    >± ${formatNumber(sigma[k]!, 1)}</span
                  >
                </td>`,
            )
      }
    </tr>`;
  }

  #hiding(area: Id<'area'>) {
    const { coats } = this;
    return html`<section class="panel">
      <h3>How many coats hide</h3>
      <p class="quiet">
        Lay one coat, as you spray it, over a black-and-white card, let it dry, and read both
        halves. Type the colours, or take each from the reading on the bench.
      </p>
      <form novalidate @submit=${(event: SubmitEvent) => this.#reckon(area, event)}>
        ${CARD_FIELDS.map(([field, name]) => this.#colour(area, field, name))}
        <button class="next">Reckon the coats</button>
      </form>
      <p class="answer" role="status">${coats ? coatsInWords(coats) : ''}</p>
      ${
        coats?.ok
          ? html`<p class="quiet">
              Hidden from a contrast ratio of 0.98 on (ISO 6504-1, ASTM D6441). Clear, strong
              colours may need up to twice as many coats: spray a test before the piece.
            </p>`
          : nothing
      }
    </section>`;
  }

  #colour(area: Id<'area'>, field: CardField, name: string) {
    const { held } = this.#bench.value;
    const texts = this.#typed(area);
    return html`<fieldset>
      <legend>${name}</legend>
      ${AXES.map(
        (axis, k) =>
          html`<label>
            ${axis}<input
              aria-label=${`${name}, ${axis}`}
              inputmode="decimal"
              .value=${texts[`${field}${k}`] ?? ''}
              @input=${({ target }: { target: HTMLInputElement }) =>
                this.#type(area, { [`${field}${k}`]: target.value })}
            />
          </label>`,
      )}
      <button
        type="button"
        ?disabled=${!held}
        aria-label=${`${name}: take the dab on the bench`}
        @click=${() => held && this.#type(area, textsOf(field, held.result.dabLab))}
      >
        ${held ? 'Take the dab on the bench' : 'No reading is held on the bench'}
      </button>
    </fieldset>`;
  }

  /** As it was left: a half of the card is read on the bench and brought back here. */
  #typed(area: Id<'area'>): TypedCard['texts'] {
    return this.services.drafts.cards.get(area)?.texts ?? usualCard();
  }

  #type(area: Id<'area'>, part: TypedCard['texts']): void {
    const texts = { ...this.#typed(area), ...part };
    this.services.drafts.cards.set(area, { texts, isReckoned: false });
    this.requestUpdate();
  }

  #reckon(area: Id<'area'>, event: SubmitEvent): void {
    event.preventDefault();
    const texts = this.#typed(area);
    const { overBlack, overWhite, black, white, fill } = labsIn(texts);
    this.coats =
      overBlack && overWhite
        ? coatsToHide(
            { overBlack, overWhite, ...(black && { black }), ...(white && { white }) },
            fill,
          )
        : { ok: false, error: 'Give L*, a* and b* of the coat over black and over white.' };
    if (this.coats.ok) this.services.drafts.cards.set(area, { texts, isReckoned: true });
  }

  async #finish(palette: Palette, event: Event): Promise<void> {
    const { value } = event.currentTarget as HTMLSelectElement;
    const finish = FINISHES.find((one) => one === value);
    try {
      const kept = await this.services.records.changePalette(palette.id, (now) => {
        const bare = { ...now };
        Reflect.deleteProperty(bare, 'finish');
        return { ...bare, ...(finish && { finish }) };
      });
      this.services.store.set({ palette: kept });
      this.said = 'Kept with the palette.';
    } catch (error) {
      this.said = faultInWords(error);
    }
  }
}

const textsOf = (field: CardField, lab: LabD65): TypedCard['texts'] =>
  Object.fromEntries(lab.map((value, k) => [`${field}${k}`, formatExact(value)]));

const usualCard = () => ({
  ...textsOf('black', USUAL_CARD.black),
  ...textsOf('white', USUAL_CARD.white),
});

/** The colours that are typed whole. */
function labsIn(texts: TypedCard['texts']): Partial<Record<CardField, LabD65>> {
  return Object.fromEntries(
    CARD_FIELDS.flatMap(([field]) => {
      const [L, a, b] = [0, 1, 2].map((k) => typedNumber(texts[`${field}${k}`] ?? ''));
      const lab = [L!, a!, b!];
      return lab.every(Number.isFinite) ? [[field, labD65(L!, a!, b!)] as const] : [];
    }),
  );
}

function coatsInWords(coats: Coats): string {
  if (!coats.ok) return coats.error;
  const { contrastRatio, toHide, overFill } = coats;
  const many = (count: number) =>
    Number.isFinite(count)
      ? `at least ${count} ${count === 1 ? 'coat' : 'coats'}`
      : 'more than forty coats: this paint does not hide';
  const fill = overFill === undefined ? '' : ` Over the fill, ${many(overFill)}.`;
  return `One coat hides to ${formatPercent(contrastRatio)}. For complete hiding, ${many(toHide)}.${fill}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-film': FilmScreen;
  }
}
