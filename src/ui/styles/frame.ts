/** The frame round the screens: head, ways to the screens, room for one of them. */
import { css } from 'lit';

export const frame = css`
  :host {
    display: grid;
    grid-template-rows: auto auto minmax(0, 1fr);
    block-size: 100%;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    align-items: stretch;
    justify-content: space-between;
    gap: 8px;
    background: var(--control-deep);
  }
  .where {
    display: grid;
    align-content: center;
    flex: 1 1 6rem;
    min-inline-size: 0;
    padding: 2px 12px;
    line-height: 1.15;
  }
  .where h1,
  .where span {
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .where h1 {
    font-size: 1rem;
    font-weight: 700;
  }
  .where span {
    color: var(--ink-quiet);
    font-size: 0.8125rem;
  }
  .where i {
    font-style: normal;
  }
  nav {
    display: flex;
    flex-wrap: wrap;
  }
  nav a {
    display: flex;
    align-items: center;
    min-inline-size: var(--touch);
    min-block-size: var(--touch);
    padding: 4px 12px;
    border-block-end: 4px solid transparent;
    color: var(--ink);
    font-size: 0.9375rem;
    text-decoration: none;
  }
  nav a:hover {
    background: var(--control);
  }
  nav a[aria-current] {
    border-block-end-color: var(--ink);
    font-weight: 700;
  }
  @media (forced-colors: active) {
    nav a:not([aria-current]) {
      border-block-end-color: Canvas;
    }
  }
  main:focus-visible {
    outline-offset: -4px;
  }
  main {
    min-block-size: 0;
    overflow: auto;
  }
  .failure {
    max-inline-size: 60ch;
    margin: 24px;
    padding: 24px;
    background: var(--control);
  }
  .failure > * + * {
    margin-block-start: 16px;
  }
  .opening {
    padding: 24px;
    color: var(--ink-on-surround);
    font-weight: 600;
  }
  .lost {
    margin-block-end: 16px;
  }
  @media (max-width: 759px) {
    nav a {
      justify-content: center;
      padding: 4px 5px;
      font-size: 0.875rem;
    }
    .where {
      padding-inline: 12px 0;
    }
    .where h1 {
      font-size: 0.9375rem;
    }
    .where i {
      display: none;
    }
  }
  @media print {
    header,
    lt-standing-lines {
      display: none;
    }
    :host,
    main:focus-visible {
      outline-offset: -4px;
    }
    main {
      display: block;
      block-size: auto;
      overflow: visible;
    }
  }
`;
