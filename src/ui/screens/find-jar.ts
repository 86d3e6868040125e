/**
 * Finds the jar of a label: scanned in the picture, in a photograph, or by the code typed. Events:
 * `lt-found` {jar}, `lt-close`.
 */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { PHOTO_TYPES, photoFromFile } from '../../camera/photo.ts';
import { jarByLabel } from '../../job/jar-label.ts';
import type { Jar } from '../../job/jar.ts';
import '../elements/sheet.ts';
import { typedField } from '../elements/typed-number.ts';
import type { BenchState } from '../state/bench-state.ts';
import { qrText } from '../state/label-reader.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { shownPicture, type Shown } from '../state/shown-picture.ts';
import { Select } from '../state/store.ts';
import { base, controls } from '../styles/shared.ts';
import { feedStyles, feedView } from './feed-view.ts';

/** How often the live picture is looked at, ms. */
const LOOK_MS = 400;

@customElement('lt-find-jar')
export class FindJar extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ type: Boolean }) open = false;
  @property({ attribute: false }) jars: readonly Jar[] = [];
  @state() private said = '';
  @query('video, .live img') private live!: Shown | null;
  #tick: ReturnType<typeof setInterval> | undefined;
  #isLooking = false;

  #bench = new Select(
    this,
    () => this.services.store,
    ({ feed }: BenchState) => ({ feed }),
  );

  static override styles = [
    base,
    controls,
    feedStyles,
    css`
      form,
      .ways {
        display: grid;
        gap: 12px;
      }
      .file {
        position: relative;
      }
      .said {
        min-block-size: 1.5em;
        font-weight: 700;
      }
      .live {
        background: var(--control-deep);
      }
    `,
  ];

  protected override updated(): void {
    if (this.open && this.#tick === undefined) {
      this.#tick = setInterval(() => void this.#look(), LOOK_MS);
    } else if (!this.open) this.#rest();
  }
  override disconnectedCallback(): void {
    this.#rest();
    super.disconnectedCallback();
  }

  override render() {
    if (!this.open) return nothing;
    const { feed } = this.#bench.value;
    return html`<lt-sheet
      heading="Find a jar by its label"
      open
      @lt-close=${() => this.dispatchEvent(new CustomEvent('lt-close'))}
    >
      <div class="ways">
        <p>Hold the label’s code before the camera, choose a photograph of it, or type its code.</p>
        <p class="said" role="status">${this.said}</p>
        <form novalidate @submit=${(event: SubmitEvent) => this.#typed(event)}>
          <label>
            Code of the label
            <input name="code" autocomplete="off" autocapitalize="characters" maxlength="200" />
          </label>
          <button class="next">Find the jar</button>
        </form>
        <label class="button file">
          Choose a photograph
          <input
            type="file"
            accept=${PHOTO_TYPES}
            @change=${(e: Event) => void this.#photo(e.target as HTMLInputElement)}
          />
        </label>
        <div class="live">${feedView(feed, () => (location.hash = '#/bench'))}</div>
      </div>
    </lt-sheet>`;
  }

  #rest(): void {
    clearInterval(this.#tick);
    this.#tick = undefined;
    this.said = '';
  }

  async #look(): Promise<void> {
    const { width, height } = this.#bench.value.feed;
    if (this.#isLooking || !this.live) return;
    this.#isLooking = true;
    try {
      const shown = shownPicture(this.live, width, height, 960);
      const text = shown && (await qrText(shown.picture));
      if (text !== undefined && this.open) this.#found(text);
    } finally {
      this.#isLooking = false;
    }
  }

  async #photo(input: HTMLInputElement): Promise<void> {
    const file = input.files?.[0];
    input.value = '';
    if (!file) return;
    const photo = await photoFromFile(file);
    if (!photo.ok) {
      this.said = `${photo.message} ${photo.remedy}`;
      return;
    }
    const text = await qrText(photo.picture);
    if (text === undefined)
      this.said = 'No code is seen in this photograph: go nearer, and square to it.';
    else this.#found(text);
  }

  #typed(event: SubmitEvent): void {
    event.preventDefault();
    this.#found(typedField(event.currentTarget as HTMLFormElement, 'code'));
  }

  #found(text: string): void {
    const found = jarByLabel(text, this.jars);
    this.said = found.ok ? '' : found.message;
    if (found.ok) this.dispatchEvent(new CustomEvent<Jar>('lt-found', { detail: found.jar }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-find-jar': FindJar;
  }
}
