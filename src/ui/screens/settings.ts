/** Settings: thresholds of the verdict, the tile's own colour, the lamp, who did it. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { labD65 } from '../../colour/spaces.ts';
import { DEFAULT_THRESHOLDS, type Settings } from '../../job/settings.ts';
import type { BenchState } from '../state/bench-state.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-settings')
export class SettingsScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private said = '';

  #settings = new Select(
    this,
    () => this.services.store,
    ({ settings, place }: BenchState) => ({ settings, place }),
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
      .hint {
        margin-block: 8px;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
      .said {
        min-block-size: 1.5em;
        margin-block: 8px;
        color: var(--ink-on-surround);
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const { settings, place } = this.#settings.value;
    if (!settings) return html`<p class="empty">Opening the settings.</p>`;
    const tile = settings.tiles[0]!;
    const number = (name: string, label: string, value: number) =>
      html`<label>
        ${label}<input name=${name} inputmode="decimal" .value=${String(value)} />
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
            ${DEFAULT_THRESHOLDS.acceptable} and ${DEFAULT_THRESHOLDS.imperceptible} are where half
            of 175 observers accept, and half see, a difference between ceramic specimens (Paravina
            and others 2015, Journal of Esthetic and Restorative Dentistry 27, S1).
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
        <p class="said" role="status">${this.said}</p>
        <button class="next">Keep the settings</button>
      </form>
    `;
  }

  async #keep(event: SubmitEvent, settings: Settings): Promise<void> {
    event.preventDefault();
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const text = (name: string) => {
      const value = data.get(name);
      return typeof value === 'string' ? value.trim() : '';
    };
    const number = (name: string) =>
      text(name) === '' ? Number.NaN : Number(text(name).replace(',', '.').replace('−', '-'));
    const lamp = text('lamp');
    const changed: Settings = {
      ...settings,
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
      const kept = await this.services.records.saveSettings(changed);
      await this.services.session.useSettings(kept);
      this.said = 'Kept. They hold from the next reading on.';
    } catch (error) {
      this.said = error instanceof Error ? error.message : String(error);
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-settings': SettingsScreen;
  }
}
