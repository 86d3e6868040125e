/** A treatment record, on the screen and on paper. */
import { css } from 'lit';

export const treatmentRecord = css`
  article {
    max-inline-size: 800px;
    margin-inline: auto;
    padding: 24px;
    background: var(--control);
    color: var(--ink);
  }
  h2 {
    margin-block-end: 8px;
    font-size: 1.5rem;
    line-height: 1.2;
  }
  h3 {
    margin-block: 20px 4px;
    padding-block-end: 2px;
    border-block-end: 1px solid var(--rule);
    font-size: 1.0625rem;
  }
  h4 {
    margin: 12px 0 4px;
    font-size: 1rem;
  }
  .missing-text {
    color: var(--ink-quiet);
    font-style: italic;
  }
  .written {
    white-space: pre-line;
  }
  dl {
    display: grid;
    grid-template-columns: max-content minmax(0, 1fr);
    gap: 2px 16px;
  }
  dt {
    color: var(--ink-quiet);
  }
  .scroll {
    overflow-x: auto;
  }
  .scroll + .scroll {
    margin-block-start: 12px;
  }
  table {
    inline-size: 100%;
    border-collapse: collapse;
    font-size: 0.9375rem;
  }
  th,
  td {
    padding: 4px 8px 4px 0;
    border-block-end: 1px solid var(--rule);
    text-align: start;
    vertical-align: middle;
  }
  .crop {
    display: block;
    inline-size: 56px;
    block-size: 56px;
    object-fit: cover;
  }
  ul {
    padding-inline-start: 18px;
    list-style: disc;
  }
  .images {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(min(220px, 100%), 1fr));
    gap: 12px;
  }
  figure {
    margin: 0;
    break-inside: avoid;
  }
  figure img {
    display: block;
    inline-size: auto;
    max-inline-size: 100%;
    block-size: auto;
    max-block-size: 320px;
    object-fit: contain;
    background: var(--surround);
  }
  figcaption {
    margin-block-start: 2px;
    font-size: 0.875rem;
  }
  @media print {
    article {
      max-inline-size: none;
      padding: 0;
      font-size: 10.5pt;
    }
    .scroll {
      overflow: visible;
    }
    h3,
    h4 {
      break-after: avoid;
    }
    tr,
    figure,
    dl {
      break-inside: avoid;
    }
    figure img {
      max-block-size: 90mm;
    }
    .images {
      grid-template-columns: 1fr 1fr;
    }
  }
`;
