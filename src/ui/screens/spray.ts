/** From a matched dab to a sprayed area: the sums first, then the work step by step, into the record. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { leftIn, type Jar } from '../../job/jar.ts';
import type { Attempt } from '../../job/records.ts';
import { coatsDone, nextStepOf, type Brush, type SprayPlan } from '../../job/spray-plan.ts';
import { potMass } from '../../paint/pot.ts';
import { inTiles } from '../../paint/spray/area-shapes.ts';
import { nearestJars } from '../../paint/spray/leftovers.ts';
import { formatGrams, formatNumber, formatTime } from '../elements/numbers.ts';
import '../elements/spray-form.ts';
import '../elements/spray-steps.ts';
import { NOTHING_READ, potMixes, type BenchState } from '../state/bench-state.ts';
import { dabOf } from '../state/glaze.ts';
import { OnePress } from '../state/one-press.ts';
import { recordsTask } from '../state/records-watch.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import type { Reckoned, TypedPart, TypedPlan } from '../state/spray-reckoning.ts';
import { ofBrush, planOf, startingFrom, usualPlan, withTyped } from '../state/spray-start.ts';
import { hazardsIn, lacking, shapeInWords } from '../state/spray-words.ts';
import type { SprayOfArea } from '../state/spraying.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { JarSheets } from './jar-sheets.ts';
import { WorkLine } from './work-line.ts';

interface Opened extends SprayOfArea {
  readonly brushes: readonly Brush[];
  readonly jars: readonly Jar[];
}

@customElement('lt-spray')
export class SprayScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  /** A new plan is being reckoned although there is one. */
  @state() private anew = false;

  readonly #clock = () => this.services.spraying.now().getTime();
  #shown: Opened | undefined;
  #bench = new Select(
    this,
    () => this.services.store,
    ({ place, palette, mixes, readings, tile, live }: BenchState) => ({
      place,
      palette,
      mixes,
      readings,
      tile: tile ?? live?.tile,
    }),
  );
  #load = recordsTask(this, () => this.services.records, {
    task: async ([area]) => {
      if (!area) return undefined;
      const [spray, brushes, jars] = await Promise.all([
        this.services.spraying.of(area),
        this.services.spraying.brushes(),
        this.services.spraying.jars(),
      ]);
      this.#shown = { ...spray, brushes, jars };
      return this.#shown;
    },
    args: () => [this.#bench.value.place?.area] as const,
  });
  #line = new WorkLine(this, () => this.#load.run());
  #jars = new JarSheets(this, this.#line);
  readonly #start = new OnePress();

  static override styles = [
    base,
    controls,
    paper,
    css`
      .panel {
        display: grid;
        gap: 6px;
      }
    `,
  ];

  override render() {
    return this.#load.render({
      pending: () => (this.#shown ? this.#page(this.#shown) : opening()),
      complete: (opened) => (opened ? this.#page(opened) : opening()),
      error: (error) =>
        html`<p class="empty" role="alert">The plan could not be opened: ${String(error)}</p>`,
    });
  }

  #page(opened: Opened) {
    const { place, palette } = this.#bench.value;
    const mix = potMixes(this.#bench.value).at(-1);
    const plan = opened.plans.at(-1);
    if (!place || !palette) return opening();
    const isForm = plan === undefined || this.anew;
    return html`
      <div class="bar">
        <h2>Spray the ${place.area.name}</h2>
        <div class="actions">
          ${
            isForm && plan
              ? html`<button @click=${() => (this.anew = false)}>Back to the plan</button>`
              : nothing
          }
          ${
            isForm
              ? nothing
              : html`<button @click=${() => window.print()}>Print</button>
                  <button @click=${() => (this.anew = true)}>Another plan</button>`
          }
          <a class="button" href=${hashOf({ screen: 'shelf' })}>Shelf</a>
          <a class="button" href=${hashOf({ screen: 'pot' })}>Back to the pot</a>
        </div>
      </div>
      ${this.#line.render()}
      ${mix ? nothing : html`<p class="empty">The pot is empty: mix and match a dab first.</p>`}
      ${mix && isForm ? this.#form(opened, mix) : nothing}
      ${mix && plan && !isForm ? this.#work(opened, plan) : nothing}
    `;
  }

  #form(opened: Opened, mix: Attempt) {
    const { palette, place } = this.#bench.value;
    const { drafts, spraying } = this.services;
    const { plans, first, brushes } = opened;
    const last = this.#lastReading(mix);
    const blends = last?.verdict.acceptable === 'blends';
    const from = plans.at(-1) ?? first?.plan;
    const key = `${place!.area.id} ${from?.id}`;
    const typed = withTyped(this.#begin(opened, from, mix), drafts.plans.get(key));
    return html`
      ${
        first && plans.length === 0
          ? html`<p class="panel">
              Begins with the plan of the ${first.area.name} it must match, of
              ${formatTime(first.plan.createdAt)}.
            </p>`
          : nothing
      }
      ${
        blends
          ? nothing
          : html`<p class="panel">
              ${
                last
                  ? `The last dab of this mix ${last.verdict.acceptable === 'shows' ? 'shows' : 'is not sure to blend'}: match it before you spray.`
                  : 'No dab of this mix has been read: match it before you spray.'
              }
            </p>`
      }
      ${hazardsIn(mix.pot, palette!.pigments).map((line) => html`<p class="panel">${line}</p>`)}
      <lt-spray-form
        .typed=${typed}
        .palette=${palette!}
        .mix=${mix}
        .tiles=${this.#tiles(opened)}
        .brushes=${brushes}
        .lab=${last?.dabLab}
        @lt-typed=${(event: CustomEvent<TypedPart>) => {
          drafts.typePlan(key, event.detail);
          this.requestUpdate();
        }}
        @lt-plan=${({ detail: reckoned }: CustomEvent<Reckoned>) =>
          void this.#start.begin(() =>
            this.#line.attempt(async () => {
              await spraying.addPlan(place!.area.id, {
                ...planOf(reckoned, typed, mix),
                ...(first && plans.length === 0 && { from: first.plan.id }),
              });
              drafts.plans.delete(key);
              await spraying.keepBrush(reckoned.brush);
              this.anew = false;
              // The button stood at the end of a long form; the first step stands at the top.
              this.scrollIntoView();
            }),
          )}
      ></lt-spray-form>
    `;
  }

  #begin({ brushes }: Opened, from: SprayPlan | undefined, mix: Attempt): TypedPlan {
    const own = this.#bench.value.readings.filter(({ attempt }) => attempt?.id === mix.id);
    if (from) return startingFrom(from, own.length);
    const [brush] = brushes;
    return withTyped(usualPlan(own.length), brush && ofBrush(brush));
  }

  #work(opened: Opened, plan: SprayPlan) {
    const { place, palette } = this.#bench.value;
    const pigments = palette?.pigments ?? [];
    const mix = this.#bench.value.mixes.find(({ id }) => id === plan.attempt);
    const isOver = nextStepOf(plan) === -1;
    return html`
      <section class="panel" aria-label="The plan">
        <p>
          ${formatNumber(plan.areaCm2, 1)} cm², ${shapeInWords(plan)}. ${coatsDone(plan)} of
          ${plan.coats} coats are on.
        </p>
        <p>
          ${formatGrams(plan.paintGrams)} of paint (${formatGrams(plan.range[0])} to
          ${formatGrams(plan.range[1])}): ${formatGrams(potMass(plan.pot))} of the matched mix, then
          ${formatGrams(plan.mediumGrams)} of clear medium.
        </p>
        <p>
          ${plan.brush.name}: nozzle ${formatNumber(plan.brush.nozzleMm, 2)} mm,
          ${formatNumber(plan.brush.pressureBar, 1)} bar from
          ${formatNumber(plan.brush.distanceMm, 0)} mm; ${formatNumber(plan.thinnerMl, 2)} ml of
          ${plan.brush.thinner}.
        </p>
        ${plan.fromShelf?.map((one) => html`<p>${formatGrams(one.grams)} taken from the jar ${one.label}.</p>`)}
        ${isOver ? nothing : this.#fromShelf(opened, mix)}
        <p class="quiet">
          ${place!.job.title}, ${place!.piece.name}. Planned ${formatTime(plan.createdAt)}.
        </p>
        ${
          isOver
            ? html`<p><b>Sprayed and recorded.</b> The treatment record holds every step.</p>
                <div class="actions">
                  <a class="button next" href=${hashOf({ screen: 'piece', piece: place!.piece.id })}
                    >Treatment record</a
                  >
                  <button @click=${() => this.#jars.keep()}>Put what is left on the shelf</button>
                </div>`
            : nothing
        }
      </section>
      <lt-spray-steps
        .plan=${plan}
        .hazards=${mix ? hazardsIn(mix.pot, pigments) : []}
        .told=${lacking(plan, opened.maps, this.#readings())}
        .links=${{
          bind: [hashOf({ screen: 'bench' }), 'Read a dab'],
          thin: [hashOf({ screen: 'bench' }), 'Read a dab'],
          check: [hashOf({ screen: 'map' }), 'Take the blend map'],
        }}
        .clock=${this.#clock}
        @lt-step=${(e: CustomEvent<{ index: number; note: string }>) =>
          void this.#line.attempt(() => this.#done(opened, plan, e.detail))}
        @lt-reopen=${(e: CustomEvent<{ index: number }>) =>
          void this.#line.attempt(() => this.services.spraying.stepOpen(plan.id, e.detail.index))}
      ></lt-spray-steps>
      ${this.#jars.render({
        area: place!.area.name,
        mix,
        lab: mix && dabOf(this.#bench.value, mix),
        plan,
      })}
    `;
  }

  /** Jars of nearly the colour that is sprayed. */
  #fromShelf({ jars }: Opened, mix: Attempt | undefined) {
    const lab = mix && dabOf(this.#bench.value, mix);
    const full = jars.filter((jar) => leftIn(jar) > 0);
    const near = lab
      ? nearestJars(full, lab, 3).filter(({ deltaE00 }) => deltaE00 <= NEAR_ENOUGH)
      : [];
    if (near.length === 0) return nothing;
    return html`<div class="actions">
      ${near.map(
        ({ jar, deltaE00 }) =>
          html`<button @click=${() => this.#jars.takeFrom(jar)}>
            Take from ${jar.label}: ${formatGrams(leftIn(jar))} left, ΔE₀₀
            ${formatNumber(deltaE00, 1)}
          </button>`,
      )}
    </div>`;
  }

  async #done(
    { maps }: Opened,
    plan: SprayPlan,
    step: { readonly index: number; readonly note: string },
  ): Promise<void> {
    const { spraying, records, store } = this.services;
    const { palette, place } = this.#bench.value;
    const isNewMix = await spraying.stepDone(plan, step, maps, this.#readings(), palette!.id);
    if (!isNewMix) return;
    const area = await records.openArea(place!.area.id);
    store.set({ ...area, ...NOTHING_READ });
  }

  #readings() {
    return this.#bench.value.readings.map(({ record }) => record);
  }

  #lastReading(mix: Attempt) {
    return this.#bench.value.readings.findLast(({ attempt }) => attempt?.id === mix.id)?.record;
  }

  /** The outline on the map screen, else the newest saved one. */
  #tiles({ maps }: Opened): number | undefined {
    const { outline } = this.services.mapping.store.state;
    const { tile } = this.#bench.value;
    if (outline && tile) return inTiles(outline, tile);
    const map = maps.at(-1);
    return map && inTiles(map.outline, map.tile.polygon);
  }
}

/** ΔE₀₀ up to which a jar may serve in place of the mix: what is acceptable on a piece (Paravina et al. 2015). */
const NEAR_ENOUGH = 1.8;

function opening() {
  return html`<p class="empty" role="status">Opening the plan.</p>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-spray': SprayScreen;
  }
}
