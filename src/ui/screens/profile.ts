/** Camera profiles: made from a photograph of a chart, kept, chosen, deleted. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { PHOTO_TYPES, photoFromFile } from '../../camera/photo.ts';
import {
  lampMadeUnder,
  usingProfile,
  withoutProfile,
  withProfile,
} from '../../job/camera-profiles.ts';
import type { Settings } from '../../job/settings.ts';
import { CHART_PATCHES, parseCgats, type ReferencePatch } from '../../reading/profile/cgats.ts';
import type { ChartReading } from '../../reading/profile/chart-profile.ts';
import { profileOf } from '../../reading/profile/profile.ts';
import type { EncodedPicture, PixelPolygon } from '../../reading/types.ts';
import '../elements/chart-values.ts';
import '../elements/keep-profile.ts';
import type { ProfileNamed } from '../elements/keep-profile.ts';
import '../elements/kept-profiles.ts';
import '../elements/marked-picture.ts';
import type { MarkMoved } from '../elements/marked-picture.ts';
import { formatNumber } from '../elements/numbers.ts';
import type { BenchState } from '../state/bench-state.ts';
import { faultInWords } from '../state/fault.ts';
import { lampInUse } from '../state/reading-settings.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { shownPicture, type Shown } from '../state/shown-picture.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { feedStyles, feedView } from './feed-view.ts';

const CORNERS = ['first', 'second', 'third', 'fourth'] as const;

@customElement('lt-profile')
export class ProfileScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private said = '';
  @state() private busy = false;
  @state() private typing = false;
  @state() private reference: { name: string; patches: readonly ReferencePatch[] } | undefined;
  @state() private picture: EncodedPicture | undefined;
  @state() private corners: PixelPolygon | undefined;
  @state() private chart: ChartReading | undefined;
  @query('lt-marked-picture') private marked!: HTMLElement | null;
  @query('video, .live img') private live!: Shown | null;

  #bench = new Select(
    this,
    () => this.services.store,
    ({ settings, feed, place }: BenchState) => ({ settings, feed, place }),
  );

  static override styles = [
    base,
    controls,
    paper,
    feedStyles,
    css`
      b {
        display: block;
        overflow-wrap: anywhere;
      }
      .both {
        margin-block-start: 12px;
      }
      caption {
        text-align: start;
      }
      .both + .quiet {
        margin-block-start: 8px;
      }
      .bar .both {
        margin: 0;
      }
      .file {
        position: relative;
      }
      .live {
        margin-block-start: 12px;
        background: var(--control-deep);
      }
      table {
        margin-block-start: 8px;
        border-collapse: collapse;
      }
      th,
      td {
        padding: 4px 16px 4px 0;
        text-align: start;
      }
    `,
  ];

  override render() {
    const { settings } = this.#bench.value;
    if (!settings) return html`<p class="empty">Opening the camera profiles.</p>`;
    return html`
      <div class="bar">
        <h2>Camera profiles</h2>
        <div class="both">
          <a class="button" href="#/light">Light and camera</a>
          <a class="button" href="#/tone">Tone response</a>
          <a class="button next" href="#/bench">To the bench</a>
        </div>
      </div>
      <p class="said" role="status">${this.said}</p>
      <div class="halves">
        <div>${this.#kept(settings)} ${this.#make()}</div>
        <div>${this.#result(settings)}</div>
      </div>
    `;
  }

  #kept(settings: Settings) {
    return html`<section class="panel">
      <h3>Profiles kept</h3>
      <lt-kept-profiles
        .settings=${settings}
        .camera=${this.#cameraLabel()}
        @lt-use=${({ detail: { name } }: CustomEvent<{ name: string | undefined }>) =>
          void this.#keep(
            usingProfile(settings, name),
            name === undefined ? 'Readings use no profile.' : `${name} is in use.`,
          )}
        @lt-delete=${({ detail: { name } }: CustomEvent<{ name: string }>) =>
          void this.#keep(
            withoutProfile(settings, name),
            `${name} is deleted; readings keep its name.`,
          )}
      ></lt-kept-profiles>
    </section>`;
  }

  #make() {
    const { feed } = this.#bench.value;
    const { reference, busy } = this;
    return html`<section class="panel">
      <h3>Make one from a chart</h3>
      <p class="quiet">
        Lay a chart of 24 patches where the piece will stand, facing the lamp as the tile does. Fix
        the exposure and the white balance that readings will have, with the white patch just below
        clipping.
      </p>
      <div class="both">
        <label class="button file">
          ${reference ? `Reference: ${reference.name}` : 'Choose the reference values'}
          <input
            type="file"
            accept=".txt,.cie,.ti3,.cgats,.it8"
            @change=${(e: Event) => void this.#readReference(e.target as HTMLInputElement)}
          />
        </label>
        <button aria-expanded=${this.typing} @click=${() => (this.typing = !this.typing)}>
          Type the values
        </button>
        <label class="button file">
          Choose a photograph
          <input
            type="file"
            accept=${PHOTO_TYPES}
            ?disabled=${!reference || busy}
            @change=${(e: Event) => void this.#readPhoto(e.target as HTMLInputElement)}
          />
        </label>
        <button ?disabled=${!reference || busy} @click=${() => void this.#readLive()}>
          Use the picture now
        </button>
      </div>
      <p class="quiet">
        Reference values come with the chart as a CGATS text file: 24 patches, row by row,
        reflectance, Lab or XYZ. ${reference ? nothing : 'Choose them first.'}
      </p>
      ${
        this.typing
          ? html`<lt-chart-values
              @lt-close=${() => (this.typing = false)}
              @lt-reference=${({ detail }: CustomEvent<readonly ReferencePatch[]>) => {
                this.typing = false;
                this.reference = { name: 'as typed', patches: detail };
                this.said = 'The reference is read. Now the chart.';
              }}
            ></lt-chart-values>`
          : nothing
      }
      <div class="live">${feedView(feed, () => (location.hash = '#/bench'))}</div>
    </section>`;
  }

  #result(settings: Settings) {
    const { picture, corners, chart, busy } = this;
    if (!picture) return nothing;
    return html`<section class="panel">
      <h3>The chart</h3>
      <lt-marked-picture
        .picture=${picture}
        label="Photograph of the chart"
        .outlines=${corners ? [corners] : []}
        .marks=${(corners ?? []).map((at, i) => ({ name: `${CORNERS[i]!} corner of the chart`, at }))}
        @lt-mark=${({ detail }: CustomEvent<MarkMoved>) => {
          this.corners = this.corners?.map((at, i) => (i === detail.index ? detail.at : at));
          this.chart = undefined;
        }}
      ></lt-marked-picture>
      <div class="both">
        <button ?disabled=${busy} @click=${() => void this.#read(this.corners)}>
          ${busy ? 'Reading' : 'Read at these corners'}
        </button>
        <button ?disabled=${busy} @click=${() => void this.#read(undefined)}>Find the chart</button>
      </div>
      ${chart?.ok ? this.#fit(settings, chart) : html`<p><b>${chart?.message}</b></p>`}
    </section>`;
  }

  #fit(settings: Settings, { fit }: ChartReading & { ok: true }) {
    const line = (words: string, method: keyof typeof fit.leftOut) =>
      html`<tr>
        <th scope="row">${words}${fit.colour.method === method ? ', taken' : ''}</th>
        <td>${formatNumber(fit.leftOut[method].mean, 2)}</td>
        <td>${formatNumber(fit.leftOut[method].largest, 2)}</td>
      </tr>`;
    return html`<table>
        <caption class="quiet">
          ΔE₀₀ of patches left out of the fit, then predicted by it
        </caption>
        <tr>
          <th scope="col">Fit</th>
          <th scope="col">mean</th>
          <th scope="col">largest</th>
        </tr>
        ${line('linear', 'linear')} ${line('root-polynomial', 'root-polynomial')}
      </table>
      ${fit.warnings.map((warning) => html`<p><b>${warning}</b></p>`)}
      <lt-keep-profile
        .camera=${this.#cameraLabel()}
        @lt-keep=${(e: CustomEvent<ProfileNamed>) => void this.#save(e.detail, settings, fit)}
      ></lt-keep-profile>`;
  }

  #cameraLabel(): string {
    const { feed } = this.#bench.value;
    return feed.kind === 'camera' ? feed.label : '';
  }

  async #readReference(input: HTMLInputElement): Promise<void> {
    const file = input.files?.[0];
    input.value = '';
    if (!file) return;
    const parsed = parseCgats(await file.text());
    if (!parsed.ok) this.said = `${file.name}: ${parsed.message}`;
    else if (parsed.patches.length !== CHART_PATCHES) {
      this.said = `${file.name} holds ${String(parsed.patches.length)} patches; ${String(CHART_PATCHES)} are needed.`;
    } else {
      this.reference = { name: file.name, patches: parsed.patches };
      this.said = 'The reference is read. Now the chart.';
    }
  }

  async #readPhoto(input: HTMLInputElement): Promise<void> {
    const file = input.files?.[0];
    input.value = '';
    if (!file) return;
    const photo = await photoFromFile(file);
    if (photo.ok) await this.#show(photo.picture);
    else this.said = `${photo.message} ${photo.remedy}`;
  }

  async #readLive(): Promise<void> {
    const { width, height } = this.#bench.value.feed;
    const shown = this.live && shownPicture(this.live, width, height, Infinity);
    if (shown) await this.#show(shown.picture);
    else this.said = 'There is no picture now: open the camera at the bench.';
  }

  async #show(picture: EncodedPicture): Promise<void> {
    this.picture = picture;
    this.corners = undefined;
    await this.updateComplete;
    this.marked?.scrollIntoView({ block: 'nearest' });
    await this.#read(undefined);
  }

  async #read(given: PixelPolygon | undefined): Promise<void> {
    const { picture, reference } = this;
    if (!picture || !reference) return;
    this.busy = true;
    this.chart = undefined;
    try {
      const chart = await this.services.charts.readChart(picture, reference.patches, given);
      this.chart = chart;
      this.corners = chart.corners ?? this.corners ?? aboutTheMiddle(picture);
      this.said = chart.ok ? 'The chart is read.' : chart.message;
    } catch (error) {
      this.said = faultInWords(error);
    } finally {
      this.busy = false;
    }
  }

  async #save(
    named: ProfileNamed,
    settings: Settings,
    fit: (ChartReading & { ok: true })['fit'],
  ): Promise<void> {
    const { place } = this.#bench.value;
    const lamp = lampMadeUnder(settings, lampInUse({ settings, place }));
    const made = profileOf(fit, {
      ...named,
      madeOn: new Date().toISOString(),
      ...(lamp && { lamp }),
    });
    await this.#keep(withProfile(settings, made), `Kept and in use: ${named.name}.`);
  }

  async #keep(changed: Settings, said: string): Promise<void> {
    try {
      await this.services.session.keepSettings(changed);
      this.said = said;
    } catch (error) {
      this.said = faultInWords(error);
    }
  }
}

/** Corners to begin dragging from. */
function aboutTheMiddle({ width, height }: EncodedPicture): PixelPolygon {
  const at = (u: number, v: number) => ({ x: u * width, y: v * height });
  return [at(0.25, 0.25), at(0.75, 0.25), at(0.75, 0.75), at(0.25, 0.75)];
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-profile': ProfileScreen;
  }
}
