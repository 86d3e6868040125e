/** How long a coat must still dry, counted down: it alone is drawn anew each second. */
import { html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base } from '../styles/shared.ts';
import { formatExact } from './numbers.ts';

@customElement('lt-drying-clock')
export class DryingClock extends LitElement {
  /** What the coat is called. */
  @property() coat = '';
  /** When it was sprayed, ms since 1970. */
  @property({ type: Number }) since = 0;
  @property({ type: Number }) minutes = 0;
  /** What time it is, ms since 1970. */
  @property({ attribute: false }) clock: () => number = Date.now;
  #tick: ReturnType<typeof setInterval> | undefined;

  static override styles = [base];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), 1000);
  }
  override disconnectedCallback(): void {
    clearInterval(this.#tick);
    super.disconnectedCallback();
  }

  override render() {
    return html`<p role="timer">${this.#inWords()}</p>`;
  }

  #inWords(): string {
    const since = Math.max(0, this.clock() - this.since);
    const left = Math.ceil(60 * this.minutes - since / 1000);
    if (left <= 0) return `${this.coat} has dried for ${formatExact(this.minutes)} min.`;
    const seconds = String(left % 60).padStart(2, '0');
    return `${this.coat} dries: ${Math.floor(left / 60)}:${seconds} left.`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-drying-clock': DryingClock;
  }
}
