/**
 * The order of work as a list to tick, with the one next step large. Events: `lt-step` {index, note},
 * `lt-reopen` {index}.
 */
import { css, html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { nextStepOf, type PlanStep, type SprayPlan } from '../../job/spray-plan.ts';
import { guideFor } from '../../paint/spray/guide.ts';
import { SIGNS } from '../../paint/spray/thinning.ts';
import { stepName, stepText } from '../state/spray-words.ts';
import { base, controls } from '../styles/shared.ts';
import { checkIcon, icons } from './icons.ts';
import './drying-clock.ts';
import { formatExact, formatTime } from './numbers.ts';

/** Which cautions stand at which step. */
const CAUTIONS: Readonly<Partial<Record<PlanStep['kind'], readonly string[]>>> = {
  bind: ['Reversible media only, and on the fill only.'],
  thin: [
    'Data sheets, local codes and licensed practice come first.',
    'Solvent: ventilate, keep flames and sparks away, wear the gloves the data sheet names. Never suck or point a brush with the lips.',
  ],
  card: ['Mist harms: spray only under extraction and with a fitted respirator.'],
  mist: ['Extraction on, respirator fitted, skin covered.'],
  clean: [
    'Clean under extraction, gloves on. Rags and rinsings go by your local rules, none down the drain.',
    'Restored ware is not for food or drink: tell the owner, and write it down.',
  ],
};
/** Steps at which paint is in the air. */
const SPRAYED: ReadonlySet<PlanStep['kind']> = new Set(['card', 'mist', 'coat']);

@customElement('lt-spray-steps')
export class SpraySteps extends LitElement {
  @property({ attribute: false }) plan!: SprayPlan;
  /** Pigments of the mix that are advised against for spraying, a line for each. */
  @property({ attribute: false }) hazards: readonly string[] = [];
  /** What the work can be taken from here to: links, by kind of step. */
  @property({ attribute: false }) links: Readonly<
    Record<string, readonly [href: string, name: string]>
  > = {};
  /** What is told at the next step: a reading to attach, paint that runs short. */
  @property({ attribute: false }) told: readonly string[] = [];
  /** What time it is, ms since 1970. */
  @property({ attribute: false }) clock: () => number = Date.now;
  @query('input[name=note]') private note!: HTMLInputElement | null;
  @state() private signs = false;

  static override styles = [
    base,
    controls,
    css`
      :host {
        display: grid;
        gap: 8px;
      }
      .now {
        display: grid;
        gap: 12px;
        padding: 16px;
        background: var(--control);
      }
      h3 {
        font-size: 1.5rem;
        line-height: 1.2;
      }
      .text {
        max-inline-size: 62ch;
        font-size: 1.125rem;
        line-height: 1.4;
      }
      .big {
        min-block-size: 64px;
        font-size: 1.25rem;
      }
      .note {
        display: flex;
        gap: 6px;
      }
      .note svg {
        flex: none;
      }
      .start {
        justify-self: start;
      }
      ol {
        padding: 8px 16px;
        background: var(--control);
      }
      ol > li {
        display: grid;
        grid-template-columns: 26px minmax(0, 1fr) auto;
        gap: 10px;
        align-items: center;
        min-block-size: var(--touch);
        border-block-end: 1px solid var(--rule);
      }
      li:last-child {
        border: 0;
      }
      li[aria-current] {
        font-weight: 700;
      }
      .quiet,
      .on-paper {
        font-weight: 400;
      }
      table {
        border-collapse: collapse;
        font-size: 0.9375rem;
        line-height: 1.3;
      }
      td,
      th {
        padding: 6px 10px 6px 0;
        border-block-end: 1px solid var(--rule);
        text-align: start;
        vertical-align: top;
      }
      @media print {
        .now,
        li button {
          display: none;
        }
        ol {
          padding: 0;
        }
        ol > li {
          align-items: start;
          min-block-size: 0;
          padding-block: 6px;
          break-inside: avoid;
        }
      }
    `,
  ];

  override render() {
    const next = nextStepOf(this.plan);
    return html`${next === -1 ? nothing : this.#now(next)}
      <ol aria-label="Order of work">
        ${this.plan.steps.map((step, index) => {
          const said = [
            step.at ? formatTime(step.at) : '',
            step.map ? 'blend map taken' : '',
            step.reading ? 'dab read' : '',
            step.note,
          ].filter((part) => part !== '');
          return html`<li aria-current=${index === next ? 'step' : nothing}>
            ${checkIcon(step.at ? 'good' : 'wait')}
            <span>
              ${stepName(step)}${step.at ? html`<span class="unseen">, done</span>` : nothing}
              ${said.length > 0 ? html`<br /><span class="quiet">${said.join(', ')}</span>` : nothing}
              <span class="on-paper">
                ${[stepText(step, this.plan), ...this.#cautions(step)].join(' ')}
              </span>
            </span>
            ${
              step.at
                ? html`<button
                    class="plain"
                    aria-label="Not done yet: ${stepName(step)}"
                    @click=${single(() => this.#say('lt-reopen', { index }))}
                  >
                    ${icons.undo}
                  </button>`
                : nothing
            }
          </li>`;
        })}
      </ol>`;
  }

  /** The button that was pressed stands low: the step that follows is shown from its heading on. */
  protected override updated(changed: PropertyValues<this>): void {
    const before = changed.get('plan');
    if (!before || nextStepOf(before) === nextStepOf(this.plan)) return;
    this.renderRoot.querySelector('.now')?.scrollIntoView({ block: 'nearest' });
  }

  #now(index: number) {
    const step = this.plan.steps[index]!;
    const isSpray = SPRAYED.has(step.kind);
    const cautions = this.#cautions(step);
    const link = this.links[step.kind];
    const drying = this.#drying(index);
    return html`<section class="now" aria-labelledby="step">
      <h3 id="step">${stepName(step)}</h3>
      <p class="text">${stepText(step, this.plan)}</p>
      ${isSpray ? this.#guide() : nothing}
      ${
        drying
          ? html`<lt-drying-clock
              class="text"
              .coat=${stepName(drying)}
              .since=${Date.parse(drying.at)}
              .minutes=${this.plan.dryMinutes}
              .clock=${this.clock}
            ></lt-drying-clock>`
          : nothing
      }
      ${this.told.map((line) => html`<p class="note">${icons.caution}<span>${line}</span></p>`)}
      ${cautions.map((line) => html`<p class="note">${icons.caution}<span>${line}</span></p>`)}
      ${
        step.kind === 'thin' || isSpray
          ? html`<button aria-expanded=${this.signs} @click=${() => (this.signs = !this.signs)}>
                Signs of too thick, too thin
              </button>
              ${this.signs ? signsTable() : nothing}`
          : nothing
      }
      <label>
        Note, if there is one
        <input name="note" autocomplete="off" maxlength="500" />
      </label>
      ${link ? html`<a class="button start" href=${link[0]}>${link[1]}</a>` : nothing}
      <button class="next big" @click=${single(() => this.#done(index))}>
        Done: ${stepName(step)}
      </button>
    </section>`;
  }

  #cautions({ kind }: PlanStep): readonly string[] {
    const isPainted = SPRAYED.has(kind) || kind === 'bind';
    return [...(CAUTIONS[kind] ?? []), ...(isPainted ? this.hazards : [])];
  }

  #guide() {
    const { nozzleMm, name } = this.plan.brush;
    const guide = guideFor(nozzleMm);
    if (!guide) return nothing;
    const [low, high] = guide.pressureBar.map(formatExact);
    const [near, far] = guide.distanceMm.map(formatExact);
    return html`<p class="quiet">
      ${name}, ${formatExact(nozzleMm)} mm: common practice, no source, is ${low} to ${high} bar
      from ${near} to ${far} mm.
    </p>`;
  }

  /** The coat before, that must dry first. */
  #drying(index: number) {
    const { steps } = this.plan;
    if (steps[index]!.kind !== 'coat' && steps[index]!.kind !== 'check') return undefined;
    const last = steps
      .slice(0, index)
      .findLast(({ kind, at }) => at !== undefined && (kind === 'mist' || kind === 'coat'));
    return last?.at === undefined ? undefined : { ...last, at: last.at };
  }

  #done(index: number): void {
    const note = this.note?.value.trim() ?? '';
    if (this.note) this.note.value = '';
    this.#say('lt-step', { index, note });
  }

  #say(name: string, detail: object): void {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

/** A press, but not the second of a double tap: that was meant for the step that stood here before. */
const single =
  (press: () => void) =>
  ({ detail }: MouseEvent) => {
    if (detail < 2) press();
  };

function signsTable() {
  return html`<table>
    <thead>
      <tr>
        <th scope="col">Seen</th>
        <th scope="col">It is</th>
        <th scope="col">Do</th>
      </tr>
    </thead>
    <tbody>
      ${SIGNS.map(
        ({ sign, fault, correction }) =>
          html`<tr>
            <td>${sign}</td>
            <td>${fault}</td>
            <td>${correction}</td>
          </tr>`,
      )}
    </tbody>
  </table>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-spray-steps': SpraySteps;
  }
}
