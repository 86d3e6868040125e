/** Where things stand on the bench: one column held upright or low, two where there is room. */
import { css } from 'lit';

export const benchLayout = css`
  /* Held upright, all in one column: picture and swatches give way first, then the next addition scrolls
     in itself, before anything would stand over anything else. */
  :host {
    display: flex;
    flex-direction: column;
    block-size: 100%;
    background: var(--surround);
  }
  .see,
  .do {
    display: contents;
  }
  .guide,
  .trouble {
    display: flex;
    flex: none;
    align-items: center;
    justify-content: space-between;
    gap: 8px;
    min-block-size: 44px;
    padding: 2px 12px;
    background: var(--control-deep);
  }
  .guide .step {
    font-size: 1rem;
    font-weight: 600;
    line-height: 1.2;
  }
  .notice {
    color: var(--ink-quiet);
    font-weight: 400;
  }
  .trouble {
    border-block-start: 3px solid var(--ink);
    font-weight: 700;
  }
  .picture {
    flex: 1 100 128px;
    min-block-size: 92px;
  }
  .chip {
    position: absolute;
    inset: 6px auto auto 6px;
    padding: 2px 8px;
    background: rgb(0 0 0 / 70%);
    font-size: 0.8125rem;
    pointer-events: none;
  }
  .chip b {
    display: inline-block;
    margin-inline-start: 8px;
  }
  .chip b:empty {
    display: none;
  }
  .no-picture {
    position: absolute;
    inset: 0;
    display: flex;
    flex-direction: column;
    align-items: center;
    justify-content: center;
    gap: 8px;
    padding: 12px;
    overflow: auto;
    text-align: center;
    line-height: 1.3;
  }
  .no-picture .what {
    font-weight: 700;
  }
  .tools {
    display: grid;
    flex: none;
    grid-template-columns: repeat(auto-fit, minmax(3.4rem, 1fr));
    background: var(--control);
  }
  .tools button {
    flex-direction: column;
    gap: 0;
    padding: 2px;
    border-color: transparent;
    border-radius: 0;
    font-size: 0.8125rem;
  }
  .tools button[aria-pressed='true'] {
    border: 0;
    border-block-end: 4px solid var(--ink);
  }
  .swatches {
    flex: 0 100 96px;
    min-block-size: 84px;
  }
  .panel {
    flex: none;
    margin-block-start: 4px;
    padding: 6px 12px;
    background: var(--control);
  }
  .reading {
    min-block-size: 160px;
  }
  .empty {
    color: var(--ink-quiet);
  }
  .heading {
    display: flex;
    align-items: center;
    gap: 8px;
    margin-block-end: 2px;
  }
  h2 {
    flex: 1;
    font-size: 0.9375rem;
    font-weight: 700;
  }
  .heading .button,
  .heading button {
    padding-inline: 10px;
    font-size: 0.875rem;
  }
  .nudge {
    flex: 0 1 auto;
    min-block-size: 96px;
    overflow: auto;
  }
  .nudge lt-pot {
    display: none;
  }
  .attempts {
    display: grid;
    grid-template-columns: auto minmax(0, 1fr);
    gap: 4px;
    padding: 4px;
  }
  .attempts > .button {
    padding: 2px 10px;
    font-size: 0.875rem;
  }
  .actions {
    display: grid;
    flex: none;
    margin-block-start: 4px;
    grid-template-columns: repeat(3, minmax(0, 1fr));
    gap: 4px;
    position: sticky;
    inset-block-end: 0;
    padding: 4px;
    background: var(--control-deep);
  }
  .actions button {
    min-block-size: 56px;
    flex-wrap: wrap;
    min-inline-size: 0;
    padding-inline: 4px;
    font-size: 1.125rem;
  }

  @media (min-width: 760px) {
    :host {
      gap: 8px;
    }
    .tools button {
      font-size: 0.9375rem;
    }
    .swatches {
      min-block-size: 96px;
    }
    .panel {
      padding: 14px 18px;
    }
    .attempts {
      padding: 8px;
    }
    .actions {
      gap: 8px;
      padding: 8px;
    }
    .actions button {
      min-block-size: 64px;
    }
  }

  /* A tablet held upright: the picture has the whole width, reading and addition stand side by side. */
  @media (min-width: 760px) and (height > 560px) and (max-aspect-ratio: 9/10) {
    .see {
      display: flex;
      flex: 1;
      flex-direction: column;
      min-block-size: 0;
    }
    .swatches {
      flex: none;
      block-size: 128px;
    }
    .do {
      display: grid;
      flex: none;
      grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
      gap: 8px;
      max-block-size: 50%;
    }
    .do > * {
      grid-column: 1 / -1;
    }
    .do > .reading:has(+ .nudge) {
      grid-column: 1;
    }
    .do > .reading + .nudge {
      grid-column: 2;
    }
    .panel,
    .actions {
      margin-block-start: 0;
    }
  }

  /* Wide and high enough for picture and reading side by side. */
  @media (min-width: 760px) and (height > 560px) and (min-aspect-ratio: 9/10) {
    :host {
      display: grid;
      grid-template: minmax(0, 1fr) / minmax(0, 1fr) minmax(380px, 32%);
    }
    .see,
    .do {
      display: flex;
      flex-direction: column;
      min-block-size: 0;
      min-inline-size: 0;
    }
    .do {
      gap: 8px;
    }
    .panel,
    .actions {
      margin-block-start: 0;
    }
    .swatches {
      flex: 0 1 30%;
    }
    .nudge {
      flex: 1;
    }
  }

  /* Room beside each icon for its name. */
  @media (min-width: 1200px) {
    .tools button {
      flex-direction: row;
      gap: 8px;
      font-size: 1rem;
    }
  }

  /* Room to spare: the pot stays in sight, and the type grows. */
  @media (min-width: 1200px) and (min-height: 780px), (min-width: 760px) and (min-height: 960px) {
    .guide .step {
      font-size: 1.1875rem;
    }
    .nudge lt-pot {
      display: block;
      margin-block-start: 8px;
    }
  }

  /* Too low for everything at once, as at 200 % zoom: the page scrolls instead of cutting. */
  @media (max-height: 560px), (max-width: 759px) and (max-height: 700px) {
    :host {
      block-size: auto;
    }
    .picture {
      flex: none;
      block-size: 60vh;
    }
    .swatches {
      flex: none;
      block-size: 120px;
    }
    .nudge {
      flex: none;
      overflow: visible;
    }
  }
`;
