/**
 * What was deleted: brought back one by one, or all deleted for good. Events: `lt-done` {done} with its
 * undo, `lt-emptied`.
 */
import { consume } from '@lit/context';
import { css, html, LitElement } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { recordInWords, type AnyRecord } from '../../job/records.ts';
import { formatTime } from '../elements/numbers.ts';
import { faultInWords } from '../state/fault.ts';
import type { Done } from '../state/job-book.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-bin')
export class Bin extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) records: readonly AnyRecord[] = [];
  /** Asked once more before anything is deleted for good. */
  @state() private isAsked = false;
  @state() private fault = '';

  static override styles = [
    base,
    controls,
    css`
      ul {
        display: grid;
        gap: 12px;
      }
      li {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
      }
      .apart {
        display: grid;
        gap: 8px;
        margin-block-start: 20px;
        padding-block-start: 12px;
        border-block-start: 1px solid var(--rule);
      }
      .error:empty {
        display: none;
      }
    `,
  ];

  override render() {
    if (this.records.length === 0) return html`<p>Nothing lies here.</p>`;
    return html`<ul>
        ${this.records.map(
          (record) =>
            html`<li>
              <span>
                ${recordInWords(record)}<br />
                <span class="quiet">deleted ${formatTime(record.deletedAt!)}</span>
              </span>
              <button @click=${() => void this.#bringBack(record)}>Bring back</button>
            </li>`,
        )}
      </ul>
      <div class="apart">
        ${
          this.isAsked
            ? html`<p>
                  This cannot be undone. Readings and photographs of what is listed go with it; an
                  exported file keeps them.
                </p>
                <button @click=${() => void this.#empty()}>Yes, delete all of it for good</button>
                <button @click=${() => (this.isAsked = false)}>Keep it</button>`
            : html`<button @click=${() => (this.isAsked = true)}>
                Delete for good, to free space
              </button>`
        }
      </div>
      <p class="error" role="alert">${this.fault}</p>`;
  }

  async #bringBack(record: AnyRecord): Promise<void> {
    const { book } = this.services;
    await this.#attempt(async () => {
      await book.restore(record.id);
      const done: Done = {
        text: `Brought back: ${recordInWords(record)}.`,
        undo: async () => {
          await book.remove(record);
        },
      };
      this.dispatchEvent(new CustomEvent('lt-done', { detail: { done } }));
    });
  }

  async #empty(): Promise<void> {
    await this.#attempt(async () => {
      await this.services.book.emptyBin();
      this.dispatchEvent(new CustomEvent('lt-emptied'));
    });
  }

  async #attempt(work: () => Promise<void>): Promise<void> {
    this.fault = '';
    try {
      await work();
    } catch (error) {
      this.fault = faultInWords(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-bin': Bin;
  }
}
