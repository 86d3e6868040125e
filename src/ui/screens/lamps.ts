/** The lamps of the studio: named, looked at, and the same dab under two of them. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import {
  lampsOf,
  usingLamp,
  withLamp,
  withoutLamp,
  type Lamp,
  type LampEstimate,
  type NamedLamp,
} from '../../job/lamps.ts';
import { lampPairs } from '../../job/lamp-pairs.ts';
import { profileInUse } from '../../job/camera-profiles.ts';
import type { Settings } from '../../job/settings.ts';
import type { EvennessMap } from '../../reading/lamp-check.ts';
import type { CameraProfile } from '../../reading/profile/profile.ts';
import { driftInWords } from '../../reading/drift.ts';
import { KIND_NAMES } from '../elements/lamp-form.ts';
import '../elements/lamp-look.ts';
import '../elements/lamp-pairs.ts';
import { formatDay, formatNumber } from '../elements/numbers.ts';
import type { BenchState } from '../state/bench-state.ts';
import { faultInWords } from '../state/fault.ts';
import { lookAtEvenness, lookAtLamp, type LampLook } from '../state/lamp-look.ts';
import { lampInUse, readingSettings } from '../state/reading-settings.ts';
import { servicesContext, type Services } from '../state/services.ts';
import type { Shown } from '../state/shown-picture.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { feedStyles, feedView } from './feed-view.ts';

/** Which lamp's form is open: a name, a new one, or none. */
type Editing = { readonly name: string | undefined } | undefined;

@customElement('lt-lamps')
export class LampsScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private editing: Editing;
  @state() private said = '';
  @state() private look: LampLook | undefined;
  @state() private evenness: EvennessMap | undefined;
  @state() private looking = false;
  @query('video, img') private picture!: Shown | null;

  #bench = new Select(
    this,
    () => this.services.store,
    ({ settings, readings, place, feed, live, tile, drift }: BenchState) => ({
      settings,
      readings,
      place,
      feed,
      live,
      tile,
      drift,
    }),
  );

  static override styles = [
    base,
    controls,
    paper,
    feedStyles,
    css`
      .lamp {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        align-items: center;
        gap: 8px;
        padding-block: 8px;
        border-block-start: 1px solid var(--rule);
      }
      .panel > .quiet {
        margin-block: 4px 8px;
      }
      .lamp b {
        display: block;
        overflow-wrap: anywhere;
      }
      .both {
        justify-content: flex-end;
      }
      .start {
        justify-content: flex-start;
        margin-block-start: 12px;
      }
      .picture {
        margin-block-start: 12px;
        background: var(--control-deep);
      }
      @media (max-width: 500px) {
        .lamp {
          grid-template-columns: minmax(0, 1fr);
        }
        .lamp .both {
          justify-content: flex-start;
        }
      }
    `,
  ];

  override render() {
    const { settings, readings, place } = this.#bench.value;
    if (!settings) return html`<p class="empty">Opening the lamps.</p>`;
    const inUse = lampInUse({ place, settings });
    const pairs = lampPairs(
      readings.map(({ record }) => record),
      inUse,
    );
    return html`
      <div class="bar">
        <h2>Lamps</h2>
        <div class="both">
          <a class="button" href="#/light">Light and camera</a>
          <a class="button next" href="#/bench">To the bench</a>
        </div>
      </div>
      <p class="said" role="status">${this.said}</p>
      <div class="halves">
        <div>
          ${this.#lamps(settings, inUse, place?.job.lamp)} ${this.#lampNow(settings, inUse)}
        </div>
        <section class="panel">
          <h3>The same dab under two lamps</h3>
          <lt-lamp-pairs .pairs=${pairs}></lt-lamp-pairs>
        </section>
      </div>
    `;
  }

  #lamps(settings: Settings, inUse: string, ofJob: string | undefined) {
    const { editing } = this;
    const lamps = lampsOf(settings);
    return html`<section class="panel">
      <h3>Lamps of the studio</h3>
      <p class="quiet">
        Every reading carries the lamp in use. Where the kind is known, additions that hold under
        each lamp the dab was read under come first.
        ${ofJob ? `This job has its own lamp, ${ofJob}.` : nothing}
      </p>
      ${lamps.map((lamp) =>
        editing?.name === lamp.name
          ? this.#form(settings, lamp)
          : html`<div class="lamp">
              <p><b>${lamp.name}</b><span class="quiet">${lampInWords(lamp)}</span></p>
              <div class="both">
                <button
                  aria-pressed=${lamp.name === inUse}
                  @click=${() => void this.#keep(usingLamp(settings, lamp.name), `${lamp.name} is in use.`)}
                >
                  ${lamp.name === inUse ? 'In use' : 'Use'}
                </button>
                <button
                  aria-label="Change ${lamp.name}"
                  @click=${() => (this.editing = { name: lamp.name })}
                >
                  Change
                </button>
              </div>
            </div>`,
      )}
      ${
        editing && editing.name === undefined
          ? this.#form(settings, undefined)
          : html`<div class="both start">
              <button @click=${() => (this.editing = { name: undefined })}>Add a lamp</button>
            </div>`
      }
    </section>`;
  }

  #form(settings: Settings, lamp: NamedLamp | undefined) {
    const was = lamp?.name;
    return html`<lt-lamp-form
      .lamp=${lamp}
      @lt-close=${() => (this.editing = undefined)}
      @lt-remove=${() =>
        was &&
        void this.#keep(withoutLamp(settings, was), `${was} is deleted; readings keep its name.`)}
      @lt-lamp=${({ detail }: CustomEvent<Lamp>) =>
        void this.#keep(withLamp(settings, detail, was), `Kept: ${detail.name}.`)}
    ></lt-lamp-form>`;
  }

  #lampNow(settings: Settings, inUse: string) {
    const { feed, live, tile, drift } = this.#bench.value;
    const outline = tile ?? live?.tile;
    const { look } = this;
    const fact = lampsOf(settings).find(({ name }) => name === inUse);
    return html`<section class="panel">
      <h3>The lamp as the camera sees it</h3>
      <p class="quiet">
        ${driftInWords(drift) || 'The light on the tile is held against the session’s first.'}
      </p>
      <div class="picture">${feedView(feed, () => (location.hash = '#/bench'))}</div>
      <div class="both start">
        <button
          ?disabled=${!outline || this.looking}
          @click=${() => void this.#lookNow(outline!, settings)}
        >
          ${this.looking ? 'Looking' : 'Look at the lamp'}
        </button>
        <button ?disabled=${this.looking} @click=${() => this.#mapNow()}>Map the light</button>
        ${
          look?.colour.kelvin !== undefined && fact?.kind
            ? html`<button @click=${() => void this.#keepEstimate(settings, fact as Lamp, look)}>
                Keep the colour for ${fact.name}
              </button>`
            : nothing
        }
      </div>
      <lt-lamp-look .look=${look} .evenness=${this.evenness}></lt-lamp-look>
      <p class="quiet">
        ${look ? BASIS[look.basis] : nothing} To map the light, lay one even, matt card over the
        whole field first.
      </p>
    </section>`;
  }

  async #lookNow(outline: NonNullable<BenchState['tile']>, settings: Settings): Promise<void> {
    const { feed, place } = this.#bench.value;
    const { picture } = this;
    if (!picture) return;
    this.looking = true;
    try {
      this.look = await lookAtLamp(
        picture,
        feed,
        outline,
        readingSettings({ settings, place }).tileColour,
        { ...this.services.session.feeds.cameraSettings },
        profileFor(settings, feed),
      );
      this.said = this.look ? '' : 'The tile cannot be read: it is clipped, dark or out of shot.';
    } finally {
      this.looking = false;
    }
  }

  #mapNow(): void {
    const { feed } = this.#bench.value;
    this.evenness = this.picture ? lookAtEvenness(this.picture, feed) : undefined;
    this.said = this.evenness ? '' : 'There is no picture to map.';
  }

  async #keepEstimate(settings: Settings, lamp: Lamp, { colour, basis }: LampLook): Promise<void> {
    const { x, y, kelvin, duv } = colour;
    const estimate: LampEstimate = {
      x,
      y,
      ...(kelvin !== undefined && { kelvin }),
      ...(duv !== undefined && { duv }),
      at: new Date().toISOString(),
      basis,
    };
    await this.#keep(withLamp(settings, { ...lamp, estimate }), `Kept with ${lamp.name}.`);
  }

  async #keep(changed: Settings, said: string): Promise<void> {
    try {
      await this.services.session.keepSettings(changed);
      this.editing = undefined;
      this.said = said;
    } catch (error) {
      this.said = faultInWords(error);
    }
  }
}

const BASIS: Readonly<Record<LampLook['basis'], string>> = {
  indicative:
    'The colour is indicative: a camera that balances white by itself makes every lamp look like daylight. Set its white balance to daylight before you look, and let its exposure stand still. A colour profile of this camera, made under a lamp of 4000 K or more that is known here, tells it better.',
  profile:
    'The colour is read through the camera’s profile, to about a tenth of its temperature, while the white balance stands as when the profile was made.',
};

/** The profile in use, where it is this camera’s and the white balance is held. */
function profileFor(settings: Settings, feed: BenchState['feed']): CameraProfile | undefined {
  const profile = profileInUse(settings);
  const holds = feed.kind === 'camera' && feed.held?.whiteBalance === 'held';
  return holds && profile?.camera === feed.label ? profile : undefined;
}

/** "LED, 4000 K as printed; 3950 K by the tile, indicative, 3 May 2026. By the sink." */
function lampInWords({ kind, kelvin, estimate, note }: NamedLamp): string {
  if (!kind) return 'kind not known';
  const parts = [
    `${KIND_NAMES[kind]}${kelvin === undefined ? '' : `, ${formatNumber(kelvin, 0)} K`}`,
  ];
  if (estimate?.kelvin !== undefined) {
    const how = estimate.basis === 'indicative' ? ', indicative' : '';
    const rounded = formatNumber(Math.round(estimate.kelvin / 10) * 10, 0);
    parts.push(`${rounded} K by the tile${how}, ${formatDay(estimate.at)}`);
  }
  return `${parts.join('; ')}.${note ? ` ${note}` : ''}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-lamps': LampsScreen;
  }
}
