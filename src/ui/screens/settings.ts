/** Settings: thresholds of the verdict, the tile's own colour, the lamp, who did it. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { labD65 } from '../../colour/spaces.ts';
import { DEFAULT_THRESHOLDS, type Settings } from '../../job/settings.ts';
import { formatExact, formatNumber, writeNumbersBy } from '../elements/numbers.ts';
import { typedNumber } from '../elements/typed-number.ts';
import type { BenchState } from '../state/bench-state.ts';
import { faultInWords } from '../state/fault.ts';
import type { SafekeepingState } from '../state/safekeeping.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { Typing } from '../state/typing.ts';
import type { VersionState } from '../state/version.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';
import './bench-sheets.ts';
import type { BenchSheet } from './bench-sheets.ts';

const OFFLINE = {
  yes: 'The app is kept here and opens without a network.',
  'not-yet': 'The app is being fetched for use without a network.',
  cannot: 'This browser does not keep the app for use without a network.',
} as const;

const WHEN_FULL =
  'A reading that finds no room is held in the window, said to be not kept, and handed out as a file.';

/** Languages that write numbers or dates differently; any other is the browser's to give. */
const LOCALES = ['en-GB', 'en-US', 'de', 'fr', 'es', 'it', 'nl', 'pl', 'sv', 'cs', 'ja', 'zh'];

function nameOf(locale: string): string {
  const name = new Intl.DisplayNames([locale], { type: 'language' }).of(locale) ?? locale;
  return `${name}: ${new Intl.NumberFormat(locale).format(1.8)}`;
}

@customElement('lt-settings')
export class SettingsScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private said = '';
  @state() private sheet: BenchSheet | undefined;

  #typing = new Typing(this, (field) => field.form?.getRootNode() === this.renderRoot);

  #settings = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => ({ settings: now.settings, place: now.place, singleKeys: now.singleKeys }),
  );

  #safekeeping = new Select(
    this,
    () => this.services.safekeeping,
    ({ space }: SafekeepingState) => ({ space }),
  );

  #version = new Select(
    this,
    () => this.services.version,
    ({ offline }: VersionState) => ({ offline }),
  );

  static override styles = [
    base,
    controls,
    paper,
    css`
      fieldset {
        margin: 0 0 8px;
        padding: 16px;
        border: 0;
        background: var(--control);
      }
      legend {
        float: inline-start;
        inline-size: 100%;
        margin-block-end: 8px;
        font-size: 1.125rem;
        font-weight: 700;
      }
      .fields {
        clear: both;
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(150px, 100%), 1fr));
        gap: 12px;
      }
      .switch {
        display: flex;
        align-items: center;
        gap: 12px;
        min-block-size: var(--touch);
      }
      .hint {
        margin-block: 8px;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
      .said {
        margin-block: 8px;
      }
    `,
  ];

  override render() {
    const { settings, place } = this.#settings.value;
    if (!settings) return html`<p class="empty">Opening the settings.</p>`;
    const tile = settings.tiles[0]!;
    const number = (name: string, label: string, value: number) =>
      html`<label>
        ${label}<input name=${name} inputmode="decimal" .value=${formatExact(value)} />
      </label>`;
    return html`
      <div class="bar"><h2>Settings</h2></div>
      <form novalidate @submit=${(event: SubmitEvent) => void this.#keep(event, settings)}>
        <fieldset>
          <legend>Verdict</legend>
          <div class="fields">
            ${number('acceptable', 'Acceptable up to ΔE₀₀', settings.thresholds.acceptable)}
            ${number('imperceptible', 'Cannot be seen up to ΔE₀₀', settings.thresholds.imperceptible)}
          </div>
          <p class="hint">
            ${formatExact(DEFAULT_THRESHOLDS.acceptable)} and
            ${formatExact(DEFAULT_THRESHOLDS.imperceptible)} are where half of 175 observers accept,
            and half see, a difference between ceramic specimens (Paravina and others 2015, Journal
            of Esthetic and Restorative Dentistry 27, S1).
          </p>
        </fieldset>
        <fieldset>
          <legend>White tile</legend>
          <div class="fields">
            <label>Name<input name="tile" maxlength="80" .value=${tile.name} /></label>
            ${number('L', 'L*', tile.lab[0])} ${number('a', 'a*', tile.lab[1])}
            ${number('b', 'b*', tile.lab[2])}
          </div>
          <p class="hint">
            CIELAB D65/2° of the tile, if you have had it measured; then the readings are surer.
            ${
              place?.job.tile
                ? `The job ${place.job.title} is read against its own tile, ${place.job.tile.name}.`
                : nothing
            }
          </p>
          <div class="fields">
            ${number('uL', 'Uncertainty of L*', tile.standardUncertainty[0])}
            ${number('ua', 'of a*', tile.standardUncertainty[1])}
            ${number('ub', 'of b*', tile.standardUncertainty[2])}
          </div>
        </fieldset>
        <fieldset>
          <legend>Numbers</legend>
          <div class="fields">
            <label>
              Language of numbers and dates
              <select name="locale">
                <option value="" ?selected=${!settings.numberLocale}>the browser’s</option>
                ${LOCALES.map(
                  (locale) =>
                    html`<option value=${locale} ?selected=${settings.numberLocale === locale}>
                      ${nameOf(locale)}
                    </option>`,
                )}
              </select>
            </label>
            <label>
              Masses in
              <select name="massUnit">
                ${(['g', 'mg'] as const).map(
                  (unit) =>
                    html`<option value=${unit} ?selected=${settings.massUnit === unit}>
                      ${unit === 'g' ? 'grams' : 'milligrams'}
                    </option>`,
                )}
              </select>
            </label>
          </div>
        </fieldset>
        <fieldset>
          <legend>Hands-free</legend>
          <div class="fields">
            <label class="switch">
              <input type="checkbox" name="spoken" ?checked=${settings.spoken} />
              Results are spoken
            </label>
          </div>
          <p class="hint">
            Verdict, largest difference and next addition, by the voice of this device.
          </p>
          <button type="button" aria-haspopup="dialog" @click=${() => (this.sheet = 'keys')}>
            Keys and pedal
          </button>
        </fieldset>
        <fieldset>
          <legend>For the record</legend>
          <div class="fields">
            <label>
              Lamp<input name="lamp" maxlength="80" .value=${settings.lamps[0] ?? ''} />
            </label>
            <label>
              Who does the work
              <input name="treatedBy" maxlength="200" .value=${settings.treatedBy} />
            </label>
          </div>
        </fieldset>
        <fieldset>
          <legend>This device</legend>
          <p class="hint">
            ${OFFLINE[this.#version.value.offline]} Jobs are kept on this device alone, in this
            browser, under this address: hand finished ones over as a file.
          </p>
          <p class="hint">${roomInWords(this.#safekeeping.value.space)}</p>
        </fieldset>
        <p class="said" role="status">${this.said}</p>
        <button class="next">Keep the settings</button>
      </form>
      <lt-bench-sheets
        .sheet=${this.sheet}
        .bench=${this.services.store.state}
        @lt-sheet=${(event: CustomEvent<{ sheet: BenchSheet | undefined }>) =>
          (this.sheet = event.detail.sheet)}
      ></lt-bench-sheets>
    `;
  }

  async #keep(event: SubmitEvent, settings: Settings): Promise<void> {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const text = (name: string) => {
      const value = data.get(name);
      return typeof value === 'string' ? value.trim() : '';
    };
    const number = (name: string) => typedNumber(text(name));
    const locale = text('locale');
    const bare = { ...settings };
    Reflect.deleteProperty(bare, 'numberLocale');
    const lamp = text('lamp');
    const changed: Settings = {
      ...bare,
      ...(locale && { numberLocale: locale }),
      massUnit: text('massUnit') === 'mg' ? 'mg' : 'g',
      spoken: data.has('spoken'),
      thresholds: { acceptable: number('acceptable'), imperceptible: number('imperceptible') },
      tiles: [
        {
          name: text('tile'),
          lab: labD65(number('L'), number('a'), number('b')),
          standardUncertainty: [number('uL'), number('ua'), number('ub')],
        },
        ...settings.tiles.slice(1),
      ],
      lamps: lamp === '' ? [] : [lamp, ...settings.lamps.slice(1).filter((one) => one !== lamp)],
      treatedBy: text('treatedBy'),
    };
    try {
      writeNumbersBy(await this.services.session.keepSettings(changed));
      this.#typing.done();
      this.requestUpdate();
      this.said = 'Kept. They hold from the next reading on.';
    } catch (error) {
      this.said = faultInWords(error);
    }
  }
}

/** What is used, what is free, and what the browser makes of it: no more than it tells. */
function roomInWords(space: SafekeepingState['space']): string {
  if (space?.usedBytes === undefined || space.quotaBytes === undefined) {
    return `This browser does not tell how much room is left. ${WHEN_FULL}`;
  }
  const { usedBytes, quotaBytes, roomHidden, persisted } = space;
  const megabytes = (bytes: number) => `${formatNumber(bytes / 2 ** 20, 0)} MB`;
  const used = `App and jobs use ${megabytes(usedBytes)}.`;
  const free = roomHidden
    ? `How much is left this browser does not tell. ${WHEN_FULL}`
    : `${megabytes(Math.max(0, quotaBytes - usedBytes))} are left for them.`;
  const promise = persisted
    ? 'The browser keeps them even when the device runs short of room.'
    : 'The browser has not promised to keep them when the device runs short of room.';
  return `${used} ${free} ${promise}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-settings': SettingsScreen;
  }
}
