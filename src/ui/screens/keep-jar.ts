/** Puts what is left of a mix into a jar on the shelf. Events: `lt-kept` {text, undo}, `lt-close`. */
import { consume } from '@lit/context';
import { css, html, LitElement } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LabD65 } from '../../colour/spaces.ts';
import { parentOf } from '../../job/ids.ts';
import type { Attempt, Palette } from '../../job/records.ts';
import { solverPalette } from '../../job/solver-palette.ts';
import type { SprayPlan } from '../../job/spray-plan.ts';
import { predictMix } from '../../paint/predict.ts';
import { keepsForDays } from '../../paint/spray/leftovers.ts';
import { typedIn } from '../../paint/spray/measure.ts';
import '../elements/sheet.ts';
import { typedField } from '../elements/typed-number.ts';
import { faultInWords } from '../state/fault.ts';
import { OnePress } from '../state/one-press.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-keep-jar')
export class KeepJar extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ type: Boolean }) open = false;
  @property({ attribute: false }) mix!: Attempt;
  @property() label = '';
  /** Its dab as read; without one the paint model tells the colour. */
  @property({ attribute: false }) lab: LabD65 | undefined;
  /** The plan it was sprayed by, when it was. */
  @property({ attribute: false }) plan: SprayPlan | undefined;
  @state() private fault = '';
  @state() private thinned = false;
  @state() private days: string | undefined;
  readonly #press = new OnePress();

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
      }
      .check {
        display: flex;
        align-items: center;
        gap: 10px;
        min-block-size: var(--touch);
      }
      .hint {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
    `,
  ];

  override render() {
    const thinner = this.plan?.brush.thinner ?? 'water';
    return html`<lt-sheet
      heading="Put what is left on the shelf"
      asks
      ?open=${this.open}
      @lt-close=${() => this.dispatchEvent(new CustomEvent('lt-close'))}
    >
      <form novalidate @submit=${this.#submit}>
        <label>Label <input name="label" .value=${this.label} maxlength="80" /></label>
        <label>Paint in the jar, g <input name="grams" autocomplete="off" /></label>
        <label class="check">
          <input
            type="checkbox"
            .checked=${this.thinned}
            @change=${(e: Event) => (this.thinned = (e.target as HTMLInputElement).checked)}
          />
          bound and thinned already
        </label>
        <label>
          Expected to keep, days
          <input
            name="days"
            autocomplete="off"
            .value=${this.days ?? String(keepsForDays(thinner, this.thinned))}
            @input=${(e: Event) => (this.days = (e.target as HTMLInputElement).value)}
          />
        </label>
        <p class="hint">
          Common practice, no source: thinned paint spoils or skins over in days, unthinned in
          weeks. Close the jar well.
        </p>
        <p role="alert">${this.fault}</p>
        <button class="next">Keep the jar</button>
      </form>
    </lt-sheet>`;
  }

  #submit = (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const label = typedField(form, 'label');
    const grams = typedIn('g', typedField(form, 'grams'));
    const days = typedIn('', typedField(form, 'days'));
    this.fault =
      label === ''
        ? 'Label: give the jar a name.'
        : !grams.ok
          ? `Paint in the jar: ${grams.message}.`
          : !(grams.value > 0 && grams.value <= 10_000)
            ? 'Paint in the jar: must be more than 0 g.'
            : !days.ok
              ? `Days: ${days.message}.`
              : !(days.value >= 0 && days.value <= 3650)
                ? 'Days: must be from 0 to 3650.'
                : '';
    if (this.fault !== '' || !grams.ok || !days.ok) return;
    void this.#press.begin(() => this.#keep(label, grams.value, days.value));
  };

  async #keep(label: string, grams: number, days: number): Promise<void> {
    try {
      const { spraying, store } = this.services;
      const lab = this.lab ?? colourOf(this.mix, store.state.palette);
      if (!lab) throw new Error('The colour of this mix is not known: read a dab of it first.');
      const jar = await spraying.addJar(parentOf(this.mix.id), {
        label,
        attempt: this.mix.id,
        palette: this.mix.palette,
        pot: this.mix.pot,
        lab,
        grams,
        mediumPercent: this.thinned ? (this.plan?.mediumPercent ?? 0) : 0,
        thinned: this.thinned,
        thinner: this.plan?.brush.thinner ?? 'water',
        goodUntil: new Date(spraying.now().getTime() + days * 86_400_000).toISOString(),
        note: this.lab ? '' : 'Colour reckoned, not read.',
      });
      const undo = async () => {
        await spraying.remove(jar.id);
      };
      const detail = { text: `${label} is on the shelf.`, undo };
      this.dispatchEvent(new CustomEvent('lt-kept', { detail }));
    } catch (error) {
      this.fault = faultInWords(error);
    }
  }
}

function colourOf({ pot }: Attempt, palette: Palette | undefined): LabD65 | undefined {
  const solver = palette ? solverPalette(palette, pot) : [];
  const used = Object.entries(pot).filter(([, grams]) => grams > 0);
  const isKnown = used.every(([id]) => solver.some((one) => one.id === id));
  return isKnown && used.length > 0 ? predictMix(solver, Object.fromEntries(used)) : undefined;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-keep-jar': KeepJar;
  }
}
