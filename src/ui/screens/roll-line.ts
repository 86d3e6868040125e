/** The line of several photographs, on the screens that show the picture they are stepped through on. */
import { css, html, nothing } from 'lit';
import '../elements/photo-roll.ts';
import type { RollState } from '../state/photo-roll.ts';
import type { Services } from '../state/services.ts';

export function rollLine(
  { items, at, opening }: RollState,
  { roll }: Pick<Services, 'roll'>,
  seeFailed: () => void,
) {
  if (items.length === 0) return nothing;
  return html`<lt-photo-roll
    .photos=${items}
    .at=${at}
    .opening=${opening}
    .hasPrevious=${roll.neighbour(-1) !== undefined}
    .hasNext=${roll.neighbour(1) !== undefined}
    @lt-step=${(event: CustomEvent<{ by: 1 | -1 }>) => void roll.step(event.detail.by)}
    @lt-cancel=${() => roll.cancel()}
    @lt-failed=${seeFailed}
  ></lt-photo-roll>`;
}

/** Which could not be read, and why. */
export const notRead = ({ items }: RollState) =>
  html`<ul>
    ${items.map(({ why }) => (why === undefined ? nothing : html`<li>${why}</li>`))}
  </ul>`;

/** Held upright, the line takes its room from the picture, so that everything stays in sight. */
export const rollStyles = css`
  @media (max-width: 759px) and (min-height: 701px) {
    .see:has(lt-photo-roll) .picture {
      flex-basis: 90px;
      min-block-size: 90px;
    }
  }
`;
