/** The keyboard map, and the switch that turns single keys off (WCAG 2.1.4). Event: `lt-keys` {on}. */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';

export interface KeyOnShow {
  readonly shown: string;
  readonly what: string;
}

@customElement('lt-key-list')
export class KeyList extends LitElement {
  @property({ attribute: false }) keys: readonly KeyOnShow[] = [];
  @property({ type: Boolean }) on = true;

  static override styles = [
    base,
    controls,
    css`
      dl {
        display: grid;
        grid-template-columns: fit-content(34%) 1fr;
        gap: 8px 16px;
        align-items: start;
      }
      dt kbd {
        display: inline-block;
        font-size: 0.9375rem;
      }
      label {
        display: flex;
        align-items: center;
        gap: 12px;
        min-block-size: var(--touch);
        margin-block-start: 12px;
      }
      .pedal {
        margin-block-start: 8px;
        color: var(--ink-quiet);
      }
    `,
  ];

  override render() {
    return html`
      <dl>
        ${this.keys.map(
          (line) =>
            html`<dt><kbd>${line.shown}</kbd></dt>
              <dd>${line.what}</dd>`,
        )}
      </dl>
      <p class="pedal">
        A foot pedal is a keyboard: set it to Page Down, and one press does whatever comes next.
      </p>
      <label>
        <input
          type="checkbox"
          .checked=${this.on}
          @change=${(event: Event) =>
            this.dispatchEvent(
              new CustomEvent('lt-keys', {
                detail: { on: (event.currentTarget as HTMLInputElement).checked },
              }),
            )}
        />
        Single keys work on the bench
      </label>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-key-list': KeyList;
  }
}
