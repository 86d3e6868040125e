/**
 * The treatment record as a sheet of paper. Its headings follow conservation guidance on
 * documentation: see job/report.ts.
 */
import { consume } from '@lit/context';
import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Id } from '../../job/ids.ts';
import type { MapRecord } from '../../job/map-record.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import type { Picture } from '../../job/records.ts';
import type { AreaReport } from '../../job/report.ts';
import {
  formatDay,
  formatGrams,
  formatNamedLab,
  formatNumber,
  formatPercent,
} from '../elements/numbers.ts';
import type { TreatmentReport } from '../state/hand-over.ts';
import { Likenesses } from '../state/likenesses.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Thumbnails } from '../state/thumbnails.ts';
import { sprayedLines } from './sprayed-lines.ts';
import { base } from '../styles/shared.ts';
import { treatmentRecord } from '../styles/treatment-record.ts';

@customElement('lt-record-paper')
export class RecordPaper extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property({ attribute: false }) report!: TreatmentReport;

  #crops = new Thumbnails(this, () => this.services.records);
  #photographs = new Likenesses(this, (id: Id<'picture'>) =>
    this.services.book.pictureOf(id, 'picture'),
  );

  static override styles = [base, treatmentRecord];

  override render() {
    const { report } = this;
    const { identity, dates, materials } = report;
    const days =
      dates.from === dates.to
        ? formatDay(dates.from)
        : `${formatDay(dates.from)} to ${formatDay(dates.to)}`;
    return html`<article class="sheet-of-paper">
      <p class="on-paper">Treatment record</p>
      <h2>${identity.piece}</h2>
      <dl>
        ${
          identity.reference
            ? html`<dt>Reference</dt>
                <dd>${identity.reference}</dd>`
            : nothing
        }
        <dt>Job</dt>
        <dd>${identity.job}</dd>
        <dt>Date of treatment</dt>
        <dd>${days}</dd>
        <dt>Treated by</dt>
        <dd>${said(report.treatedBy)}</dd>
      </dl>
      <h3>Description</h3>
      ${said(identity.description)}
      <h3>Condition as found</h3>
      ${said(report.conditionAsFound)} ${this.#images('Before treatment', report.images.before)}
      <h3>Treatment</h3>
      ${said(report.treatment)} ${this.#images('During treatment', report.images.during)}
      <h3>Materials</h3>
      ${materialsList(materials)}
      ${report.areas.map((area) => [mixOf(area), area.plans.map((plan) => sprayedLines(area.area.name, plan))])}
      <h3>Colour readings</h3>
      <p>
        CIELAB D65/2° and ΔE₀₀ (CIEDE2000) with 95 % intervals, by camera against
        ${report.tiles.join(', ') || 'no tile yet'}${
          report.lamps.length > 0 ? `; lamp: ${report.lamps.join(', ')}` : ''
        }.
      </p>
      ${report.areas.map((area) => this.#area(area))}
      <h3>Result</h3>
      ${report.areas.map((area) => resultOf(area))}
      ${this.#images('After treatment', report.images.after)}
      <h3>Reversibility</h3>
      ${said(report.reversibility)}
      <h3>Cautions</h3>
      <ul>
        ${report.cautions.map((caution) => html`<li>${caution}</li>`)}
      </ul>
    </article>`;
  }

  #images(heading: string, pictures: readonly Picture[]) {
    if (pictures.length === 0) return nothing;
    const areas = this.report.areas.map(({ area }) => area);
    return html`<h4>${heading}</h4>
      <div class="images">
        ${pictures.map((picture) => {
          const address = this.#photographs.of(picture.id);
          const area = areas.find(({ id }) => id === picture.area)?.name;
          const caption = [picture.caption, area, formatDay(picture.takenAt)].filter(Boolean);
          return html`<figure>
            ${
              address
                ? html`<img
                    src=${address}
                    width=${picture.width}
                    height=${picture.height}
                    alt=${picture.caption || heading}
                  />`
                : nothing
            }
            <figcaption>${caption.join(', ')}</figcaption>
          </figure>`;
        })}
      </div>`;
  }

  #area({ area, readings, maps }: AreaReport) {
    return html`<h4>Area: ${area.name}</h4>
      ${
        readings.length === 0
          ? html`<p class="missing-text">no reading yet</p>`
          : html`<div class="scroll">
              <table>
                <thead>
                  <tr>
                    <th scope="col">Dab</th>
                    <th scope="col">Taken</th>
                    <th scope="col">ΔE₀₀ (95 %)</th>
                    <th scope="col">Verdict</th>
                    <th scope="col">Difference</th>
                  </tr>
                </thead>
                <tbody>
                  ${readings.map((reading) => this.#reading(reading))}
                </tbody>
              </table>
            </div>`
      }
      ${
        maps.length === 0
          ? nothing
          : html`<div class="scroll">
              <table>
                <thead>
                  <tr>
                    <th scope="col">Blend map</th>
                    <th scope="col">Taken</th>
                    <th scope="col">Of the sprayed area</th>
                    <th scope="col">Median ΔE₀₀</th>
                    <th scope="col">Worst place</th>
                  </tr>
                </thead>
                <tbody>
                  ${maps.map((map) => this.#map(map))}
                </tbody>
              </table>
            </div>`
      }`;
  }

  #map(map: MapRecord) {
    const { thumbnail } = this.#crops.of(map.id);
    const { acceptable, imperceptible } = map.thresholds;
    return html`<tr>
      <td>
        <a href=${hashOf({ screen: 'map', map: map.id })}>
          ${thumbnail ? html`<img class="crop" src=${thumbnail} alt="Open the map" />` : 'Open'}
        </a>
      </td>
      <td>${formatDay(map.createdAt)}, ${map.film}</td>
      <td>
        ${formatPercent(map.above.acceptable)} above ${formatNumber(acceptable, 1)},
        ${formatPercent(map.above.imperceptible)} above ${formatNumber(imperceptible, 1)}
      </td>
      <td>${formatNumber(map.median, 1)}</td>
      <td>${[formatNumber(map.worst.deltaE00, 1), ...map.worst.words].join(', ')}</td>
    </tr>`;
  }

  #reading(reading: ReadingRecord) {
    const { thumbnail } = this.#crops.of(reading.id);
    return html`<tr>
      <td>
        ${thumbnail ? html`<img class="crop" src=${thumbnail} alt="Crop of the dab" />` : nothing}
      </td>
      <td>${formatDay(reading.createdAt)}, ${reading.film}</td>
      <td>${differenceOf(reading)}</td>
      <td>${reading.verdict.acceptable}</td>
      <td>
        ${reading.words.join(', ') || 'none worth a word'}${
          reading.note ? html`<br />${reading.note}` : nothing
        }
      </td>
    </tr>`;
  }
}

function said(text: string) {
  return text.trim() === ''
    ? html`<p class="missing-text">not written yet</p>`
    : html`<p class="written">${text}</p>`;
}

function materialsList(materials: TreatmentReport['materials']) {
  if (materials.length === 0) return nothing;
  return html`<ul>
    ${materials.map(
      ({ name, use, quantity }) =>
        html`<li>${[name, use, quantity].filter(Boolean).join(', ')}</li>`,
    )}
  </ul>`;
}

function mixOf({ area, mix, mediumGrams, thinnerGrams }: AreaReport) {
  if (mix.length === 0) return nothing;
  const parts = [
    ...mix.map(
      ({ name, grams, share }) =>
        `${name} ${formatGrams(grams)} (${formatNumber(100 * share, share < 0.1 ? 2 : 1)} %)`,
    ),
    ...(mediumGrams > 0 ? [`clear medium ${formatGrams(mediumGrams)}`] : []),
    ...(thinnerGrams > 0 ? [`thinner ${formatGrams(thinnerGrams)}`] : []),
  ];
  return html`<p>Retouching of the ${area.name}: ${parts.join('; ')}.</p>`;
}

function differenceOf({ difference: { deltaE00, interval95 } }: ReadingRecord): string {
  const [low, high] = interval95.map((end) => formatNumber(end, 1));
  return `${formatNumber(deltaE00, 1)} (${low} to ${high})`;
}

function resultOf({ area, result }: AreaReport) {
  return result
    ? html`<p>
        ${area.name}: ${result.verdict.acceptable}, ΔE₀₀ ${differenceOf(result)}, ${result.film}
        dab, ${formatDay(result.createdAt)}. Acceptable up to
        ${formatNumber(result.thresholds.acceptable, 1)}. Glaze ${formatNamedLab(result.glazeLab)};
        dab ${formatNamedLab(result.dabLab)}.
      </p>`
    : html`<p class="missing-text">${area.name}: no reading yet</p>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-record-paper': RecordPaper;
  }
}
