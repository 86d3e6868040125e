/** What a job's file would change, said before it does. Events: `lt-taken`, `lt-close`. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import '../elements/sheet.ts';
import { faultInWords } from '../state/fault.ts';
import type { HandOver } from '../state/hand-over.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base, controls } from '../styles/shared.ts';

export type FileOnOffer = Awaited<ReturnType<HandOver['plan']>>;

/** More lines than this help nobody. */
const MOST_FAULTS = 12;

@customElement('lt-import-sheet')
export class ImportSheet extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) offer: FileOnOffer | undefined;
  @state() private error = '';
  @state() private busy = false;

  static override styles = [
    base,
    controls,
    css`
      li {
        margin-block-end: 8px;
        overflow-wrap: anywhere;
      }
      button {
        inline-size: 100%;
        margin-block-start: 8px;
      }
    `,
  ];

  protected override willUpdate(changed: Map<string, unknown>): void {
    if (changed.has('offer')) this.error = '';
  }

  override render() {
    const { offer } = this;
    return html`<lt-sheet
      heading=${offer?.ok === false ? 'This file cannot be taken in' : 'What this file would change'}
      ?open=${offer !== undefined}
      @lt-close=${() => this.#close()}
    >
      ${offer?.ok === false ? this.#faults(offer.faults) : nothing}
      ${offer?.ok === true ? this.#plan(offer) : nothing}
    </lt-sheet>`;
  }

  #faults(faults: readonly string[]) {
    const more = faults.length - MOST_FAULTS;
    return html`<ul>
        ${faults.slice(0, MOST_FAULTS).map((fault) => html`<li>${fault}</li>`)}
      </ul>
      ${more > 0 ? html`<p>And ${more} more.</p>` : nothing}
      <p>Nothing was changed.</p>`;
  }

  #plan({ plan, bundle }: FileOnOffer & { ok: true }) {
    const { handOver } = this.services;
    const differs = plan.differ.length > 0;
    const isHere = differs || plan.identical.some(({ record }) => record.kind === 'job');
    const button = (name: string, work: () => Promise<void>, kind = '') =>
      html`<button class=${kind} ?disabled=${this.busy} @click=${() => void this.#take(work)}>
        ${name}
      </button>`;
    return html`<ul>
        ${plan.lines.map((line) => html`<li>${line}</li>`)}
      </ul>
      <p role="alert">${this.error}</p>
      ${
        plan.add.length > 0 || !isHere
          ? button(
              differs ? 'Take it in, keep what is here' : 'Take it in',
              () => handOver.takeIn(plan, false),
              'next',
            )
          : nothing
      }
      ${differs ? button('Take it in, replace what differs', () => handOver.takeIn(plan, true)) : nothing}
      ${isHere ? button('Take it in as a copy beside it', () => handOver.takeInAsCopy(bundle)) : nothing}
      <button class="plain" @click=${() => this.#close()}>Leave everything as it is</button>`;
  }

  async #take(work: () => Promise<void>): Promise<void> {
    this.busy = true;
    try {
      await work();
      this.dispatchEvent(new CustomEvent('lt-taken'));
      this.#close();
    } catch (error) {
      this.error = faultInWords(error);
    }
    this.busy = false;
  }

  #close(): void {
    this.dispatchEvent(new CustomEvent('lt-close'));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-import-sheet': ImportSheet;
  }
}
