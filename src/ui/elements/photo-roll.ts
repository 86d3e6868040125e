/**
 * Which of several photographs is on the bench, how far their opening is, and which cannot be read.
 * Events: `lt-step` {by}, `lt-cancel`.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';

export interface PhotoOnRoll {
  readonly name: string;
  readonly state: 'waiting' | 'opened' | 'failed';
  readonly why: string | undefined;
}

@customElement('lt-photo-roll')
export class PhotoRollLine extends LitElement {
  @property({ attribute: false }) photos: readonly PhotoOnRoll[] = [];
  /** Which of them is shown. */
  @property({ attribute: false }) at: number | undefined;
  @property({ type: Boolean }) opening = false;
  @property({ type: Boolean }) hasPrevious = false;
  @property({ type: Boolean }) hasNext = false;

  static override styles = [
    base,
    controls,
    css`
      :host {
        display: block;
        background: var(--control-deep);
      }
      .line {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: 8px;
        padding: 2px 4px;
      }
      p {
        flex: 1;
        min-inline-size: 0;
        padding-inline: 8px;
        line-height: 1.2;
      }
      .which {
        text-align: center;
      }
      details {
        border-block-start: 1px solid var(--rule);
      }
      summary {
        display: flex;
        align-items: center;
        min-block-size: var(--touch);
        padding-inline: 12px;
        font-weight: 700;
        cursor: pointer;
      }
      ul {
        max-block-size: 30vh;
        margin: 0;
        padding: 0 12px 8px 28px;
        overflow: auto;
        overflow-wrap: anywhere;
      }
    `,
  ];

  override render() {
    const { photos, at } = this;
    if (photos.length === 0) return nothing;
    const waiting = photos.filter(({ state }) => state === 'waiting').length;
    const failed = photos.filter(({ state }) => state === 'failed');
    return html`
      ${at === undefined ? nothing : this.#steps(at)}
      ${
        this.opening
          ? html`<div class="line">
              <p role="status">Opening ${photos.length - waiting + 1} of ${photos.length}</p>
              <button @click=${() => this.#say('lt-cancel')}>Cancel</button>
            </div>`
          : nothing
      }
      ${
        failed.length > 0
          ? html`<details>
              <summary>${failed.length} of ${photos.length} could not be read</summary>
              <ul>
                ${failed.map(({ why }) => html`<li>${why}</li>`)}
              </ul>
            </details>`
          : nothing
      }
    `;
  }

  #steps(at: number) {
    return html`<div class="line" role="group" aria-label="Photographs">
      <button ?disabled=${!this.hasPrevious} @click=${() => this.#say('lt-step', { by: -1 })}>
        Previous<span class="unseen"> photograph</span>
      </button>
      <p class="which">Photograph ${at + 1} of ${this.photos.length}</p>
      <button ?disabled=${!this.hasNext} @click=${() => this.#say('lt-step', { by: 1 })}>
        Next<span class="unseen"> photograph</span>
      </button>
    </div>`;
  }

  #say(event: string, detail?: object): void {
    this.dispatchEvent(new CustomEvent(event, { detail }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-photo-roll': PhotoRollLine;
  }
}
