/** What stands above a screen: the next step, what was just done with the way back, what went wrong. */
import { css, html, nothing } from 'lit';
import { icons } from '../elements/icons.ts';
import type { BenchState } from '../state/bench-state.ts';
import type { Services } from '../state/services.ts';

type Notice = BenchState['notice'];

const undo = (notice: Notice, { session }: Services) =>
  notice?.undo
    ? html`<button class="plain" @click=${() => void session.undoNotice()}>
        ${icons.undo} Undo
      </button>`
    : nothing;

/** Above a viewfinder: the step in large type. */
export const guide = (
  { notice, trouble }: Pick<BenchState, 'notice' | 'trouble'>,
  step: string,
  services: Services,
) => html`
  <div class="guide">
    <p class="step">
      ${notice ? html`<span class="notice">${notice.text}</span> ` : nothing}${step}
    </p>
    ${undo(notice, services)}
  </div>
  ${
    trouble
      ? html`<div class="trouble" role="alert">
          <p>${trouble}</p>
          <button
            class="plain"
            aria-label="Close the message"
            @click=${() => services.store.set({ trouble: undefined })}
          >
            ${icons.close}
          </button>
        </div>`
      : nothing
  }
`;

/** Above the panels of a screen that is read. */
export const noticeLine = (notice: Notice, services: Services) =>
  notice
    ? html`<div class="notice">
        <p role="status">${notice.text}</p>
        ${undo(notice, services)}
      </div>`
    : nothing;

export const noticeStyles = css`
  .notice {
    display: flex;
    align-items: center;
    justify-content: space-between;
    gap: 8px;
    min-block-size: var(--touch);
    margin-block-end: 8px;
    padding-inline: 16px 4px;
    background: var(--control-deep);
  }
`;
