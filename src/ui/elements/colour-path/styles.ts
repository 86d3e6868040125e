/** How the picture of the way and its numbers look: neutral, told apart by shape and weight. */
import { css } from 'lit';

export const pathStyles = css`
  svg {
    display: block;
    inline-size: 100%;
    font-family: var(--sans);
    font-size: 13px;
    background: var(--control);
    forced-color-adjust: none;
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
  .leader {
    fill: none;
    stroke: var(--edge);
  }
  summary {
    display: flex;
    align-items: center;
    gap: 8px;
    min-block-size: var(--touch);
    font-weight: 600;
    cursor: pointer;
  }
  summary::before {
    content: '▸';
  }
  [open] > summary::before {
    content: '▾';
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
  .paint {
    min-inline-size: 9em;
    white-space: normal;
    overflow-wrap: anywhere;
  }
`;
