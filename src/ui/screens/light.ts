/** Light and camera, set up once: each point is checked while the person looks. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { checkLight, type LightCheck } from '../../reading/light-check.ts';
import type { PixelPolygon } from '../../reading/types.ts';
import { checkIcon } from '../elements/icons.ts';
import type { BenchState } from '../state/bench-state.ts';
import { lightChecks, type Check } from '../state/light-checks.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { shownPicture, type Shown } from '../state/shown-picture.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { feedStyles, feedView } from './feed-view.ts';

/** The picture is looked at this often, and this large. */
const LOOK_MS = 1000;

const STATE_WORDS: Record<Check['state'], string> = {
  good: 'good',
  mend: 'to mend',
  wait: 'wait',
  cannot: 'not possible here',
};

@customElement('lt-light')
export class LightScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private light: LightCheck | undefined;
  @state() private settings: Readonly<Record<string, unknown>> = {};
  @query('video, img') private picture!: Shown | null;

  #looking: ReturnType<typeof setInterval> | undefined;
  #bench = new Select(
    this,
    () => this.services.store,
    ({ feed, live, tile }: BenchState) => ({ feed, live, tile }),
  );

  static override styles = [
    base,
    controls,
    paper,
    feedStyles,
    css`
      .columns {
        display: grid;
        grid-template: 'picture' 'checks' 'more' / minmax(0, 1fr);
        gap: 8px;
      }
      .checks {
        grid-area: checks;
      }
      .more {
        grid-area: more;
      }
      .more li {
        margin-block-start: 6px;
      }
      .picture {
        grid-area: picture;
        position: relative;
        min-block-size: 160px;
        background: var(--control-deep);
      }
      video,
      img {
        max-block-size: 60vh;
      }
      .check {
        display: grid;
        grid-template-columns: 32px minmax(0, 1fr);
        gap: 0 8px;
        padding: 10px 16px;
        background: var(--control);
        line-height: 1.3;
      }
      .check + .check {
        border-block-start: 1px solid var(--rule);
      }
      .check svg {
        margin-block-start: 2px;
      }
      .check h3 {
        display: flex;
        flex-wrap: wrap;
        justify-content: space-between;
        gap: 0 12px;
        font-size: 1rem;
      }
      .mend h3 {
        font-weight: 800;
      }
      .good h3,
      .cannot h3,
      .wait h3 {
        font-weight: 500;
      }
      .summary {
        margin-block-end: 8px;
        padding: 12px 16px;
        background: var(--control-deep);
        font-size: 1.0625rem;
        font-weight: 700;
      }
      dl {
        display: grid;
        grid-template-columns: max-content minmax(0, 1fr);
        gap: 2px 16px;
        margin-block-start: 8px;
      }
      dt {
        color: var(--ink-quiet);
      }
      @media (min-width: 760px) {
        .columns {
          grid-template: 'picture checks' auto 'more checks' 1fr / minmax(0, 1fr) minmax(0, 1fr);
          align-items: start;
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#looking = setInterval(() => this.#look(), LOOK_MS);
  }
  override disconnectedCallback(): void {
    clearInterval(this.#looking);
    super.disconnectedCallback();
  }

  override render() {
    const now = this.#bench.value;
    const checks = lightChecks(now, this.light);
    return html`
      <div class="bar">
        <h2>Light and camera</h2>
        <div class="actions">
          <a class="button" href="#/lamps">Lamps</a>
          <a class="button" href="#/profile">Camera profiles</a>
          <a class="button next" href="#/bench">To the bench</a>
        </div>
      </div>
      <p class="summary" role="status">${summary(checks)}</p>
      <div class="columns">
        <div class="picture">${feedView(now.feed, () => (location.hash = '#/bench'))}</div>
        <div class="checks" role="list" aria-label="Checks">
          ${checks.map(
            ({ title, state, what }) =>
              html`<div class="check ${state}" role="listitem">
                ${checkIcon(state)}
                <div>
                  <h3><span>${title}</span><span>${STATE_WORDS[state]}</span></h3>
                  <p class="quiet">${what}</p>
                </div>
              </div>`,
          )}
        </div>
        <div class="more">
          ${now.feed.kind === 'camera' ? this.#camera() : nothing}
          <section class="panel">
            <h3>What cannot be seen from here</h3>
            <ul>
              <li>Piece and tile face the lamp alike, and stand at the same distance from it.</li>
              <li>The lamp stands to one side, so that its image is not on the dab.</li>
              <li>The camera looks at them from the front, close enough that the dab is large.</li>
            </ul>
          </section>
        </div>
      </div>
    `;
  }

  #camera() {
    const { feeds } = this.services.session;
    const shown = SHOWN.flatMap(([name, words]) => {
      const value = this.settings[name];
      return typeof value === 'string' || typeof value === 'number'
        ? [[words, value] as const]
        : [];
    });
    return html`<section class="panel">
      <h3>What the camera says of itself</h3>
      ${
        shown.length > 0
          ? html`<dl>
              ${shown.map(
                ([words, value]) =>
                  html`<dt>${words}</dt>
                    <dd>${value}</dd>`,
              )}
            </dl>`
          : html`<p class="quiet">Nothing: the browser does not pass it on.</p>`
      }
      <div class="both">
        <button @click=${() => void feeds.hold()}>Hold again</button>
        <button @click=${() => void feeds.release()}>Let the camera set itself anew</button>
      </div>
    </section>`;
  }

  /** What the picture shows of the light, and the camera's settings as they are now. */
  #look(): void {
    const { feed, live, tile } = this.#bench.value;
    const { feeds } = this.services.session;
    this.settings = { ...feeds.cameraSettings };
    feeds.lookWhetherHeld();
    const polygon = tile ?? live?.tile;
    this.light =
      polygon && this.picture && feed.width > 0
        ? lookAt(this.picture, feed.width, feed.height, polygon)
        : undefined;
  }
}

/** Names of the W3C Image Capture and Media Capture settings, in words. */
const SHOWN: readonly (readonly [string, string])[] = [
  ['exposureMode', 'exposure'],
  ['exposureTime', 'exposure time, 100 µs'],
  ['iso', 'ISO'],
  ['whiteBalanceMode', 'white balance'],
  ['colorTemperature', 'colour temperature, K'],
  ['focusMode', 'focus'],
  ['focusDistance', 'focus distance, m'],
  ['width', 'width, px'],
  ['height', 'height, px'],
  ['frameRate', 'frames a second'],
];

function lookAt(
  source: Shown,
  width: number,
  height: number,
  tile: PixelPolygon,
): LightCheck | undefined {
  const shown = shownPicture(source, width, height);
  if (!shown) return undefined;
  const { picture, scale } = shown;
  return checkLight(
    picture,
    tile.map(({ x, y }) => ({ x: x * scale, y: y * scale })),
  );
}

function summary(checks: readonly Check[]): string {
  const count = (wanted: Check['state']) => checks.filter(({ state }) => state === wanted).length;
  const mend = count('mend');
  if (mend > 0) return mend === 1 ? 'One thing to mend.' : `${mend} things to mend.`;
  if (count('wait') > 0) return 'Looking.';
  return count('cannot') > 0
    ? 'Set up, as far as this browser and camera allow.'
    : 'Set up: go to the bench.';
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-light': LightScreen;
  }
}
