/**
 * Keys and pedals of one's own: press Learn, then the pedal. Event: `lt-assign` {own}, with the keys of
 * every action.
 */
import { css, html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';

export interface ActionOnShow {
  readonly action: string;
  readonly what: string;
}

@customElement('lt-pedals')
export class Pedals extends LitElement {
  @property({ attribute: false }) actions: readonly ActionOnShow[] = [];
  /** Assigned keys by action. */
  @property({ attribute: false }) own: Readonly<Record<string, readonly string[]>> = {};
  /** A pressed key as it is kept; undefined when it may not be assigned. */
  @property({ attribute: false }) assignable: (key: string) => string | undefined = (key) => key;
  @state() private learning: string | undefined;
  @state() private said = '';
  /** The key that was pressed, until it comes back among the kept ones. */
  #pressedKey: { readonly action: string; readonly key: string } | undefined;

  static override styles = [
    base,
    controls,
    css`
      h3 {
        margin-block: 20px 4px;
        font-size: 1rem;
      }
      li {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        align-items: center;
        gap: 4px 8px;
        padding-block: 4px;
        border-block-end: 1px solid var(--rule);
      }
      .both {
        flex-wrap: nowrap;
        gap: 4px;
      }
      kbd {
        display: inline-block;
      }
      .said {
        min-block-size: 1.5em;
        margin-block-start: 8px;
        font-weight: 700;
      }
    `,
  ];

  override disconnectedCallback(): void {
    this.#stop();
    super.disconnectedCallback();
  }

  override willUpdate(changed: PropertyValues<this>): void {
    const pressed = this.#pressedKey;
    if (!changed.has('own') || !pressed) return;
    if (!this.own[pressed.action]?.includes(pressed.key)) return;
    this.said = `Learned: ${pressed.key}.`;
    this.#pressedKey = undefined;
  }

  override render() {
    return html`<h3>Pedals and keys of your own</h3>
      <ul>
        ${this.actions.map(({ action, what }) => {
          const keys = this.own[action] ?? [];
          return html`<li>
            <span>${what} ${keys.map((key) => html`<kbd>${key}</kbd> `)}</span>
            <span class="both">
              <button
                aria-pressed=${this.learning === action}
                aria-label="Learn a key for: ${what}"
                @click=${() => this.#learn(action)}
              >
                Learn
              </button>
              ${
                keys.length > 0
                  ? html`<button
                      aria-label="Forget the keys for: ${what}"
                      @click=${() => this.#assign(action, undefined)}
                    >
                      Forget
                    </button>`
                  : nothing
              }
            </span>
          </li>`;
        })}
      </ul>
      <p class="said" role="status">${this.said}</p>`;
  }

  #learn(action: string): void {
    this.learning = action;
    this.said = 'Press the pedal or the key now. Esc leaves it as it is.';
    window.addEventListener('keydown', this.#pressed, { capture: true });
  }

  #stop(): void {
    this.learning = undefined;
    window.removeEventListener('keydown', this.#pressed, { capture: true });
  }

  #pressed = (event: KeyboardEvent) => {
    event.preventDefault();
    event.stopPropagation();
    if (event.repeat) return;
    const { learning } = this;
    if (event.key === 'Escape' || learning === undefined) {
      this.said = '';
      this.#stop();
      return;
    }
    const key = this.assignable(event.key);
    if (key === undefined) {
      this.said = 'That key works the page itself. Press another.';
      return;
    }
    this.#stop();
    this.said = `Keeping ${key}.`;
    this.#pressedKey = { action: learning, key };
    this.#assign(learning, key);
  };

  /** A key does one thing only: what it did before is forgotten. */
  #assign(action: string, key: string | undefined): void {
    const own: Record<string, readonly string[]> = {};
    for (const [name, keys] of Object.entries(this.own)) {
      const kept = keys.filter((one) => one !== key);
      if (name !== action && kept.length > 0) own[name] = kept;
    }
    if (key) own[action] = [key];
    this.dispatchEvent(new CustomEvent('lt-assign', { detail: { own } }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-pedals': Pedals;
  }
}
