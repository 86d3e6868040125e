/**
 * Which of several photographs is on the bench, how far their opening is, and which cannot be read.
 * Events: `lt-step` {by}, `lt-cancel`, `lt-failed` to see why those.
 */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base, controls } from '../styles/shared.ts';
import { icons } from './icons.ts';

export interface PhotoOnRoll {
  readonly state: 'waiting' | 'opened' | 'failed';
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
        display: flex;
        flex: none;
        align-items: center;
        gap: 4px;
        padding: 2px 4px;
        background: var(--control-deep);
      }
      p {
        flex: 1;
        min-inline-size: 0;
        padding-inline: 4px;
        line-height: 1.2;
      }
      button {
        padding-inline: 10px;
        font-size: 0.9375rem;
        white-space: nowrap;
      }
    `,
  ];

  override render() {
    const { photos, at, opening } = this;
    if (photos.length === 0) return nothing;
    const failed = photos.filter(({ state }) => state === 'failed').length;
    return html`
      ${at === undefined ? nothing : this.#step(-1, this.hasPrevious)}
      <p role="status">
        ${
          opening
            ? `Opening ${this.#underWay()} of ${photos.length}`
            : at === undefined
              ? 'No photograph could be read.'
              : `Photograph ${at + 1} of ${photos.length}`
        }
      </p>
      ${
        failed > 0
          ? html`<button aria-haspopup="dialog" @click=${() => this.#say('lt-failed')}>
              ${failed} not read
            </button>`
          : nothing
      }
      ${opening ? html`<button @click=${() => this.#say('lt-cancel')}>Cancel</button>` : nothing}
      ${at === undefined ? nothing : this.#step(1, this.hasNext)}
    `;
  }

  #underWay(): number {
    return this.photos.filter(({ state }) => state !== 'waiting').length + 1;
  }

  #step(by: 1 | -1, isThere: boolean) {
    return html`<button
      aria-label="${by === 1 ? 'Next' : 'Previous'} photograph"
      ?disabled=${!isThere}
      @click=${() => this.#say('lt-step', { by })}
    >
      ${by === 1 ? icons.after : icons.before} <kbd>${by === 1 ? 'N' : 'B'}</kbd>
    </button>`;
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
