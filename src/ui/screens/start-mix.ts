/** The sheet that reckons what to start a new mix with, and states it as the pot. Event: `lt-close`. */
import { consume } from '@lit/context';
import { html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LabD65 } from '../../colour/spaces.ts';
import type { PotGrams } from '../../paint/types.ts';
import '../elements/first-mix-form.ts';
import '../elements/sheet.ts';
import type { BenchState } from '../state/bench-state.ts';
import { faultInWords } from '../state/fault.ts';
import { glazeOf } from '../state/glaze.ts';
import type { FirstMix } from '../state/mixing.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base } from '../styles/shared.ts';

@customElement('lt-start-mix')
export class StartMix extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) open = false;
  @property({ attribute: false }) bench!: BenchState;
  @state() private recipe: FirstMix | undefined;
  @state() private reckoning = false;

  static override styles = base;

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('open') && this.open) this.recipe = undefined;
  }

  override render() {
    return html`<lt-sheet
      heading="Start a new mix"
      asks
      ?open=${this.open}
      @lt-close=${() => this.#close()}
    >
      ${this.open ? this.#form() : nothing}
    </lt-sheet>`;
  }

  #form() {
    const { recipe } = this;
    const { pigments, doseUnits } = this.bench.palette!;
    const glaze = glazeOf(this.bench);
    return html`<lt-first-mix
      .glaze=${glaze}
      .pigments=${pigments.filter(({ putAway }) => !putAway)}
      .doseUnits=${doseUnits}
      .recipe=${recipe?.ok ? recipe.recipe : undefined}
      .reason=${recipe?.ok ? (recipe.reason ?? '') : ''}
      .fault=${recipe && !recipe.ok ? recipe.error : ''}
      .busy=${this.reckoning}
      @lt-wanted=${(e: CustomEvent<{ grams: number }>) => void this.#reckon(glaze!, e.detail.grams)}
      @lt-amounts=${(e: CustomEvent<{ grams: PotGrams }>) => {
        this.#close();
        void this.services.session.statePot(e.detail.grams);
      }}
    ></lt-first-mix>`;
  }

  async #reckon(glaze: LabD65, grams: number): Promise<void> {
    this.reckoning = true;
    try {
      this.recipe = await this.services.session.mixing.firstMix(glaze, grams);
    } catch (error) {
      const why = faultInWords(error);
      this.recipe = { ok: false, error: why };
    }
    this.reckoning = false;
  }

  #close(): void {
    this.dispatchEvent(new CustomEvent('lt-close'));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-start-mix': StartMix;
  }
}
