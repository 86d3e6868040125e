/** The camera's tone response: from the tile in several lights, or from a grey step card. */
import { consume } from '@lit/context';
import { html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { exposureRange } from '../../camera/exposure.ts';
import { PHOTO_TYPES, photoFromFile } from '../../camera/photo.ts';
import { withProfile } from '../../job/camera-profiles.ts';
import type { Settings } from '../../job/settings.ts';
import { profileOf } from '../../reading/profile/profile.ts';
import { stepSquares } from '../../reading/profile/step-card.ts';
import type { ToneSubject } from '../../reading/profile/step-card.ts';
import type { ToneFit } from '../../reading/profile/tone-profile.ts';
import type { EncodedPicture, PixelPoint } from '../../reading/types.ts';
import '../elements/keep-profile.ts';
import type { ProfileNamed } from '../elements/keep-profile.ts';
import '../elements/marked-picture.ts';
import type { Mark, MarkMoved } from '../elements/marked-picture.ts';
import { formatExact, formatNumber } from '../elements/numbers.ts';
import '../elements/tone-curve.ts';
import type { BenchState } from '../state/bench-state.ts';
import { exposureSweep, tileCode } from '../state/exposure-sweep.ts';
import { faultInWords } from '../state/fault.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { frameAfter, shownPicture, type Shown } from '../state/shown-picture.ts';
import { Select } from '../state/store.ts';
import {
  firstMarks,
  retyped,
  shotNow,
  shotOfPhoto,
  toneOutcome,
  type TonePlan,
  type TypedShot,
  type Varies,
} from '../state/tone-shots.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import { feedStyles, feedView } from './feed-view.ts';
import { cardFields, USUAL_CARD } from './tone-card.ts';
import { toneLayout } from './tone-layout.ts';
import { shotRow, type ShotField } from './tone-shot.ts';
import { BY_MARKS, HOW, type Subject } from './tone-words.ts';

@customElement('lt-tone')
export class ToneScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private said = '';
  @state() private kind: Subject = 'tile';
  @state() private varies: Varies = 'exposure';
  @state() private card = USUAL_CARD;
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
      ${
        kind === 'card'
          ? cardFields(
              this.card,
              (card) => (this.card = card),
              (fault) => (this.said = fault),
            )
          : nothing
      }
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

  #plan(): TonePlan {
    const { varies, card, shots } = this;
    return { subject: this.#subject(), varies, values: card.values, as: card.as, shots };
  }

  #subject(): ToneSubject {
    const [first = { x: 0, y: 0 }, last = first] = this.marks;
    return this.kind === 'tile'
      ? { kind: 'tile', at: first }
      : { kind: 'card', first, last, steps: this.card.steps };
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
      this.shots = this.shots.map((shot) => retyped(shot, varies));
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
    this.#mark(this.shots[0]!.picture);
  }

  /** Marks to begin dragging from, where there are none. */
  #mark(picture: EncodedPicture): void {
    const { tile, feed } = this.#bench.value;
    if (this.marks.length === 0) this.marks = firstMarks(this.kind, picture, tile, feed.width);
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
      shots.push(shotOfPhoto(file.name, photo, this.varies));
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
    this.#add([shotNow(`Shot ${String(this.#count)}`, picture)]);
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
    this.#mark(first);
    const subject = this.#subject();
    this.sweeping = 'Beginning';
    try {
      const sweep = await exposureSweep(track, {
        picture: () => this.#pictureNow(),
        code: (picture) => tileCode(picture, subject),
        wait: (ms) => frameAfter(this.live, ms),
        progress: (done, of) =>
          (this.sweeping = `Exposure ${String(done + 1)} of ${String(of)}. Leave everything as it is.`),
        stopped: () => this.#stop,
      });
      if (!sweep.ok) this.said = sweep.message;
      else {
        this.said = '';
        const seconds = (time: number) => formatExact(time / 10_000);
        this.#add(
          sweep.shots.map(({ picture, time }, i) =>
            shotNow(`Exposure ${String(i + 1)}`, picture, seconds(time)),
          ),
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
      this.said = faultInWords(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-tone': ToneScreen;
  }
}
