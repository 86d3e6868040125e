/** What a look at the lamp found, in words first; and the map of how evenly it lights the field. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import {
  FLICKERS,
  LEAST_LUX,
  LUX_FACTOR,
  MOST_LUX,
  type EvennessMap,
} from '../../reading/lamp-check.ts';
import type { LampLook } from '../state/lamp-look.ts';
import { base } from '../styles/shared.ts';
import { formatNumber, formatPercent } from './numbers.ts';

/** Over this much of a difference the field is said to be uneven: common practice, no source. */
const UNEVEN = 0.2;
/** ln R/G or B/G across tile or field from which a second light is suspected. */
const MIXED = 0.02;

/** What was found, line by line; the second of each says that something is to be mended. */
export function lookInWords(look: LampLook): readonly (readonly [string, boolean])[] {
  const { colour, flicker, lux, colourShift } = look;
  const kelvin =
    colour.kelvin === undefined
      ? 'no white light'
      : `${formatNumber(Math.round(colour.kelvin / 10) * 10, 0)} K, Duv ${formatNumber(colour.duv!, 3)}`;
  const lines: [string, boolean][] = [
    [`Colour: ${kelvin} (x ${formatNumber(colour.x, 3)}, y ${formatNumber(colour.y, 3)}).`, false],
  ];
  if (flicker) {
    const flickers =
      flicker.frameToFrame > FLICKERS.frameToFrame || flicker.banding > FLICKERS.banding;
    const level = `${formatNumber(100 * flicker.frameToFrame, 1)} % from frame to frame, bands of ${formatNumber(100 * flicker.banding, 1)} %`;
    lines.push(
      flickers
        ? [`Flickers: ${level}. Average longer, or take a lamp with another driver.`, true]
        : [`No flicker to speak of: ${level}.`, false],
    );
  }
  if (colourShift !== undefined) {
    lines.push(
      colourShift > MIXED
        ? ['Two lights of different colour: the edges of the tile disagree. Leave one on.', true]
        : ['One light: the edges of the tile agree in colour.', false],
    );
  }
  if (lux !== undefined) lines.push(luxInWords(lux));
  return lines;
}

function luxInWords(lux: number): [string, boolean] {
  const about = formatNumber(Number(lux.toPrecision(1)), 0);
  const range = `${LEAST_LUX} to ${MOST_LUX} lx are asked for (ISO 3668)`;
  if (lux * LUX_FACTOR < LEAST_LUX) {
    return [`Seems dim, about ${about} lx: ${range}. Bring the lamp nearer.`, true];
  }
  if (lux > MOST_LUX * LUX_FACTOR) {
    return [`Seems very bright, about ${about} lx: ${range}. Move the lamp back.`, true];
  }
  return [`About ${about} lx, give or take a factor of two: ${range}.`, false];
}

@customElement('lt-lamp-look')
export class LampLookView extends LitElement {
  @property({ attribute: false }) look: LampLook | undefined;
  @property({ attribute: false }) evenness: EvennessMap | undefined;

  static override styles = [
    base,
    css`
      li {
        padding-block: 4px;
      }
      li.mend {
        font-weight: 800;
      }
      table {
        inline-size: 100%;
        margin-block-start: 12px;
        border-collapse: collapse;
        table-layout: fixed;
      }
      caption {
        padding-block-end: 4px;
        text-align: start;
      }
      td {
        padding: 10px 2px;
        border: 1px solid var(--rule);
        font-size: 0.875rem;
        text-align: center;
      }
      td.far {
        border-width: 3px;
        border-color: var(--ink);
        font-weight: 800;
      }
    `,
  ];

  override render() {
    return html`${
      this.look
        ? html`<ul>
            ${lookInWords(this.look).map(
              ([line, mend]) => html`<li class=${mend ? 'mend' : ''}>${line}</li>`,
            )}
          </ul>`
        : nothing
    }${this.evenness ? this.#map(this.evenness) : nothing}`;
  }

  #map({ columns, rows, share, colourShift }: EvennessMap) {
    const known = share.filter(Number.isFinite);
    const mixed = Math.max(...colourShift.filter(Number.isFinite)) > 2 * MIXED;
    const spread = Math.max(...known) / Math.min(...known) - 1;
    return html`<table>
      <caption>
        Light over the field, the middle being 100 %:
        ${
          spread > UNEVEN
            ? html`<b>uneven, ${formatPercent(spread)} from end to end.</b>`
            : `even to ${formatPercent(spread)}.`
        }
        ${mixed ? html`<b>Its colour changes too: a second light falls in.</b>` : nothing}
      </caption>
      <tbody>
        ${Array.from(
          { length: rows },
          (_, row) =>
            html`<tr>
              ${Array.from({ length: columns }, (__, column) => {
                const v = share[row * columns + column]!;
                return html`<td class=${Math.abs(v - 1) > UNEVEN / 2 ? 'far' : ''}>
                  ${Number.isFinite(v) ? formatNumber(100 * v, 0) : '–'}
                </td>`;
              })}
            </tr>`,
        )}
      </tbody>
    </table>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-lamp-look': LampLookView;
  }
}
