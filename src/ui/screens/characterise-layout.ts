/** Where things stand while paints are read on the tile, beside what the bench itself lays out. */
import { css } from 'lit';

export const characteriseLayout = css`
  .panel p {
    line-height: 1.35;
  }
  .what {
    display: grid;
    gap: 6px;
  }
  h2 {
    font-size: 1.25rem;
    line-height: 1.2;
  }
  h2 span {
    font-weight: 400;
  }
  .order {
    flex: 1;
    min-block-size: 64px;
    overflow: auto;
  }
  .live {
    display: grid;
    grid-template-columns: 96px minmax(0, 1fr);
    gap: 12px;
    align-items: center;
    padding: 0;
    min-block-size: 76px;
  }
  .swatch {
    align-self: stretch;
    padding: 12px;
    background: var(--surround);
  }
  .swatch div {
    block-size: 100%;
  }
  .numbers {
    font-variant-numeric: tabular-nums;
  }
  .numbers b {
    display: block;
    font-size: 1.0625rem;
  }
  .steps {
    display: flex;
    flex-wrap: wrap;
    gap: 4px;
  }
  .steps button {
    padding-inline: 10px;
    font-size: 0.9375rem;
  }
  .fault {
    display: flex;
    gap: 8px;
    font-weight: 700;
  }
  .fault svg {
    flex: none;
  }
  .actions {
    grid-template-columns: 2fr 1fr 1fr;
  }
  .actions a {
    min-block-size: 56px;
  }
  .note {
    display: flex;
    gap: 6px;
  }
  .note svg {
    flex: none;
  }
  /* Held upright all of it does not fit at once: the page scrolls, the picture stays in reach. */
  @media (max-width: 759px) {
    :host {
      block-size: auto;
      min-block-size: 100%;
    }
    .picture {
      flex: none;
      block-size: 34vh;
    }
    .order {
      flex: none;
      overflow: visible;
    }
  }
  @media (min-width: 760px) {
    .do {
      overflow: auto;
    }
  }
`;
