/** Lines under the head that stand until they are settled: a new version waits. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { BenchState } from '../state/bench-state.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import type { VersionState } from '../state/version.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-standing-lines')
export class StandingLines extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  /** What the person said Later to; it comes back with the next visit. */
  @state() private later: VersionState['update'] | undefined;

  #bench = new Select(
    this,
    () => this.services.store,
    ({ busy, held }: BenchState) => ({ inMidReading: !!busy || (!!held && !held.saved) }),
  );
  #version = new Select(
    this,
    () => this.services.version,
    ({ update }: VersionState) => ({ update }),
  );

  static override styles = [
    base,
    controls,
    css`
      .line {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        justify-content: flex-end;
        gap: 0 8px;
        padding: 2px 4px 2px 12px;
        border-block-start: 1px solid var(--rule);
        background: var(--control-deep);
        line-height: 1.25;
      }
      .line p {
        flex: 1 1 200px;
      }
      .line button {
        padding-inline: 10px;
      }
    `,
  ];

  override render() {
    return this.#update();
  }

  #update() {
    const { update } = this.#version.value;
    if (update === 'none' || update === 'taking' || update === this.later) return nothing;
    const { inMidReading } = this.#bench.value;
    const what =
      update === 'waiting'
        ? 'A new version is ready.'
        : 'Another window has taken a new version; this one still runs the old.';
    return html`<div class="line" role="status">
      <p>${what} ${inMidReading ? 'Save the reading first.' : nothing}</p>
      <button ?disabled=${inMidReading} @click=${() => this.services.version.take()}>
        ${update === 'waiting' ? 'Use it now' : 'Reload'}
      </button>
      <button class="plain" @click=${() => (this.later = update)}>Later</button>
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-standing-lines': StandingLines;
  }
}
