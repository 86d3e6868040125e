/** The camera's tone response: from the tile in several lights, or from a grey step card. */
import { consume } from '@lit/context';
import { html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { exposureRange } from '../../camera/exposure.ts';
import { PHOTO_TYPES, photoFromFile } from '../../camera/photo.ts';
import { withProfile } from '../../job/camera-profiles.ts';
import type { Settings } from '../../job/settings.ts';
import { polygonCentre } from '../../reading/picture.ts';
import { profileOf } from '../../reading/profile/profile.ts';
import { MOST_STEPS, stepCodes, stepSquares } from '../../reading/profile/step-card.ts';
import type { ToneSubject } from '../../reading/profile/step-card.ts';
import { STATED_AS, type StatedAs, type ToneFit } from '../../reading/profile/tone-profile.ts';
import { LEAST_STEPS } from '../../reading/profile/tone-response.ts';
import type { EncodedPicture, PixelPoint } from '../../reading/types.ts';
import '../elements/keep-profile.ts';
import type { ProfileNamed } from '../elements/keep-profile.ts';
import '../elements/marked-picture.ts';
import type { Mark, MarkMoved } from '../elements/marked-picture.ts';
import { formatExact, formatNumber } from '../elements/numbers.ts';
import '../elements/tone-curve.ts';
import { typedNumber } from '../elements/typed-number.ts';
import type { BenchState } from '../state/bench-state.ts';
import { exposureSweep } from '../state/exposure-sweep.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { nextFrame, shownPicture, type Shown } from '../state/shown-picture.ts';
import { Select } from '../state/store.ts';
import {
  saidBy,
  thinned,
  toneOutcome,
  type TonePlan,
  type TypedShot,
  type Varies,
} from '../state/tone-shots.ts';
import { exposureFields } from '../state/typed-exposure.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { feedStyles, feedView } from './feed-view.ts';
import { toneLayout } from './tone-layout.ts';
import { shotRow, type ShotField } from './tone-shot.ts';
import { AS_NAMES, BY_MARKS, HOW, type Subject } from './tone-words.ts';

/** A camera that shows no frame for so long has stopped, and the sweep goes on without. */
const LONGEST_FRAME_MS = 2000;

@customElement('lt-tone')
export class ToneScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private said = '';
  @state() private kind: Subject = 'tile';
  @state() private varies: Varies = 'exposure';
  @state() private steps = 9;
  @state() private values = '';
  @state() private as: StatedAs = 'lightness';
  @state() private shots: readonly TypedShot[] = [];
  @state() private marks: readonly PixelPoint[] = [];
  @state() private sweeping: string | undefined;
  @query('video, .live img') private live!: Shown | null;
  #stop = false;
  #count = 0;

  #bench = new Select(
    this,
    () => this.services.store,
    ({ settings, feed, tile, live }: BenchState) => ({ settings, feed, tile: tile ?? live?.tile }),
  );

  static override styles = [base, controls, paper, feedStyles, toneLayout];

  override disconnectedCallback(): void {
    this.#stop = true;
    super.disconnectedCallback();
  }

  override render() {
    const { settings } = this.#bench.value;
    if (!settings) return html`<p class="empty">Opening the camera profiles.</p>`;
    return html`
      <div class="bar">
        <h2>Tone response</h2>
        <div class="row">
          <a class="button" href="#/profile">Camera profiles</a>
          <a class="button next" href="#/bench">To the bench</a>
        </div>
      </div>
      <p class="said" role="status">${this.said}</p>
      <div class="halves">
        <div>${this.#how()}</div>
        <div>${this.#told(settings)}</div>
      </div>
    `;
  }

  #how() {
    const { feed } = this.#bench.value;
    const { kind, varies, sweeping } = this;
    const range = exposureRange(this.#track());
    const canSweep = kind === 'tile' && varies === 'exposure' && range !== undefined;
    return html`<section class="panel">
      <h3>How the camera’s codes follow the light</h3>
      <p class="quiet">
        Without it readings assume sRGB. A chart of 24 patches tells this and the colour too; where
        there is none, this much can be known.
      </p>
      <fieldset>
        <legend>In shot</legend>
        <div class="row">
          ${this.#choice('The tile', kind === 'tile', () => this.#begin('tile', varies === 'nothing' ? 'exposure' : varies))}
          ${this.#choice('A grey step card', kind === 'card', () => this.#begin('card', varies))}
        </div>
      </fieldset>
      <fieldset>
        <legend>What varies from shot to shot</legend>
        <div class="row">
          ${this.#choice('Exposure time', varies === 'exposure', () => this.#begin(kind, 'exposure'))}
          ${this.#choice('Lamp distance', varies === 'distance', () => this.#begin(kind, 'distance'))}
          ${
            kind === 'card'
              ? this.#choice('Nothing', varies === 'nothing', () => this.#begin(kind, 'nothing'))
              : nothing
          }
        </div>
      </fieldset>
      <p class="quiet">${HOW[`${kind}-${varies}`]}</p>
      ${kind === 'card' ? this.#card() : nothing}
      <div class="row">
        ${
          canSweep
            ? html`<button
                class="next"
                ?disabled=${sweeping !== undefined}
                @click=${() => void this.#sweep()}
              >
                Sweep the exposure times
              </button>`
            : nothing
        }
        ${sweeping === undefined ? nothing : html`<button @click=${() => (this.#stop = true)}>Stop</button>`}
        <label class="button file">
          Choose photographs
          <input
            type="file"
            multiple
            accept=${PHOTO_TYPES}
            ?disabled=${sweeping !== undefined}
            @change=${(e: Event) => void this.#readPhotos(e.target as HTMLInputElement)}
          />
        </label>
        <button ?disabled=${sweeping !== undefined} @click=${() => this.#takeNow()}>
          Take a shot now
        </button>
      </div>
      <p class="quiet" role="status">${sweeping ?? ''}</p>
      <div class="live">${feedView(feed, () => (location.hash = '#/bench'))}</div>
    </section>`;
  }

  #choice(words: string, isChosen: boolean, choose: () => void) {
    return html`<button aria-pressed=${isChosen} @click=${choose}>${words}</button>`;
  }

  #card() {
    return html`<div class="fields">
        <label>
          Steps
          <input
            inputmode="numeric"
            .value=${String(this.steps)}
            @change=${(e: Event) => {
              const typed = typedNumber((e.target as HTMLInputElement).value);
              if (Number.isInteger(typed) && typed >= LEAST_STEPS && typed <= MOST_STEPS) {
                this.steps = typed;
                this.said = '';
              } else {
                this.said = `A step card has ${String(LEAST_STEPS)} to ${String(MOST_STEPS)} steps.`;
              }
            }}
          />
        </label>
        <label>
          Values are
          <select
            @change=${(e: Event) => (this.as = (e.target as HTMLSelectElement).value as StatedAs)}
          >
            ${STATED_AS.map(
              (as) =>
                html`<option value=${as} ?selected=${as === this.as}>${AS_NAMES[as]}</option>`,
            )}
          </select>
        </label>
      </div>
      <label class="values">
        Values, one for each step in order; empty if not known
        <textarea
          rows="2"
          .value=${this.values}
          @input=${(e: Event) => (this.values = (e.target as HTMLTextAreaElement).value)}
        ></textarea>
      </label>`;
  }

  #plan(): TonePlan {
    const { varies, values, as, shots } = this;
    return { subject: this.#subject(), varies, values, as, shots };
  }

  #subject(): ToneSubject {
    const [first = { x: 0, y: 0 }, last = first] = this.marks;
    return this.kind === 'tile'
      ? { kind: 'tile', at: first }
      : { kind: 'card', first, last, steps: this.steps };
  }

  #told(settings: Settings) {
    const { shots } = this;
    const newest = shots.at(-1);
    if (!newest) return nothing;
    const { seen, changed, warnings, result } = toneOutcome(this.#plan());
    const names = this.kind === 'tile' ? ['Place on the tile'] : ['First step', 'Last step'];
    const marks: Mark[] = this.marks.map((at, i) => ({ name: names[i] ?? '', at }));
    return html`<section class="panel">
        <h3>The shots</h3>
        <p class="quiet">
          ${
            this.kind === 'tile'
              ? 'Drag the mark onto an even place of the tile.'
              : 'Drag the marks to the middles of the first and of the last step.'
          }
        </p>
        <lt-marked-picture
          .picture=${newest.picture}
          label="The newest shot"
          .marks=${marks}
          .outlines=${stepSquares(newest.picture, this.#subject())}
          shape="cross"
          @lt-mark=${({ detail }: CustomEvent<MarkMoved>) => {
            this.marks = this.marks.map((at, i) => (i === detail.index ? detail.at : at));
          }}
        ></lt-marked-picture>
        ${shots.map((shot, i) =>
          shotRow({
            shot,
            codes: seen[i]!,
            varies: this.varies,
            changed,
            type: (field, text) => this.#type(i, field, text),
            takeAway: () => (this.shots = this.shots.filter((one) => one !== shot)),
          }),
        )}
      </section>
      <section class="panel">
        <h3>What they tell</h3>
        ${warnings.map((warning) => html`<p><b>${warning}</b></p>`)}
        ${
          result.ok
            ? this.#fit(settings, result.fit, result.byMarks)
            : html`<p role="status"><b>${result.message}</b></p>`
        }
      </section>`;
  }

  #fit(settings: Settings, fit: ToneFit, byMarks = false) {
    return html`<p role="status">
        The curve is found. The shots lie within ${formatNumber(100 * fit.residual, 2)} % of range
        of it.
      </p>
      ${byMarks ? html`<p class="quiet">${BY_MARKS}</p>` : nothing}
      ${fit.warnings.map((warning) => html`<p><b>${warning}</b></p>`)}
      <lt-tone-curve .tone=${fit.tone}></lt-tone-curve>
      <lt-keep-profile
        .camera=${this.#cameraLabel()}
        @lt-keep=${(e: CustomEvent<ProfileNamed>) => void this.#save(e.detail, settings, fit)}
      ></lt-keep-profile>`;
  }

  #begin(kind: Subject, varies: Varies): void {
    // Shots of the tile are none of the card; what was typed is of another kind.
    if (kind !== this.kind) {
      this.shots = [];
      this.marks = [];
    } else if (varies !== this.varies) {
      this.shots = this.shots.map((shot) => ({
        ...shot,
        typed: '',
        ...(varies === 'exposure' && shot.said && exposureFields(saidBy(shot))),
      }));
    }
    this.kind = kind;
    this.varies = varies;
    this.said = '';
  }

  #type(index: number, field: ShotField, text: string): void {
    this.shots = this.shots.map((shot, i) => (i === index ? { ...shot, [field]: text } : shot));
  }

  #add(shots: readonly TypedShot[]): void {
    this.shots = [...this.shots, ...shots];
    const { picture } = this.shots[0]!;
    if (this.marks.length === 0) this.marks = this.#firstMarks(picture);
  }

  /** On the tile where it is known to be; a card about the middle. */
  #firstMarks({ width, height }: EncodedPicture): readonly PixelPoint[] {
    const at = (u: number, v: number) => ({ x: u * width, y: v * height });
    if (this.kind === 'card') return [at(0.2, 0.5), at(0.8, 0.5)];
    const { tile, feed } = this.#bench.value;
    if (!tile || feed.width === 0) return [at(0.5, 0.5)];
    const scale = width / feed.width;
    const { x, y } = polygonCentre(tile);
    return [{ x: scale * x, y: scale * y }];
  }

  async #readPhotos(input: HTMLInputElement): Promise<void> {
    const files = [...(input.files ?? [])];
    input.value = '';
    const shots: TypedShot[] = [];
    for (const file of files) {
      const photo = await photoFromFile(file);
      if (!photo.ok) {
        this.said = `${photo.message} ${photo.remedy}`;
        return;
      }
      const { exposure, picture } = photo;
      shots.push({
        name: file.name,
        picture: thinned(picture),
        ...exposureFields(exposure),
        ...(this.varies !== 'exposure' && { typed: '' }),
        said: exposure ?? 'nothing',
      });
    }
    if (shots.length === 0) return;
    this.said = '';
    this.#add(shots);
  }

  /** Says so when there is none. */
  #pictureNow(): EncodedPicture | undefined {
    const { width, height } = this.#bench.value.feed;
    const shown = this.live && shownPicture(this.live, width, height, 1280);
    if (!shown) this.said = 'There is no picture now: open the camera at the bench.';
    return shown?.picture;
  }

  #takeNow(): void {
    const picture = this.#pictureNow();
    if (!picture) return;
    this.said = '';
    this.#count += 1;
    this.#add([{ name: `Shot ${String(this.#count)}`, picture, ...exposureFields(undefined) }]);
  }

  #track(): MediaStreamTrack | undefined {
    const { feed } = this.#bench.value;
    return feed.kind === 'camera' ? feed.stream?.getVideoTracks()[0] : undefined;
  }

  async #sweep(): Promise<void> {
    const track = this.#track();
    const first = this.#pictureNow();
    if (!track || !first) return;
    this.#stop = false;
    this.shots = [];
    if (this.marks.length === 0) this.marks = this.#firstMarks(first);
    const subject = this.#subject();
    this.sweeping = 'Beginning';
    try {
      const sweep = await exposureSweep(track, {
        picture: () => this.#pictureNow(),
        code: (picture) => {
          const seen = stepCodes(picture, subject);
          const codes = seen.ok ? seen.places[0] : undefined;
          return codes?.[1] ?? (seen.ok && seen.isBright ? 1 : 0);
        },
        wait: async (ms) => {
          const { live } = this;
          const frame = live instanceof HTMLVideoElement && nextFrame(live, LONGEST_FRAME_MS);
          await Promise.all([new Promise((done) => setTimeout(done, ms)), frame]);
        },
        progress: (done, of) =>
          (this.sweeping = `Exposure ${String(done + 1)} of ${String(of)}. Leave everything as it is.`),
        stopped: () => this.#stop,
      });
      if (!sweep.ok) this.said = sweep.message;
      else {
        this.said = '';
        const seconds = (time: number) => formatExact(time / 10_000);
        this.#add(
          sweep.shots.map(({ picture, time }, i) => ({
            name: `Exposure ${String(i + 1)}`,
            picture,
            ...exposureFields(undefined),
            typed: seconds(time),
          })),
        );
      }
    } finally {
      this.sweeping = undefined;
    }
  }

  #cameraLabel(): string {
    const { feed } = this.#bench.value;
    return feed.kind === 'camera' ? feed.label : '';
  }

  async #save(named: ProfileNamed, settings: Settings, fit: ToneFit): Promise<void> {
    const made = profileOf(fit, { ...named, madeOn: new Date().toISOString() });
    try {
      await this.services.session.keepSettings(withProfile(settings, made));
      this.said = `Kept and in use: ${named.name}.`;
    } catch (error) {
      this.said = error instanceof Error ? error.message : String(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-tone': ToneScreen;
  }
}
