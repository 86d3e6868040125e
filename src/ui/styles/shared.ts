/** What every shadow root shares: box model, focus ring, buttons, fields, hidden text. */
import { css } from 'lit';

export const base = css`
  :host {
    box-sizing: border-box;
    display: block;
  }
  :host([hidden]),
  [hidden] {
    display: none !important;
  }
  *,
  *::before,
  *::after {
    box-sizing: inherit;
  }
  h1,
  h2,
  h3,
  p,
  dl,
  dd,
  ul,
  ol {
    margin: 0;
    padding: 0;
  }
  ul,
  ol {
    list-style: none;
  }
  /* Names are as long as people make them. */
  h1,
  h2,
  h3,
  h4,
  p,
  dd {
    overflow-wrap: anywhere;
  }
  fieldset {
    min-inline-size: 0;
  }
  /* A browser's own links are blue, and purple once followed. */
  a {
    color: inherit;
  }
  /* Two tones, so that it is seen on a dark control, on the surround and on a photograph. */
  :focus-visible {
    outline: 3px solid #ffffff;
    outline-offset: 2px;
    box-shadow: 0 0 0 2px #000000;
  }
  /* What is painted in a measured colour keeps it where the person has colours of their own. */
  [style*='color(xyz'] {
    forced-color-adjust: none;
    print-color-adjust: exact;
  }
  /* What is said beside the thing itself. */
  .quiet {
    color: var(--ink-quiet);
    font-size: 0.9375rem;
  }
  .on-paper {
    display: none;
  }
  @media print {
    .on-paper {
      display: block;
    }
  }
  .unseen {
    position: absolute;
    inline-size: 1px;
    block-size: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
`;

export const controls = css`
  button,
  .button {
    display: inline-flex;
    align-items: center;
    justify-content: center;
    gap: 8px;
    min-block-size: var(--touch);
    min-inline-size: var(--touch);
    padding: 4px 14px;
    border: 1px solid var(--edge);
    border-radius: 3px;
    background: var(--control);
    color: var(--ink);
    font: inherit;
    font-weight: 600;
    line-height: 1.15;
    text-align: center;
    text-decoration: none;
    cursor: pointer;
    touch-action: manipulation;
  }
  button svg,
  .button svg {
    flex: none;
  }
  button:hover,
  .button:hover {
    background: var(--control-raised);
  }
  button:active {
    background: var(--control-deep);
  }
  button.next,
  .button.next {
    border-color: var(--next);
    background: var(--next);
    color: var(--ink-on-next);
    font-weight: 700;
  }
  button.next:hover {
    background: #ffffff;
  }
  @media (forced-colors: active) {
    button.next,
    .button.next {
      background: Highlight;
      color: HighlightText;
      forced-color-adjust: none;
    }
  }
  /* A control that cannot be used now stays readable: it says what will be possible. */
  button[disabled] {
    border-style: dashed;
    border-color: #808080;
    background: transparent;
    color: var(--ink-quiet);
    font-weight: 400;
    cursor: default;
  }
  button.plain {
    border-color: transparent;
    background: transparent;
  }
  button[aria-pressed='true'],
  button[aria-current='true'] {
    border: 3px solid var(--ink);
    background: var(--control-deep);
    font-weight: 700;
  }
  input,
  select,
  textarea {
    min-block-size: var(--touch);
    inline-size: 100%;
    padding: 8px 12px;
    border: 1px solid var(--edge);
    border-radius: 3px;
    background: var(--control-deep);
    color: var(--ink);
    font: inherit;
    font-weight: 400;
  }
  /* A chosen name that is longer than its field ends in dots. */
  select {
    overflow: hidden;
    text-overflow: ellipsis;
  }
  input[type='checkbox'],
  input[type='radio'] {
    inline-size: 24px;
    min-block-size: 24px;
    accent-color: var(--next);
  }
  label {
    display: grid;
    gap: 4px;
    font-weight: 600;
  }
  /* What is wrong, where it is typed. */
  .error,
  [role='alert'] {
    font-weight: 700;
  }
  /* Buttons that belong together. */
  .both {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
  /* A button that chooses a file: the field itself is not seen. */
  .file input {
    position: absolute;
    inline-size: 1px;
    min-block-size: 1px;
    opacity: 0;
  }
  .file:focus-within {
    outline: 3px solid #ffffff;
    outline-offset: 2px;
  }
  kbd {
    display: none;
    min-inline-size: 1.6em;
    padding: 1px 5px;
    border: 1px solid currentColor;
    border-radius: 3px;
    font: 600 0.75rem/1.3 var(--sans);
  }
  /* Keys are shown where a keyboard is likely. */
  @media (hover: hover) and (pointer: fine) {
    kbd {
      display: inline-block;
    }
  }
`;
