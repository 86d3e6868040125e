/**
 * ΔE₀₀ of dab and glaze: the number, its 95 % interval, and both on a scale with the two
 * thresholds; the verdict is slotted beside it. The scale goes as the square root, so that 0.8 and 1.8 stay apart beside a 15.
 */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { VerdictThresholds } from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import { formatNumber } from './numbers.ts';

@customElement('lt-difference')
export class DifferenceNumber extends LitElement {
  @property({ type: Number }) deltaE00 = 0;
  @property({ attribute: false }) interval95: readonly [number, number] = [0, 0];
  @property({ attribute: false }) thresholds: VerdictThresholds = {
    acceptable: 1.8,
    imperceptible: 0.8,
  };

  static override styles = [
    base,
    css`
      .line {
        display: flex;
        flex-wrap: wrap;
        gap: 0 14px;
        align-items: center;
      }
      /* Beside the number, or below it where the type is large. */
      .line > div {
        flex: 1 1 9rem;
        min-inline-size: 0;
      }
      .number {
        font-size: clamp(3.5rem, 4.6vw, 5.5rem);
        font-weight: 700;
        letter-spacing: -0.03em;
        line-height: 0.95;
      }
      .interval {
        display: flex;
        flex-wrap: wrap;
        align-items: baseline;
        gap: 0 8px;
        margin-block-start: 3px;
        font-size: 1.125rem;
        font-weight: 600;
        line-height: 1.15;
        white-space: nowrap;
      }
      .caption {
        color: var(--ink-quiet);
        font-size: 0.8125rem;
        font-weight: 400;
      }
      .scale {
        position: relative;
        block-size: calc(14px + 1.0625rem);
        background: var(--control);
        forced-color-adjust: none;
        print-color-adjust: exact;
        margin-block-start: 6px;
      }
      .axis,
      .bar,
      .tick,
      .point {
        position: absolute;
      }
      .axis {
        inset-inline: 0;
        inset-block-start: 8px;
        block-size: 2px;
        background: var(--edge);
      }
      .bar {
        inset-block-start: 5px;
        block-size: 8px;
        min-inline-size: 2px;
        background: var(--ink);
      }
      .point {
        inset-block-start: 1px;
        inline-size: 4px;
        block-size: 16px;
        margin-inline-start: -2px;
        background: var(--ink);
        outline: 2px solid var(--control);
      }
      .tick {
        inset-block-start: 3px;
        inline-size: 2px;
        block-size: 12px;
        margin-inline-start: -1px;
        background: var(--edge);
      }
      .tick span {
        position: absolute;
        inset-block-start: 14px;
        inset-inline-start: 50%;
        translate: -50% 0;
        color: var(--ink-quiet);
        font-size: 0.8125rem;
        line-height: 1.2;
        white-space: nowrap;
      }
    `,
  ];

  override render() {
    const [low, high] = this.interval95;
    const end = Math.max(4, high * 1.1);
    const at = (v: number) => `${100 * Math.sqrt(Math.max(0, v) / end)}%`;
    const { acceptable, imperceptible } = this.thresholds;
    return html`
      <div class="line">
        <span class="number">${formatNumber(this.deltaE00, 1)}</span>
        <div>
          <slot></slot>
          <p class="interval">
            ${formatNumber(low, 1)} to ${formatNumber(high, 1)}
            <span class="caption">ΔE₀₀, 95 % interval</span>
          </p>
        </div>
      </div>
      <div class="scale" aria-hidden="true">
        <div class="axis"></div>
        <div class="tick" .style=${`left: ${at(imperceptible)}`}>
          <span>${formatNumber(imperceptible, 1)}</span>
        </div>
        <div class="tick" .style=${`left: ${at(acceptable)}`}>
          <span>${formatNumber(acceptable, 1)}</span>
        </div>
        <div class="bar" .style=${`left: ${at(low)}; width: calc(${at(high)} - ${at(low)})`}></div>
        <div class="point" .style=${`left: ${at(this.deltaE00)}`}></div>
      </div>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-difference': DifferenceNumber;
  }
}
