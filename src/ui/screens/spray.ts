/** From a matched dab to a sprayed area: the sums first, then the work step by step, into the record. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { leftIn, type Jar } from '../../job/jar.ts';
import type { Attempt } from '../../job/records.ts';
import {
  coatsDone,
  nextStepOf,
  paintAtHand,
  withStepDone,
  withStepOpen,
  type Brush,
  type SprayPlan,
} from '../../job/spray-plan.ts';
import { hazardOf } from '../../paint/hazards.ts';
import { potMass } from '../../paint/pot.ts';
import { inTiles } from '../../paint/spray/area-shapes.ts';
import { nearestJars } from '../../paint/spray/leftovers.ts';
import { stepsOf } from '../../paint/spray/steps.ts';
import type { PotGrams } from '../../paint/types.ts';
import { formatGrams, formatNumber, formatTime } from '../elements/numbers.ts';
import { pigmentName } from '../elements/pigment-names.ts';
import { withBrush } from '../elements/spray-form.ts';
import '../elements/spray-steps.ts';
import { EMPTY_NUDGE, potMixes, type BenchState } from '../state/bench-state.ts';
import { dabOf } from '../state/glaze.ts';
import type { Done } from '../state/job-book.ts';
import { recordsTask } from '../state/records-watch.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import type { Reckoned, TypedPlan } from '../state/spray-reckoning.ts';
import { startingFrom, usualPlan } from '../state/spray-start.ts';
import { shapeInWords } from '../state/spray-words.ts';
import type { SprayOfArea } from '../state/spraying.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import './keep-jar.ts';
import './take-jar.ts';
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
  @state() private keeping = false;
  @state() private taking: Jar | undefined;

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

  static override styles = [
    base,
    controls,
    paper,
    css`
      .panel {
        display: grid;
        gap: 6px;
      }
      @media print {
        :host {
          max-inline-size: none;
          padding: 0;
          color: #000000;
        }
        .actions,
        .trouble,
        lt-undo-line {
          display: none;
        }
        .bar,
        .panel {
          padding: 0 0 8px;
          background: none;
          color: #000000;
        }
        .quiet {
          color: #000000;
        }
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
    const { plans, first, brushes } = opened;
    const last = this.#lastReading(mix);
    const blends = last?.verdict.acceptable === 'blends';
    const from = plans.at(-1) ?? first?.plan;
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
      ${this.#hazards(mix).map((line) => html`<p class="panel">${line}</p>`)}
      <lt-spray-form
        .initial=${this.#begin(opened, from, mix)}
        .palette=${palette!}
        .mix=${mix}
        .tiles=${this.#tiles(opened)}
        .brushes=${brushes}
        .lab=${last?.dabLab}
        @lt-plan=${(event: CustomEvent<{ reckoned: Reckoned; typed: TypedPlan }>) =>
          void this.#line.attempt(async () => {
            const { reckoned, typed } = event.detail;
            await this.services.spraying.addPlan(place!.area.id, {
              ...planOf(reckoned, typed, mix),
              ...(first && plans.length === 0 && { from: first.plan.id }),
            });
            await this.services.spraying.keepBrush(reckoned.brush);
            this.anew = false;
            // The button stood at the end of a long form; the first step stands at the top.
            this.scrollIntoView();
          })}
      ></lt-spray-form>
    `;
  }

  /** The same object while nothing it rests on changes: what is typed must not be lost. */
  #typed: { readonly key: string; readonly value: TypedPlan } | undefined;
  #begin({ brushes }: Opened, from: SprayPlan | undefined, mix: Attempt): TypedPlan {
    const key = `${mix.id} ${from?.id}`;
    if (this.#typed?.key !== key) {
      const own = this.#bench.value.readings.filter(({ attempt }) => attempt?.id === mix.id);
      const value = from ? startingFrom(from, own.length) : usualPlan(own.length);
      const brush = brushes[0];
      this.#typed = { key, value: from || !brush ? value : withBrush(value, brush) };
    }
    return this.#typed.value;
  }

  #work(opened: Opened, plan: SprayPlan) {
    const { place } = this.#bench.value;
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
                  <button @click=${() => (this.keeping = true)}>
                    Put what is left on the shelf
                  </button>
                </div>`
            : nothing
        }
      </section>
      <lt-spray-steps
        .plan=${plan}
        .hazards=${mix ? this.#hazards(mix) : []}
        .told=${this.#told(opened, plan)}
        .links=${{
          bind: [hashOf({ screen: 'bench' }), 'Read a dab'],
          thin: [hashOf({ screen: 'bench' }), 'Read a dab'],
          check: [hashOf({ screen: 'map' }), 'Take the blend map'],
        }}
        .clock=${this.#clock}
        @lt-step=${(e: CustomEvent<{ index: number; note: string }>) =>
          void this.#line.attempt(() => this.#done(opened, plan, e.detail.index, e.detail.note))}
        @lt-reopen=${(e: CustomEvent<{ index: number }>) =>
          void this.#line.attempt(async () => {
            await this.services.spraying.changePlan(plan.id, (now) =>
              withStepOpen(now, e.detail.index),
            );
          })}
      ></lt-spray-steps>
      <lt-take-jar
        .jar=${this.taking}
        .wanted=${wantedFor(plan)}
        .what=${place!.area.name}
        .plan=${plan.id}
        @lt-close=${() => (this.taking = undefined)}
        @lt-taken=${(e: CustomEvent<Done>) => {
          this.taking = undefined;
          this.#line.say(e.detail);
          void this.#load.run();
        }}
      ></lt-take-jar>
      ${
        mix
          ? html`<lt-keep-jar
              .open=${this.keeping}
              .mix=${mix}
              .label=${place!.area.name}
              .lab=${dabOf(this.#bench.value, mix)}
              .plan=${plan}
              @lt-close=${() => (this.keeping = false)}
              @lt-kept=${(e: CustomEvent<Done>) => {
                this.keeping = false;
                this.#line.say(e.detail);
              }}
            ></lt-keep-jar>`
          : nothing
      }
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
          html`<button @click=${() => (this.taking = jar)}>
            Take from ${jar.label}: ${formatGrams(leftIn(jar))} left, ΔE₀₀
            ${formatNumber(deltaE00, 1)}
          </button>`,
      )}
    </div>`;
  }

  /** What runs short, and what would be linked. */
  #told(opened: Opened, plan: SprayPlan): readonly string[] {
    const lines: string[] = [];
    const have = paintAtHand(plan);
    if (have < plan.range[0]) {
      lines.push(`Only ${formatGrams(have)} is at hand: not enough left to finish.`);
    }
    const index = nextStepOf(plan);
    if (plan.steps[index]?.kind === 'check' && !this.#newMap(opened, plan)) {
      lines.push('No blend map has been saved since the last step.');
    }
    const bound = plan.steps.find(({ kind }) => kind === 'bind')?.at;
    const { readings } = this.#bench.value;
    const isRead = readings.some(({ record }) => bound !== undefined && record.createdAt > bound);
    if (plan.steps[index]?.kind === 'thin' && !isRead) {
      lines.push('The bound paint has not been read: dab it, let it dry, read it before you thin.');
    }
    return lines;
  }

  #newMap({ maps }: Opened, plan: SprayPlan) {
    const since = plan.steps.map(({ at }) => at ?? '').reduce((a, b) => (a > b ? a : b), '');
    const taken = plan.steps.map(({ map }) => map);
    return maps.findLast(({ id, createdAt }) => createdAt > since && !taken.includes(id));
  }

  async #done(opened: Opened, plan: SprayPlan, index: number, note: string): Promise<void> {
    const { spraying, records, store } = this.services;
    const { palette, readings } = this.#bench.value;
    const { kind } = plan.steps[index]!;
    const at = spraying.now().toISOString();
    const reading = readings.findLast(({ record }) => record.createdAt > plan.createdAt);
    const map = kind === 'check' ? this.#newMap(opened, plan) : undefined;
    await spraying.changePlan(plan.id, (now) =>
      withStepDone(now, index, {
        at,
        note,
        ...(map && { map: map.id }),
        ...(reading && (kind === 'thin' || kind === 'card') && { reading: reading.record.id }),
      }),
    );
    if (kind !== 'bind') return;
    // What is dabbed from now on is the bound mix.
    const bound = await spraying.addBoundMix(plan, palette!.id, 'Bound for spraying.');
    await spraying.changePlan(plan.id, (now) => ({ ...now, attempt: bound.id }));
    const { area } = this.#bench.value.place!;
    store.set({ ...(await records.openArea(area.id)), nudge: EMPTY_NUDGE, held: undefined });
  }

  #lastReading(mix: Attempt) {
    return this.#bench.value.readings.findLast(({ attempt }) => attempt?.id === mix.id)?.record;
  }

  #hazards({ pot }: Attempt): readonly string[] {
    const pigments = this.#bench.value.palette?.pigments ?? [];
    return pigments.flatMap(({ id, colourIndex }) => {
      const hazard = (pot[id] ?? 0) > 0 ? hazardOf(colourIndex) : undefined;
      if (!hazard) return [];
      return `${pigmentName(id, pigments)} contains ${hazard.contains}: spraying it is advised against. Brush it on, or match without it.`;
    });
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

/** What is still missing, to a hundredth of a gram; nothing missing: the paint it takes. */
function wantedFor(plan: SprayPlan): number {
  const missing = Math.ceil(100 * (plan.paintGrams - paintAtHand(plan)) - 0.01) / 100;
  return missing > 0 ? missing : Number(plan.paintGrams.toFixed(2));
}

/** ΔE₀₀ up to which a jar may serve in place of the mix: what is acceptable on a piece (Paravina et al. 2015). */
const NEAR_ENOUGH = 1.8;

function opening() {
  return html`<p class="empty" role="status">Opening the plan.</p>`;
}

function planOf(reckoned: Reckoned, typed: TypedPlan, mix: Attempt) {
  const { batch, inputs, recipe, left, shape, areaCm2, brush, dryMinutes } = reckoned;
  const { coats, dryFilmMicrometres, volumeSolidsPercent, densityGramsPerMl } = inputs;
  return {
    attempt: mix.id,
    shape,
    unit: typed.unit,
    areaCm2,
    coats,
    dryFilmMicrometres,
    volumeSolidsPercent,
    densityGramsPerMl,
    transferPercent: inputs.transferPercent,
    deadMl: inputs.deadMl,
    mediumPercent: inputs.mediumPercent,
    dryMinutes,
    hollow: typed.hollow,
    brush,
    paintGrams: batch.paint,
    range: batch.range,
    pot: shareOf(recipe?.pot ?? left, batch.colour),
    mediumGrams: batch.medium,
    thinnerMl: batch.thinnerMl,
    roundingDeltaE00: recipe?.roundingDeltaE00 ?? 0,
    steps: stepsOf(coats, typed.hollow).map((step) => ({ ...step, note: '' })),
    note: '',
  } satisfies Partial<SprayPlan>;
}

/** As much of a pot as is taken out for the batch: all of it when it holds less. */
function shareOf(pot: PotGrams, grams: number): PotGrams {
  const mass = potMass(pot);
  const share = mass > grams ? grams / mass : 1;
  return Object.fromEntries(
    Object.entries(pot)
      .filter(([, one]) => one > 0)
      .map(([id, one]) => [id, one * share]),
  );
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-spray': SprayScreen;
  }
}
