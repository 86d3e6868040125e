/** The picture in the viewfinder: a running stream, a photograph, or why there is none. */
import { css, html, nothing, type TemplateResult } from 'lit';
import { guard } from 'lit/directives/guard.js';
import type { FeedState } from '../state/bench-state.ts';

export function feedView(feed: FeedState, choose: () => void): TemplateResult | typeof nothing {
  if (feed.status === 'failed') {
    return html`<div class="no-picture">
      <p class="what">${feed.failure?.message}</p>
      <p>${feed.failure?.remedy}</p>
      <button class="next" @click=${choose}>Choose another picture</button>
    </div>`;
  }
  if (feed.status === 'starting') {
    return html`<p class="no-picture">Starting: ${feed.label}</p>`;
  }
  if (feed.address) return html`<img slot="picture" src=${feed.address} alt="" />`;
  if (!feed.stream) return nothing;
  // An object is set anew at each drawing; a video that is given its stream again begins anew, empty.
  return html`<video
    slot="picture"
    aria-label="Live picture of the bench"
    .srcObject=${guard([feed.stream], () => feed.stream)}
    .muted=${true}
    autoplay
    playsinline
  ></video>`;
}

/** On a screen that is read the picture stands in its column. */
export const feedStyles = css`
  video,
  img {
    display: block;
    inline-size: 100%;
    max-block-size: 40vh;
    object-fit: contain;
  }
  .no-picture {
    padding: 16px;
  }
`;
