/** A saved blend map: the picture with the map on it, the numbers, how it was made. */
import { consume } from '@lit/context';
import { Task } from '@lit/task';
import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import type { MapRecord } from '../../job/map-record.ts';
import { SOURCE_NAMES } from '../../job/shot.ts';
import { driftInWords } from '../../reading/drift.ts';
import { areaOutline, blendOverlay } from '../elements/blend-overlay.ts';
import '../elements/blend-result.ts';
import { mapInWords } from '../elements/blend-result.ts';
import '../elements/cautions.ts';
import { formatLab, formatPercent, formatTime } from '../elements/numbers.ts';
import { removeSaved } from '../state/removing.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { paper } from '../styles/paper.ts';
import { savedRecord } from '../styles/saved-record.ts';
import { base, controls } from '../styles/shared.ts';
import { WorkLine } from './work-line.ts';

/** The picture is drawn for a width of about so many CSS px; names and lines keep that size to it. */
const WIDTH = 460;

@customElement('lt-map-record')
export class MapRecordScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property() map = '';
  @state() private bare = false;
  #line = new WorkLine(this);
  #address: string | undefined;

  #load = new Task(this, {
    task: async ([id]) => {
      const { records } = this.services;
      const record = await records.map(id as Id<'map'>);
      if (!record || record.deletedAt) return undefined;
      const crop = await records.pictureOf(record.id, 'crop');
      this.#letGo();
      this.#address = crop && URL.createObjectURL(crop);
      return { record, address: this.#address };
    },
    args: () => [this.map] as const,
  });

  static override styles = [
    base,
    controls,
    paper,
    savedRecord,
    css`
      .evidence svg {
        display: block;
        inline-size: 100%;
        block-size: auto;
      }
      dl {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        gap: 6px 16px;
      }
      dd {
        text-align: end;
        overflow-wrap: anywhere;
      }
    `,
  ];

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#letGo();
  }

  override render() {
    return html`
      <div class="bar">
        <h2>Blend map</h2>
        <a class="button" href="#/map">Back to the map</a>
      </div>
      ${this.#load.render({
        pending: () => html`<p class="empty">Opening the map.</p>`,
        complete: (found) =>
          found
            ? this.#saved(found.record, found.address)
            : html`<p class="empty">This map is no longer there.</p>`,
        error: (error) =>
          html`<p class="empty" role="alert">The map could not be opened: ${String(error)}</p>`,
      })}
    `;
  }

  #saved(record: MapRecord, address: string | undefined) {
    const { crop, tile } = record;
    const scale = crop.width / WIDTH;
    return html`<div class="columns">
      <section class="panel evidence">
        <svg
          viewBox="${crop.x} ${crop.y} ${crop.width} ${crop.height}"
          role="img"
          aria-label=${mapInWords(record, record.thresholds)}
        >
          ${
            address
              ? svg`<image href=${address} x=${crop.x} y=${crop.y} width=${crop.width}
                  height=${crop.height} preserveAspectRatio="none" />`
              : nothing
          }
          ${
            this.bare
              ? nothing
              : svg`${areaOutline(record.outline, [], scale, false)}
                  ${blendOverlay(
                    { contours: record.lines, worst: record.worst },
                    record.thresholds,
                    scale,
                    crop,
                  )}`
          }
        </svg>
        <div class="below">
          <span class="quiet">
            ${this.bare ? 'The picture as it was taken.' : 'Hatched where the paint shows.'}
          </span>
          <button aria-pressed=${this.bare} @click=${() => (this.bare = !this.bare)}>
            Bare picture
          </button>
        </div>
      </section>
      <section class="panel">
        <lt-blend-result .map=${record} .thresholds=${record.thresholds}></lt-blend-result>
      </section>
      <section class="panel">
        <dl>
          ${(
            [
              ['Taken', formatTime(record.createdAt)],
              ['Picture', `${SOURCE_NAMES[record.source]}, ${record.camera.label}`],
              ['Frames averaged', String(record.frames)],
              ['Glaze, CIELAB D65/2°', formatLab(record.glazeLab)],
              ['Tile', `${tile.name}, level ${formatPercent(tile.level)}`],
              ['Film', record.film],
              ['Lamp', record.lamp || 'not named'],
              ['Camera profile', record.profile?.name ?? 'none: sRGB assumed'],
              ...(record.drift ? [['Light', driftInWords(record.drift)] as const] : []),
              ['Algorithm', record.algorithm],
            ] as const
          ).map(
            ([name, value]) =>
              html`<dt>${name}</dt>
                <dd>${value}</dd>`,
          )}
        </dl>
      </section>
      <section class="panel"><lt-cautions .places=${['record']}></lt-cautions></section>
      <section class="panel">
        <button
          @click=${() =>
            void this.#line.attempt(() =>
              removeSaved(this.services, record.id, 'The blend map is deleted.'),
            )}
        >
          Delete this map
        </button>
        ${this.#line.render()}
      </section>
    </div>`;
  }

  #letGo(): void {
    if (this.#address) URL.revokeObjectURL(this.#address);
    this.#address = undefined;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-map-record': MapRecordScreen;
  }
}
