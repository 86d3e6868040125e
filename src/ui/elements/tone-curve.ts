/** A camera's tone response drawn against sRGB's: light over code, each as a share of its range. */
import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { linearFromEncoded } from '../../colour/srgb.ts';
import { lightOfEncoded, type CameraProfile } from '../../reading/profile/profile.ts';
import { base } from '../styles/shared.ts';

const SIDE = 100;
/** Both curves are made to meet here: their scale is free. */
const MEET = 0.8;

@customElement('lt-tone-curve')
export class ToneCurveDrawing extends LitElement {
  @property({ attribute: false }) tone: CameraProfile['tone'] | undefined;

  static override styles = [
    base,
    css`
      figure {
        margin: 12px 0 0;
      }
      svg {
        display: block;
        inline-size: min(100%, 320px);
        background: var(--control-deep);
      }
      path {
        fill: none;
        stroke: var(--ink);
        stroke-width: 1.2;
      }
      .usual {
        stroke-dasharray: 3 2;
        stroke-width: 0.8;
      }
      figcaption {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
    `,
  ];

  override render() {
    const { tone } = this;
    if (!tone) return nothing;
    return html`<figure>
      <svg viewBox="-4 -4 ${SIDE + 8} ${SIDE + 8}" role="img" aria-label="Light over code">
        ${svg`<path class="usual" d=${path(linearFromEncoded)}></path>`}
        ${tone.map((curve) => {
          const scale = linearFromEncoded(MEET) / lightOfEncoded(curve, MEET);
          return svg`<path d=${path((code) => scale * lightOfEncoded(curve, code))}></path>`;
        })}
      </svg>
      <figcaption>
        Light upwards, codes to the right: this camera’s three channels drawn through, sRGB dashed.
      </figcaption>
    </figure>`;
  }
}

function path(light: (code: number) => number): string {
  const points = Array.from({ length: 51 }, (_, i) => {
    const y = Math.min(1, light(i / 50));
    return `${((i / 50) * SIDE).toFixed(1)} ${((1 - y) * SIDE).toFixed(1)}`;
  });
  return `M${points.join('L')}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-tone-curve': ToneCurveDrawing;
  }
}
