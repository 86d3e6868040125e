/** The shelf: what was left of mixes, by date, nearest to the glaze at hand, with labels to print. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { cssColour } from '../../colour/css.ts';
import { ancestorsOf } from '../../job/ids.ts';
import { labelCode, labelText } from '../../job/jar-label.ts';
import { daysLeft, leftIn, type Jar } from '../../job/jar.ts';
import type { Palette } from '../../job/records.ts';
import { icons } from '../elements/icons.ts';
import { formatDay, formatExact, formatGrams } from '../elements/numbers.ts';
import { pigmentName, totalGrams } from '../elements/pigment-names.ts';
import { qrCode } from '../elements/qr-code.ts';
import type { BenchState } from '../state/bench-state.ts';
import { potMixes } from '../state/bench-state.ts';
import { dabOf } from '../state/glaze.ts';
import { recordsTask } from '../state/records-watch.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import './find-jar.ts';
import { JarSheets } from './jar-sheets.ts';
import './near-jars.ts';
import { WorkLine } from './work-line.ts';

/** Within this many days of its end a jar is warned of. */
const SOON_DAYS = 7;

@customElement('lt-shelf')
export class ShelfScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private label: Jar['id'] | undefined;
  @state() private finding = false;
  /** The jar whose label was found. */
  @state() private found: Jar['id'] | undefined;

  #shown: Loaded | undefined;
  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => ({
      place: now.place,
      mix: potMixes(now).at(-1),
      readings: now.readings,
    }),
  );
  #load = recordsTask(this, () => this.services.records, {
    task: async () => {
      const { spraying, records } = this.services;
      const [jars, palettes] = await Promise.all([spraying.jars(), records.palettes()]);
      this.#shown = { jars, palettes };
      return this.#shown;
    },
    args: () => [],
  });
  #line = new WorkLine(this, () => this.#load.run());
  #jars = new JarSheets(this, this.#line);

  static override styles = [
    base,
    controls,
    paper,
    css`
      .jar {
        display: grid;
        grid-template-columns: 112px minmax(0, 1fr);
        margin-block-end: 8px;
        background: var(--control);
      }
      .jar[aria-current] {
        outline: 3px solid var(--ink);
      }
      .swatch {
        padding: 12px;
        background: var(--surround);
      }
      .swatch > div {
        block-size: 88px;
      }
      .text {
        display: grid;
        gap: 6px;
        padding: 12px 16px;
      }
      h3 {
        font-size: 1.125rem;
        line-height: 1.25;
      }
      .note {
        display: flex;
        gap: 6px;
        font-weight: 700;
      }
      .note svg {
        flex: none;
      }
      .label {
        display: grid;
        grid-template-columns: 32mm minmax(0, 1fr);
        gap: 4mm;
        max-inline-size: 90mm;
        padding: 3mm;
        background: #ffffff;
        color: #000000;
        font-size: 9pt;
        line-height: 1.25;
      }
      .label svg {
        display: block;
        inline-size: 32mm;
        block-size: 32mm;
      }
      .label b {
        font-size: 11pt;
      }
      @media (max-width: 519px) {
        .jar {
          grid-template-columns: 72px minmax(0, 1fr);
        }
        .label {
          grid-template-columns: minmax(0, 1fr);
        }
      }
      @media print {
        /* A label that is open is printed alone. */
        .label-only > :not(.jars),
        .label-only .jar:not(:has(.label)),
        .label-only .swatch,
        .label-only .text > :not(.label) {
          display: none;
        }
        .label-only :is(.jar, .text) {
          display: block;
          padding: 0;
        }
        .label {
          grid-template-columns: 32mm minmax(0, 1fr);
          border: 1px dashed #000000;
        }
      }
    `,
  ];

  override render() {
    return this.#load.render({
      pending: () => (this.#shown ? this.#page(this.#shown) : opening()),
      complete: (loaded) => this.#page(loaded),
      error: (error) =>
        html`<p class="empty" role="alert">The shelf could not be opened: ${String(error)}</p>`,
    });
  }

  #page(loaded: Loaded) {
    const { jars } = loaded;
    const { mix, place, readings } = this.#bench.value;
    const isLabelOpen = jars.some(({ id }) => id === this.label);
    return html`<div class=${isLabelOpen ? 'label-only' : ''}>
      <div class="bar">
        <h2>Shelf</h2>
        <div class="actions">
          ${
            mix
              ? html`<button @click=${() => this.#jars.keep()}>Put the pot on the shelf</button>`
              : nothing
          }
          ${
            jars.length > 0
              ? html`<button @click=${() => (this.finding = true)}>Find a jar by its label</button>`
              : nothing
          }
          <a class="button" href=${hashOf({ screen: 'pot' })}>The pot</a>
          <a class="button" href=${hashOf({ screen: 'palette' })}>Palette</a>
        </div>
      </div>
      ${this.#line.render()}
      <lt-near-jars here></lt-near-jars>
      ${
        jars.length === 0
          ? html`<p class="empty">
              Nothing is on the shelf. What is left of a mix can be kept here with its recipe.
            </p>`
          : html`<ol class="jars" aria-label="Jars, the oldest first">
              ${jars.map((jar) => this.#jar(jar, loaded))}
            </ol>`
      }
      <lt-find-jar
        .open=${this.finding}
        .jars=${jars}
        @lt-close=${() => (this.finding = false)}
        @lt-found=${({ detail }: CustomEvent<Jar>) => void this.#show(detail)}
      ></lt-find-jar>
      ${this.#jars.render({
        area: place?.area.name ?? '',
        mix,
        lab: mix && dabOf({ readings }, mix),
      })}
    </div>`;
  }

  /** Opens the jar: it is brought into view, marked, and where a keyboard goes on. */
  async #show({ id }: Jar): Promise<void> {
    this.finding = false;
    this.found = id;
    await this.updateComplete;
    const item = this.renderRoot.querySelector(`[id="${id}"]`);
    item?.scrollIntoView({ block: 'center' });
    item?.querySelector<HTMLElement>('h3')?.focus();
  }

  #jar(jar: Jar, { palettes }: Loaded) {
    const left = daysLeft(jar, this.services.spraying.now());
    const sort = `${jar.thinned ? 'bound and thinned' : 'unthinned'}, ${jar.thinner}`;
    return html`<li
      class="jar"
      id=${jar.id}
      aria-current=${jar.id === this.found ? 'true' : nothing}
    >
      <div class="swatch"><div .style=${`background: ${cssColour(jar.lab)}`}></div></div>
      <div class="text">
        <h3 tabindex="-1">${jar.label}</h3>
        <p>
          <b>${formatGrams(leftIn(jar))} left</b> of ${formatGrams(jar.grams)}, ${sort}. Of
          ${formatDay(jar.createdAt)}.
        </p>
        ${jar.uses?.map((use) => html`<p class="quiet">${formatDay(use.at)}: ${formatGrams(use.grams)} taken${use.what ? `, ${use.what}` : ''}.</p>`)}
        <p class="quiet">${recipeOf(jar, palettes)}</p>
        ${
          left > SOON_DAYS
            ? html`<p>Expected to keep until ${formatDay(jar.goodUntil)}.</p>`
            : html`<p class="note">
                ${icons.caution}
                <span>
                  ${
                    left < 0
                      ? `Expected to have spoilt or skinned over since ${formatDay(jar.goodUntil)}: look, stir and strain, or throw it away by your local rules.`
                      : `Skins over or spoils soon: expected until ${formatDay(jar.goodUntil)}.`
                  }
                </span>
              </p>`
        }
        ${jar.note ? html`<p class="quiet">${jar.note}</p>` : nothing}
        ${this.label === jar.id ? labelOf(jar, palettes) : nothing}
        <div class="actions">
          ${
            this.label === jar.id
              ? html`<button class="next" @click=${() => window.print()}>Print the label</button>`
              : html`<button
                  aria-label="Label of ${jar.label}"
                  @click=${() => (this.label = jar.id)}
                >
                  Label
                </button>`
          }
          <button
            aria-label="Take some from ${jar.label}"
            ?disabled=${leftIn(jar) === 0}
            @click=${() => this.#jars.takeFrom(jar)}
          >
            Take some
          </button>
          <button
            aria-label="Emptied: ${jar.label}"
            @click=${() =>
              void this.#line.attempt(async () => {
                const undo = await this.services.spraying.emptyJar(jar.id);
                this.#line.say({ text: `${jar.label} is off the shelf.`, undo });
              })}
          >
            Emptied
          </button>
        </div>
      </div>
    </li>`;
  }
}

interface Loaded {
  readonly jars: readonly Jar[];
  readonly palettes: readonly Palette[];
}

function opening() {
  return html`<p class="empty" role="status">Opening the shelf.</p>`;
}

function recipeOf({ pot, palette, mediumPercent }: Jar, palettes: readonly Palette[]): string {
  const pigments = palettes.find(({ id }) => id === palette)?.pigments ?? [];
  const total = totalGrams(pot);
  const parts = Object.entries(pot)
    .filter(([, grams]) => grams > 0)
    .sort(([, a], [, b]) => b - a)
    .map(([id, grams]) => `${pigmentName(id, pigments)} ${shareOf(grams / total)}`);
  const medium = mediumPercent > 0 ? [`clear medium ${shareOf(mediumPercent / 100)}`] : [];
  return [...parts, ...medium].join(', ');
}

/** A share that can be mixed again: three figures, however small. */
function shareOf(share: number): string {
  return `${formatExact(Number((100 * share).toPrecision(3)))} %`;
}

/** What is stuck on the jar; the code holds the job's id. */
function labelOf(jar: Jar, palettes: readonly Palette[]) {
  const job = ancestorsOf(jar.id).at(-1)!;
  return html`<div class="label">
    ${qrCode(labelText(jar), `QR code of the job: ${job}`)}
    <div>
      <p><b>${jar.label}</b></p>
      <p>${formatDay(jar.createdAt)}, ${formatGrams(leftIn(jar))}</p>
      <p>${recipeOf(jar, palettes)}</p>
      <p>Keeps until about ${formatDay(jar.goodUntil)}</p>
      <p>Code ${labelCode(jar)}</p>
      <p>Not for ware that holds food or drink</p>
    </div>
  </div>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-shelf': ShelfScreen;
  }
}
