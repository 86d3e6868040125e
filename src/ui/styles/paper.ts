/** Screens that are read rather than worked at: one column of panels that scrolls. */
import { css } from 'lit';

export const paper = css`
  :host {
    max-inline-size: 1100px;
    margin-inline: auto;
    padding: 8px;
  }
  .bar {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    justify-content: space-between;
    gap: 8px;
    margin-block-end: 8px;
    color: var(--ink-on-surround);
  }
  .bar h2 {
    font-size: 1.5rem;
    font-weight: 800;
    letter-spacing: -0.01em;
  }
  .panel {
    margin-block-end: 8px;
    padding: 16px;
    background: var(--control);
    color: var(--ink);
  }
  .panel h3 {
    font-size: 1.125rem;
    line-height: 1.25;
  }
  .actions {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
  .trouble:not(:empty) {
    margin-block-end: 8px;
    padding: 12px 16px;
    background: var(--control-deep);
    font-weight: 700;
  }
  .said:not(:empty) {
    min-block-size: 1.5em;
    color: var(--ink-on-surround);
    font-weight: 700;
  }
  .halves {
    display: grid;
    gap: 0 8px;
  }
  @media (min-width: 900px) {
    .halves {
      grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
      align-items: start;
    }
  }
  .empty {
    padding: 24px 16px;
    background: var(--control);
  }
  /* The ways out of a screen stand on one line of a phone where they can. */
  @media (max-width: 519px) {
    .bar .button,
    .bar button {
      padding-inline: 9px;
      font-size: 0.9375rem;
    }
    .bar,
    .bar .actions {
      gap: 6px;
    }
  }
  /* On paper nothing can be pressed. */
  @media print {
    :host {
      max-inline-size: none;
      padding: 0;
    }
    .bar :is(button, .button),
    .actions,
    .trouble,
    lt-undo-line {
      display: none;
    }
    .bar,
    .panel {
      padding: 0 0 8px;
    }
  }
`;
