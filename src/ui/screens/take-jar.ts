/** Takes some paint from a jar on the shelf. Events: `lt-taken` {text, undo}, `lt-close`. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import { leftIn, takeFault, type Jar } from '../../job/jar.ts';
import { typedIn } from '../../paint/spray/measure.ts';
import { formatExact, formatGrams } from '../elements/numbers.ts';
import '../elements/sheet.ts';
import { typedField } from '../elements/typed-number.ts';
import { faultInWords } from '../state/fault.ts';
import { OnePress } from '../state/one-press.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-take-jar')
export class TakeJar extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  /** The jar it is taken from; absent: closed. */
  @property({ attribute: false }) jar: Jar | undefined;
  /** What is wanted, g; no more than is left is proposed. */
  @property({ type: Number }) wanted = 0;
  @property() what = '';
  /** The plan it is taken for, when it is. */
  @property({ attribute: false }) plan: Id<'plan'> | undefined;
  @state() private fault = '';
  readonly #press = new OnePress();

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
      }
    `,
  ];

  override render() {
    const { jar } = this;
    if (!jar) return nothing;
    const left = leftIn(jar);
    const proposed = this.wanted > 0 ? formatExact(Math.min(left, this.wanted)) : '';
    return html`<lt-sheet
      heading="Take paint from ${jar.label}"
      asks
      open
      @lt-close=${() => this.dispatchEvent(new CustomEvent('lt-close'))}
    >
      <form novalidate @submit=${(event: SubmitEvent) => this.#submit(event, jar)}>
        <p>${formatGrams(left)} are left. Stir it, and read a dab before you rely on its colour.</p>
        <label>Paint taken, g <input name="grams" autocomplete="off" .value=${proposed} /></label>
        <label>For <input name="what" maxlength="120" .value=${this.what} /></label>
        <p role="alert">${this.fault}</p>
        <button class="next">Take it</button>
      </form>
    </lt-sheet>`;
  }

  #submit(event: SubmitEvent, jar: Jar): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const grams = typedIn('g', typedField(form, 'grams'));
    const why = grams.ok ? takeFault(jar, grams.value) : grams.message;
    this.fault = why === undefined ? '' : `Paint taken: ${why}.`;
    if (why !== undefined || !grams.ok) return;
    void this.#press.begin(() => this.#take(jar, grams.value, typedField(form, 'what')));
  }

  async #take(jar: Jar, grams: number, what: string): Promise<void> {
    try {
      const { left, undo } = await this.services.spraying.takeFromJar(jar, grams, what, this.plan);
      const text = `${formatGrams(grams)} taken from ${jar.label}; ${formatGrams(left)} are left.`;
      this.dispatchEvent(new CustomEvent('lt-taken', { detail: { text, undo } }));
    } catch (error) {
      this.fault = faultInWords(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-take-jar': TakeJar;
  }
}
