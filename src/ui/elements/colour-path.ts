/**
 * The way of the attempts towards the glaze, in a*–b* and on the L* axis, a unit as long on both; the
 * glaze with its 95 % ellipse, the predicted next dab, and where each pigment would pull from here.
 * Pigments are told by name, never by hue. The same stands in numbers below, for reading aloud.
 */
import { ticks } from 'd3-array';
import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { deltaE00 } from '../../colour/ciede2000.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Matrix3 } from '../../reading/types.ts';
import { base, controls } from '../styles/shared.ts';
import { formatGrams, formatNumber } from './numbers.ts';
import {
  commonRanges,
  ellipse95,
  lightness95,
  pullInWords,
  pullOfLength,
  spread,
  type Range,
} from './path-geometry.ts';

export interface AttemptOnPath {
  readonly number: number;
  readonly lab: LabD65;
}
/** Where a pigment pulls the dab, Lab per gram. */
export interface PullOnPath {
  /** "PB 28", what there is room for in the picture. */
  readonly code: string;
  readonly name: string;
  readonly perGram: LabD65;
}

const LINE = 15;
const GAP = 8;
/** Room for numbers and names of the axes, px. */
const LEFT = 40;
const BELOW = 34;
const LIGHTNESS_WIDTH = 132;
/** Narrower than this L* stands below. */
const NARROW = 440;
/** Where the dots and the pulls stand in it. */
const DOTS = 32;
const PULLS = 52;
/** The picture never shows less than this, CIELAB: below it only noise would be drawn large. */
const LEAST_RANGE = 6;
/** Length of a pull as a share of the range. */
const PULL_SHARE = 0.24;
/** A pull that is hardly seen in a picture is named in the other one only. */
const SEEN = 0.3;

@customElement('lt-colour-path')
export class ColourPath extends LitElement {
  @property({ attribute: false }) glaze: LabD65 | undefined;
  /** Of the difference between dab and glaze: where the dab may lie and still be the glaze. */
  @property({ attribute: false }) covariance: Matrix3 | undefined;
  /** Oldest first. */
  @property({ attribute: false }) attempts: readonly AttemptOnPath[] = [];
  @property({ attribute: false }) predicted: LabD65 | undefined;
  @property({ attribute: false }) pulls: readonly PullOnPath[] = [];
  @state() private width = 480;
  @state() private closer = false;

  #observer = new ResizeObserver(([entry]) => {
    if (entry && entry.contentRect.width > 0) this.width = Math.round(entry.contentRect.width);
  });

  static override styles = [
    base,
    controls,
    css`
      svg {
        display: block;
        inline-size: 100%;
        font-family: var(--sans);
        font-size: 13px;
      }
      .plot {
        fill: var(--control-deep);
      }
      .grid {
        stroke: var(--rule);
      }
      .zero {
        stroke: var(--edge);
      }
      text {
        fill: var(--ink-quiet);
      }
      .axis {
        fill: var(--ink);
        font-weight: 600;
      }
      .glaze-mark,
      .way,
      .pull,
      .ellipse,
      .next {
        fill: none;
        stroke: var(--ink);
      }
      .ellipse {
        stroke-dasharray: 2 4;
        stroke-width: 1.5;
      }
      .glaze-mark {
        stroke-width: 2.5;
      }
      .way {
        stroke-width: 1.5;
      }
      .next {
        stroke-width: 2;
        stroke-dasharray: 6 4;
      }
      .pull {
        stroke: var(--ink-quiet);
        stroke-width: 1.5;
      }
      .head {
        fill: var(--ink-quiet);
      }
      .dot {
        fill: var(--ink);
      }
      .dot.last {
        stroke: var(--control-deep);
        stroke-width: 2;
      }
      .number,
      .name {
        fill: var(--ink);
        stroke: var(--control-deep);
        stroke-width: 4px;
        paint-order: stroke;
        font-weight: 600;
      }
      .name {
        fill: var(--ink-quiet);
      }
      .key {
        margin-block: 6px 8px;
        color: var(--ink-quiet);
        font-size: 0.9375rem;
        line-height: 1.35;
      }
      summary {
        display: flex;
        align-items: center;
        min-block-size: var(--touch);
        font-weight: 600;
        cursor: pointer;
      }
      .scroll {
        overflow-x: auto;
      }
      table {
        inline-size: 100%;
        border-collapse: collapse;
        font-variant-numeric: tabular-nums;
      }
      caption {
        padding-block: 8px 2px;
        font-weight: 700;
        text-align: start;
      }
      th,
      td {
        padding: 5px 12px 5px 0;
        border-block-end: 1px solid var(--rule);
        font-weight: 400;
        text-align: start;
        white-space: nowrap;
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#observer.observe(this);
  }
  override disconnectedCallback(): void {
    this.#observer.disconnect();
    super.disconnectedCallback();
  }

  override render() {
    const { glaze } = this;
    const last = this.attempts.at(-1);
    if (!glaze || !last) {
      return html`<p class="key">
        After the first reading of this pot its way towards the glaze is drawn here.
      </p>`;
    }
    return html`${this.#picture(glaze)} ${this.#key()} ${this.#numbers(glaze)}`;
  }

  #picture(glaze: LabD65) {
    const shown = this.closer ? this.attempts.slice(-1) : this.attempts;
    const labs = [glaze, ...shown.map(({ lab }) => lab)];
    if (this.predicted) labs.push(this.predicted);
    const axis = (index: 0 | 1 | 2) => labs.map((lab) => lab[index]);
    const ranges = commonRanges([axis(0), axis(1), axis(2)], LEAST_RANGE);
    // Air round the outermost, for names and arrows.
    const [L, a, b] = ranges.map(({ from, to }): Range => {
      const air = 0.3 * (to - from);
      return { from: from - air, to: to + air };
    }) as [Range, Range, Range];
    // Where both do not fit beside each other, L* stands below, as wide as a* and b*.
    const isStacked = this.width < NARROW;
    const side = isStacked
      ? Math.max(160, this.width - LEFT - 4)
      : Math.min(this.width - LEFT - LIGHTNESS_WIDTH - LEFT, 440);
    const range = a.to - a.from;
    const unit = side / range;
    const x = (value: number) => LEFT + (value - a.from) * unit;
    const y = (value: number) => GAP + (b.to - value) * unit;
    const left = isStacked ? LEFT : LEFT + side + LEFT;
    const top = isStacked ? GAP + side + BELOW + GAP : GAP;
    const wide = isStacked ? side : LIGHTNESS_WIDTH;
    const yL = (value: number) => top + (L.to - value) * unit;
    const middle = left + DOTS;
    const below = GAP + side + BELOW;
    const height = isStacked ? top + side + GAP : below;
    const at = { x, y, yL, middle, left, top, wide };
    return html`<div .style=${`max-inline-size: ${left + wide}px`}>
      <svg viewBox="0 0 ${left + wide} ${height}" role="img" aria-label=${this.#inWords(glaze)}>
        <rect class="plot" x=${LEFT} y=${GAP} width=${side} height=${side}></rect>
        <rect class="plot" x=${left} y=${top} width=${wide} height=${side}></rect>
        ${ticks(a.from, a.to, 5).map(
          (value) =>
            svg`<line class=${value === 0 ? 'zero' : 'grid'} x1=${x(value)} x2=${x(value)} y1=${GAP} y2=${GAP + side}></line>
            <text x=${x(value)} y=${GAP + side + 16} text-anchor="middle">${tick(value)}</text>`,
        )}
        ${ticks(b.from, b.to, 5).map(
          (value) =>
            svg`<line class=${value === 0 ? 'zero' : 'grid'} x1=${LEFT} x2=${LEFT + side} y1=${y(value)} y2=${y(value)}></line>
            <text x=${LEFT - 6} y=${y(value) + 4} text-anchor="end">${tick(value)}</text>`,
        )}
        ${ticks(L.from, L.to, 5).map(
          (value) =>
            svg`<line class="grid" x1=${left} x2=${left + wide} y1=${yL(value)} y2=${yL(value)}></line>
            <text x=${left - 6} y=${yL(value) + 4} text-anchor="end">${tick(value)}</text>`,
        )}
        <text class="axis" x=${LEFT + side} y=${below - 3} text-anchor="end">a* redder →</text>
        <text class="axis" x=${LEFT + 6} y=${GAP + 16}>b* yellower ↑</text>
        <text class="axis" x=${left + 6} y=${top + 16}>L* lighter ↑</text>
        <clipPath id="flat">
          <rect x=${LEFT} y=${GAP} width=${side} height=${side}></rect>
        </clipPath>
        <clipPath id="upright">
          <rect x=${left} y=${top} width=${wide} height=${side}></rect>
        </clipPath>
        ${this.#pullsDrawn(side, range, at)} ${this.#glazeDrawn(glaze, unit, at)}
        ${this.#wayDrawn(at)}
      </svg>
    </div>`;
  }

  #glazeDrawn(glaze: LabD65, unit: number, at: Places) {
    const [gx, gy, gL] = [at.x(glaze[1]), at.y(glaze[2]), at.yL(glaze[0])];
    const ellipse = this.covariance && ellipse95(this.covariance);
    const bar = this.covariance && lightness95(this.covariance) * unit;
    return svg`
      <g clip-path="url(#flat)">
        ${
          ellipse
            ? svg`<ellipse class="ellipse" cx=${gx} cy=${gy} rx=${ellipse.long * unit} ry=${ellipse.short * unit} transform="rotate(${-ellipse.angle} ${gx} ${gy})"></ellipse>`
            : nothing
        }
        <path class="glaze-mark" d="M${gx - 9} ${gy}h18M${gx} ${gy - 9}v18"></path>
        <text class="number" x=${gx + 11} y=${gy - 7}>glaze</text>
      </g>
      <g clip-path="url(#upright)">
        ${
          bar
            ? svg`<path class="ellipse" d="M${at.middle} ${gL - bar}v${2 * bar}"></path>`
            : nothing
        }
        <path class="glaze-mark" d="M${at.middle - 16} ${gL}h32"></path>
      </g>`;
  }

  #wayDrawn(at: Places) {
    const points = this.attempts.map(({ lab }) => `${at.x(lab[1])},${at.y(lab[2])}`).join(' ');
    const dots = (where: (lab: LabD65) => readonly [number, number]) =>
      this.attempts.map(({ number, lab }, index) => {
        const isLast = index === this.attempts.length - 1;
        const [px, py] = where(lab);
        return svg`
          <circle class="dot ${isLast ? 'last' : ''}" cx=${px} cy=${py} r=${isLast ? 6.5 : 4}></circle>
          <text class="number" x=${px - 9} y=${py + 5} text-anchor="end">${number}</text>`;
      });
    const last = this.attempts.at(-1)!.lab;
    const { predicted } = this;
    const flat = (lab: LabD65) => [at.x(lab[1]), at.y(lab[2])] as const;
    const upright = (lab: LabD65) => [at.middle, at.yL(lab[0])] as const;
    const square = ([px, py]: readonly [number, number]) =>
      svg`<path class="glaze-mark" d=${`M${px - 6} ${py - 6}h12v12h-12z`}></path>`;
    return svg`
      <g clip-path="url(#flat)">
        <polyline class="way" points=${points}></polyline>
        ${
          predicted
            ? svg`<path class="next" d=${`M${flat(last).join(' ')}L${flat(predicted).join(' ')}`}></path>
                ${square(flat(predicted))}`
            : nothing
        }
        ${dots(flat)}
      </g>
      <g clip-path="url(#upright)">
        ${predicted ? square(upright(predicted)) : nothing} ${dots(upright)}
      </g>`;
  }

  #pullsDrawn(side: number, range: number, at: Places) {
    const last = this.attempts.at(-1)!.lab;
    const length = PULL_SHARE * range;
    const drawn = this.pulls.flatMap(({ code, perGram }) => {
      const pull = pullOfLength(perGram, length);
      return pull ? [{ code, ...pull }] : [];
    });
    const [x0, y0, yL0] = [at.x(last[1]), at.y(last[2]), at.yL(last[0])];
    const flat = drawn
      .filter(({ a, b }) => Math.hypot(a, b) > SEEN * length)
      .map(({ code, a, b }) => {
        const [x1, y1] = [at.x(last[1] + a), at.y(last[2] + b)];
        const far = Math.hypot(x1 - x0, y1 - y0);
        const beyond = 1 + 18 / far;
        return {
          arrow: { x1, y1 },
          text: code,
          x: Math.max(LEFT + 22, Math.min(LEFT + side - 22, x0 + (x1 - x0) * beyond)),
          y: y0 + (y1 - y0) * (1 + 10 / far),
        };
      });
    const upright = drawn
      .filter(({ L }) => Math.abs(L) > SEEN * length)
      .map(({ code, L }, index, all) => ({
        arrow: { x1: at.left + PULLS + (22 * index) / all.length, y1: at.yL(last[0] + L) - at.top },
        text: code,
        x: at.left + Math.min(at.wide, LIGHTNESS_WIDTH) - 4,
        y: at.yL(last[0] + L) - at.top,
      }));
    const width = (text: string) => 7.4 * text.length + 4;
    const box = { width, line: LINE, height: GAP + side };
    return svg`
      ${spread(flat, box).map(
        ({ arrow, text, x, y }) => svg`${arrowDrawn(x0, y0, arrow.x1, arrow.y1)}
          <text class="name" x=${x} y=${y + 4} text-anchor="middle">${text}</text>`,
      )}
      ${spread(upright, { ...box, width: () => LIGHTNESS_WIDTH, height: side }).map(
        ({ arrow, text, x, y }) => svg`${arrowDrawn(arrow.x1, yL0, arrow.x1, at.top + arrow.y1)}
          <text class="name" x=${x} y=${at.top + y + 4} text-anchor="end">${text}</text>`,
      )}`;
  }

  #key() {
    const farAndNear =
      this.attempts.length > 1
        ? html`<button aria-pressed=${this.closer} @click=${() => (this.closer = !this.closer)}>
            Closer to the glaze
          </button>`
        : nothing;
    return html`${farAndNear}
      <p class="key">
        Cross: the
        glaze${this.covariance ? ', dotted round it where a dab may lie and still be the glaze (95 %)' : ''}.
        Dots: the attempts, the newest larger.${this.predicted ? ' Square: predicted next.' : ''}
        ${
          this.pulls.length > 0
            ? ' Arrows: where a little of each paint would pull from here, all by the same amount.'
            : nothing
        }
      </p>`;
  }

  #numbers(glaze: LabD65) {
    const row = (name: string, lab: LabD65) =>
      html`<tr>
        <th scope="row">${name}</th>
        ${lab.map((value) => html`<td>${formatNumber(value, 1)}</td>`)}
        <td>${lab === glaze ? '' : formatNumber(deltaE00(glaze, lab), 1)}</td>
      </tr>`;
    const pulls = this.pulls.flatMap(({ name, perGram }) => {
      const pull = pullOfLength(perGram, 1);
      return pull ? [{ name, ...pull }] : [];
    });
    return html`<details>
      <summary>The same in numbers</summary>
      <div class="scroll">
        <table>
          <caption>
            The way so far
          </caption>
          <thead>
            <tr>
              <th scope="col">dab</th>
              <th scope="col">L*</th>
              <th scope="col">a*</th>
              <th scope="col">b*</th>
              <th scope="col">ΔE₀₀</th>
            </tr>
          </thead>
          <tbody>
            ${row('glaze', glaze)}
            ${this.attempts.map(({ number, lab }) => row(`attempt ${number}`, lab))}
            ${this.predicted ? row('predicted', this.predicted) : nothing}
          </tbody>
        </table>
        ${
          pulls.length > 0
            ? html`<table>
                <caption>
                  Where each paint pulls from here
                </caption>
                <tbody>
                  ${pulls.map(
                    ({ name, L, a, b, grams }) =>
                      html`<tr>
                        <th scope="row">${name}</th>
                        <td>${pullInWords([L, a, b])}</td>
                        <td>one unit a ${formatGrams(grams)}</td>
                      </tr>`,
                  )}
                </tbody>
              </table>`
            : nothing
        }
      </div>
    </details>`;
  }

  #inWords(glaze: LabD65): string {
    const off = (lab: LabD65) => formatNumber(deltaE00(glaze, lab), 1);
    const way = this.attempts.map(({ number, lab }) => `attempt ${number} ${off(lab)}`).join(', ');
    const next = this.predicted ? `; predicted next ${off(this.predicted)}` : '';
    return `The way towards the glaze, ΔE₀₀: ${way}${next}. The same stands in numbers below.`;
  }
}

interface Places {
  readonly x: (a: number) => number;
  readonly y: (b: number) => number;
  readonly yL: (L: number) => number;
  /** Where L* is drawn: the middle of its dots, its left and upper edge, its width. */
  readonly middle: number;
  readonly left: number;
  readonly top: number;
  readonly wide: number;
}

function arrowDrawn(x0: number, y0: number, x1: number, y1: number) {
  const turn = (Math.atan2(y1 - y0, x1 - x0) * 180) / Math.PI;
  return svg`<path class="pull" d="M${x0} ${y0}L${x1} ${y1}"></path>
    <path class="head" d="M0 0l-8 -3.5v7z" transform="translate(${x1} ${y1}) rotate(${turn})"></path>`;
}

function tick(value: number): string {
  return formatNumber(value, Number.isInteger(value) ? 0 : 1);
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-colour-path': ColourPath;
  }
}
