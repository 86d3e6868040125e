/** Lines under the head that stand until they are settled: what is not kept, little room, a new version. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { isReadingUnsaved, type BenchState } from '../state/bench-state.ts';
import { formatNumber } from '../elements/numbers.ts';
import { askBeforeLeaving } from '../state/leaving.ts';
import { download } from '../state/download.ts';
import { unkeptInWords, type SafekeepingState } from '../state/safekeeping.ts';
import { servicesContext, type Services } from '../state/services.ts';
import type { AsideState, Keeping } from '../state/set-aside.ts';
import { Select } from '../state/store.ts';
import type { VersionState } from '../state/version.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-standing-lines')
export class StandingLines extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  /** What the person said Later to; it comes back with the next visit. */
  @state() private later: ReadonlySet<string> = new Set();
  @state() private handedOut = false;
  @state() private why = '';

  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => ({ inMidReading: !!now.busy || isReadingUnsaved(now) }),
  );
  #aside = new Select(
    this,
    () => this.services.session.readings.aside,
    (now: AsideState) => now,
  );
  #safekeeping = new Select(
    this,
    () => this.services.safekeeping,
    (now: SafekeepingState) => now,
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
        flex: 1 1 140px;
      }
      .line button {
        padding-inline: 10px;
      }
      .grave {
        border-block-start: 3px solid var(--ink);
      }
      .grave p {
        font-weight: 700;
      }
    `,
  ];

  constructor() {
    super();
    askBeforeLeaving(this, () => {
      const { store, safekeeping, session, drafts } = this.services;
      return (
        isReadingUnsaved(store.state) ||
        session.readings.aside.state.readings.length > 0 ||
        safekeeping.state.unkept.length > 0 ||
        drafts.isUnkept
      );
    });
  }

  override render() {
    return html`${this.#unkept()} ${this.#unsaved()} ${this.#room()} ${this.#update()}`;
  }

  /** Something took their place on the bench. */
  #unsaved() {
    const { session } = this.services;
    // What the database would not take stands above already.
    const unkept = this.#safekeeping.value.unkept.map(({ record }) => record.createdAt);
    const readings = this.#aside.value.readings.filter(({ held }) => !unkept.includes(held.at));
    if (readings.length === 0) return nothing;
    const it = readings.length === 1 ? 'it' : 'them';
    return html`<div class="line grave" role="status">
      <p>Not saved: ${inWords(readings)}.</p>
      <button @click=${() => void session.saveAside()}>Save ${it}</button>
      <button
        class="plain"
        @click=${() => session.readings.aside.letGo(readings.map(({ held }) => held.at))}
      >
        Let ${it} go
      </button>
    </div>`;
  }

  #unkept() {
    const { unkept } = this.#safekeeping.value;
    if (unkept.length === 0) return nothing;
    return html`<div class="line grave" role="alert">
      <p>
        Not kept: ${unkeptInWords(unkept)}. Held in this window until it is closed.
        ${this.handedOut ? 'Handed out as a file.' : nothing} ${this.why}
      </p>
      <button @click=${() => void this.#tryAgain()}>Try again</button>
      <button @click=${() => void this.#handOut()}>Save as a file</button>
      ${
        this.handedOut
          ? html`<button class="plain" @click=${() => this.#letGo()}>Let it go</button>`
          : nothing
      }
    </div>`;
  }

  #room() {
    const { warning } = this.#safekeeping.value;
    if (!warning || this.later.has('room')) return nothing;
    return html`<div class="line" role="status">
      <p>${warning}</p>
      <a class="button" href="#/jobs">Jobs</a>
      <button class="plain" @click=${() => this.#putOff('room')}>Later</button>
    </div>`;
  }

  #update() {
    const { update } = this.#version.value;
    if (update === 'none' || update === 'taking' || this.later.has(update)) return nothing;
    const inMidReading = this.#bench.value.inMidReading || this.#aside.value.readings.length > 0;
    const what =
      update === 'waiting'
        ? 'A new version is ready.'
        : 'Another window has taken a new version; this one still runs the old.';
    return html`<div class="line" role="status">
      <p>${what} ${inMidReading ? 'Save the reading first.' : nothing}</p>
      <button ?disabled=${inMidReading} @click=${() => void this.services.version.take()}>
        ${update === 'waiting' ? 'Use it now' : 'Reload'}
      </button>
      <button class="plain" @click=${() => this.#putOff(update)}>Later</button>
    </div>`;
  }

  async #tryAgain(): Promise<void> {
    const { safekeeping, session, store } = this.services;
    const { kept, message } = await safekeeping.tryAgain();
    session.readings.aside.letGo(kept.map(({ createdAt }) => createdAt));
    this.why = message ?? '';
    const { held } = store.state;
    const saved = kept.find((one) => one.kind === 'reading' && one.createdAt === held?.at);
    if (held && saved?.kind === 'reading') store.set({ held: { ...held, saved: saved.id } });
    if (!message) store.set({ trouble: undefined });
  }

  async #handOut(): Promise<void> {
    const { place, palette, mixes } = this.services.store.state;
    const known = [place?.job, place?.piece, place?.area, palette, ...mixes];
    download(await this.services.safekeeping.file(known.filter((one) => one !== undefined)));
    this.handedOut = true;
  }

  #letGo(): void {
    const { safekeeping, session } = this.services;
    this.handedOut = false;
    session.readings.aside.letGo(safekeeping.state.unkept.map(({ record }) => record.createdAt));
    safekeeping.letGo();
  }

  #putOff(what: string): void {
    this.later = new Set([...this.later, what]);
  }
}

/** "ΔE₀₀ 2.3 of rim", "3 readings": a line, however many wait. */
function inWords(readings: readonly Keeping[]): string {
  const [first, ...others] = readings;
  if (!first || others.length > 0) return `${readings.length} readings`;
  return `ΔE₀₀ ${formatNumber(first.held.result.difference.deltaE00, 1)} of ${first.area.name}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-standing-lines': StandingLines;
  }
}
