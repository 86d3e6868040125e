/**
 * A blend map in numbers, and the legend of its hatchings: the share of the area above each threshold,
 * the median, the worst place, and what the sound glaze itself comes to by the same measure.
 */
import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Verdict, VerdictThresholds } from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import { hatchSample } from './blend-overlay.ts';
import { verdictIcon } from './icons.ts';
import { formatNumber, formatPercent } from './numbers.ts';

interface Shares {
  readonly acceptable: number;
  readonly imperceptible: number;
}

export interface MapNumbers {
  readonly above: Shares;
  readonly glazeAbove: Shares;
  readonly whole: {
    readonly deltaE00: number;
    readonly interval95: readonly [number, number];
    readonly verdict: { readonly acceptable: Verdict };
    readonly words: readonly string[];
  };
  readonly median: number;
  readonly judged: number;
  readonly worst: { readonly deltaE00: number; readonly words: readonly string[] };
  /** What to mind; a kept map has none. */
  readonly warnings?: readonly string[];
}

@customElement('lt-blend-result')
export class BlendResult extends LitElement {
  @property({ attribute: false }) map: MapNumbers | undefined;
  @property({ attribute: false }) thresholds: VerdictThresholds | undefined;

  static override styles = [
    base,
    css`
      table {
        inline-size: 100%;
        border-collapse: collapse;
      }
      caption {
        padding-block-end: 4px;
        font-weight: 700;
        text-align: start;
      }
      th,
      td {
        padding: 3px 0;
        font-weight: 400;
        text-align: start;
        line-height: 1.2;
      }
      th {
        padding-inline-end: 10px;
      }
      td:first-child {
        inline-size: 52px;
      }
      td:last-child {
        font-size: 1.375rem;
        font-weight: 700;
        text-align: end;
        white-space: nowrap;
      }
      svg {
        display: block;
      }
      dl {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        gap: 4px 12px;
        align-items: baseline;
        margin-block-start: 8px;
        padding-block-start: 8px;
        border-block-start: 1px solid var(--rule);
      }
      dt {
        display: flex;
        align-items: center;
        gap: 6px;
        white-space: nowrap;
      }
      dd {
        font-weight: 700;
      }
      .sure {
        vertical-align: bottom;
        display: inline-flex;
        align-items: center;
        gap: 5px;
        margin-inline-start: 6px;
        font-weight: 400;
        white-space: nowrap;
      }
      small {
        display: block;
        margin-block-start: 8px;
        color: var(--ink-quiet);
        font-size: 0.875rem;
        line-height: 1.3;
      }
    `,
  ];

  override render() {
    const { map, thresholds } = this;
    if (!map || !thresholds) return nothing;
    const { above, glazeAbove, worst, whole } = map;
    const [low, high] = whole.interval95.map((end) => formatNumber(end, 1));
    const upper = formatNumber(thresholds.acceptable, 1);
    const lower = formatNumber(thresholds.imperceptible, 1);
    const row = (kind: 'none' | 'lower' | 'upper', what: string, share: number) =>
      html`<tr>
        <td>
          <svg width="40" height="28" viewBox="0 0 40 28" aria-hidden="true">
            ${hatchSample(kind)}
          </svg>
        </td>
        <th scope="row">${what}</th>
        <td>${formatPercent(share)}</td>
      </tr>`;
    return html`
      ${map.warnings?.map((warning) => html`<p><b>${warning}</b></p>`)}
      <table>
        <caption>
          Sprayed area, ΔE₀₀ from the glaze round it
        </caption>
        <tbody>
          ${row('upper', `above ${upper}, more than is accepted`, above.acceptable)}
          ${row('lower', `above ${lower}, can be seen`, above.imperceptible)}
          ${row('none', `up to ${lower}, not to be seen`, 1 - above.imperceptible)}
        </tbody>
      </table>
      <dl>
        <dt>As a whole</dt>
        <dd>
          ${[formatNumber(whole.deltaE00, 1), ...whole.words.slice(0, 1)].join(', ')}
          <span class="sure">
            ${verdictIcon(whole.verdict.acceptable, 16)} ${whole.verdict.acceptable}, 95 %: ${low}
            to ${high}
          </span>
        </dd>
        <dt>Median</dt>
        <dd>${formatNumber(map.median, 1)}</dd>
        <dt>Worst place ${ringSample}</dt>
        <dd>${[formatNumber(worst.deltaE00, 1), ...worst.words].join(', ')}</dd>
      </dl>
      <small>
        The sound glaze itself, measured so: ${formatPercent(glazeAbove.imperceptible)} above
        ${lower}, ${formatPercent(glazeAbove.acceptable)} above ${upper}.
        ${
          map.judged < 0.995
            ? html`${formatPercent(1 - map.judged)} of the area could not be judged: glare, or too
              dark.`
            : nothing
        }
      </small>
    `;
  }
}

const ringSample = html`<svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true">
  ${svg`<circle cx="9" cy="9" r="6" fill="none" stroke="#000000" stroke-width="5" />
    <circle cx="9" cy="9" r="6" fill="none" stroke="#ffffff" stroke-width="2" />`}
</svg>`;

/** The map in one sentence, for a person who hears it. */
export function mapInWords(map: MapNumbers, thresholds: VerdictThresholds): string {
  const { above, worst, whole } = map;
  const [low, high] = whole.interval95.map((end) => formatNumber(end, 1));
  return (
    `Blend map: ${formatPercent(above.acceptable)} of the area above ${formatNumber(thresholds.acceptable, 1)}, ` +
    `${formatPercent(above.imperceptible)} above ${formatNumber(thresholds.imperceptible, 1)}. ` +
    `As a whole ${[formatNumber(whole.deltaE00, 1), ...whole.words].join(', ')}; 95 % interval ${low} to ${high}. ` +
    `Worst place ${[formatNumber(worst.deltaE00, 1), ...worst.words].join(', ')}.`
  );
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-blend-result': BlendResult;
  }
}
