/**
 * The way of the attempts towards the glaze, in a*–b* and on the L* axis, a unit as long on both; the
 * glaze with its 95 % ellipse, the predicted next dab, and where each pigment would pull from here.
 * Pigments are told by name, never by hue. The same stands in numbers below, for reading aloud.
 */
import { html, LitElement, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LabD65 } from '../../../colour/spaces.ts';
import type { Matrix3 } from '../../../reading/types.ts';
import { base, controls } from '../../styles/shared.ts';
import { boxAbout, overlap, placeLabels, shortNames, type Box, type Label } from './labels.ts';
import { layoutOf, type Layout } from './layout.ts';
import { inNumbers, pathInWords } from './numbers.ts';
import { axesDrawn, axisNames, glazeDrawn, wayDrawn, type AttemptOnPath } from './picture.ts';
import {
  arrowDrawn,
  NAME_LETTERS,
  pullArrows,
  pullLabel,
  uprightNames,
  widest,
  type PullArrow,
  type PullOnPath,
} from './pulls.ts';
import { pathStyles } from './styles.ts';

/** A number further from its dot than this would name another. */
const NEAR = 36;

@customElement('lt-colour-path')
export class ColourPath extends LitElement {
  @property({ attribute: false }) glaze: LabD65 | undefined;
  /** Of the difference between dab and glaze: where the dab may lie and still be the glaze. */
  @property({ attribute: false }) covariance: Matrix3 | undefined;
  /** Oldest first. */
  @property({ attribute: false }) attempts: readonly AttemptOnPath[] = [];
  @property({ attribute: false }) predicted: LabD65 | undefined;
  @property({ attribute: false }) pulls: readonly PullOnPath[] = [];
  @state() private width = 480;
  @state() private closer = false;

  #observer = new ResizeObserver(([entry]) => {
    if (entry && entry.contentRect.width > 0) this.width = Math.round(entry.contentRect.width);
  });

  static override styles = [base, controls, pathStyles];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#observer.observe(this);
  }
  override disconnectedCallback(): void {
    this.#observer.disconnect();
    super.disconnectedCallback();
  }

  override render() {
    const { glaze, attempts, predicted, pulls } = this;
    const last = attempts.at(-1);
    if (!glaze || !last) {
      return html`<p class="key">
        After the first reading of this pot its way towards the glaze is drawn here.
      </p>`;
    }
    const shown = shortNames(
      pulls.map(({ code }) => code),
      NAME_LETTERS,
    );
    return html`${this.#picture(glaze, last.lab, shown)} ${this.#key()}
    ${inNumbers(glaze, attempts, predicted, pulls, shown)}`;
  }

  #picture(glaze: LabD65, last: LabD65, shown: readonly string[]) {
    const { attempts, predicted, covariance } = this;
    const seen = (this.closer ? attempts.slice(-1) : attempts).map(({ lab }) => lab);
    const at = layoutOf([glaze, ...seen, ...(predicted ? [predicted] : [])], this.width, {
      count: shown.length,
      name: widest(shown),
    });
    const arrows = pullArrows(this.pulls, shown, last, at);
    const [glazeFlat, glazeUpright] = glazeDrawn(glaze, covariance, at);
    const [wayFlat, wayUpright] = wayDrawn(attempts, predicted, at);
    return html`<div .style=${`max-inline-size: ${at.width}px`}>
      <svg
        viewBox="0 0 ${at.width} ${at.height}"
        role="img"
        aria-label=${pathInWords(glaze, attempts, predicted)}
      >
        ${axesDrawn(at)} ${clip('flat', at.flat)} ${clip('upright', at.upright)}
        <g clip-path="url(#flat)">${arrows.flat.map(arrowDrawn)} ${glazeFlat} ${wayFlat}</g>
        <g clip-path="url(#upright)">
          ${arrows.upright.map(arrowDrawn)} ${glazeUpright} ${wayUpright}
        </g>
        ${this.#flatNames(glaze, arrows.flat, at)} ${this.#uprightNumbers(at)}
        ${uprightNames(arrows.upright, at)}
      </svg>
    </div>`;
  }

  /** The glaze, the newest attempts and the pulls choose their places in this order. */
  #flatNames(glaze: LabD65, arrows: readonly PullArrow[], at: Layout) {
    const place = (lab: LabD65) => ({ x: at.x(lab[1]), y: at.y(lab[2]) });
    const marks = [glaze, ...(this.predicted ? [this.predicted] : [])].map(place);
    const dots = this.attempts
      .map(({ number, lab }) => ({ text: String(number), ...place(lab) }))
      .filter(({ x, y }) => overlap(boxAbout(x, y, 1, 1), at.flat));
    const labels: readonly (Label & { readonly kind: string })[] = [
      { kind: 'number', text: 'glaze', ...marks[0]!, towards: -0.7, gap: 10, reach: Infinity },
      ...dots.toReversed().map((dot) => ({
        kind: 'number',
        ...dot,
        towards: Math.PI,
        gap: 7,
        reach: NEAR,
      })),
      ...arrows.map((arrow) => ({ kind: 'name', ...pullLabel(arrow) })),
    ];
    const way = dots.slice(1).map(({ x, y }, index) => {
      const before = dots[index]!;
      return { x0: before.x, y0: before.y, x1: x, y1: y };
    });
    const taken: readonly Box[] = [
      ...axisNames(at),
      ...marks.map(({ x, y }) => boxAbout(x, y, 18, 18)),
      ...dots.map(({ x, y }) => boxAbout(x, y, 12, 12)),
      ...arrows.map(({ x1, y1 }) => boxAbout(x1, y1, 7, 7)),
    ];
    return placeLabels(labels, { within: at.flat, taken, lines: [...arrows, ...way] }).map(
      ({ label, x, y, leader }) =>
        svg`${
          leader
            ? svg`<path class="leader" d=${`M${leader.x0} ${leader.y0}L${leader.x1} ${leader.y1}`}></path>`
            : nothing
        }<text class=${label.kind} x=${x} y=${y + 4} text-anchor="middle">${label.text}</text>`,
    );
  }

  /** Attempts as light as one another share a line; the newest is told. */
  #uprightNumbers(at: Layout) {
    const labels = this.attempts
      .map(({ number, lab }) => ({ text: String(number), x: at.middle, y: at.yL(lab[0]) }))
      .filter(({ x, y }) => overlap(boxAbout(x, y, 1, 1), at.upright))
      .toReversed()
      .map((one) => ({ ...one, towards: Math.PI, gap: 7, reach: 0 }));
    const within = { ...at.upright, right: at.middle };
    return placeLabels(labels, { within, taken: [], lines: [] }).map(
      ({ label, x, y }) =>
        svg`<text class="number" x=${x} y=${y + 4} text-anchor="middle">${label.text}</text>`,
    );
  }

  #key() {
    const farAndNear =
      this.attempts.length > 1
        ? html`<button aria-pressed=${this.closer} @click=${() => (this.closer = !this.closer)}>
            Closer to the glaze
          </button>`
        : nothing;
    return html`${farAndNear}
      <p class="key">
        Cross: the
        glaze${this.covariance ? ', dotted round it where a dab may lie and still be the glaze (95 %)' : ''}.
        Dots: the attempts, the newest larger.${this.predicted ? ' Square: predicted next.' : ''}
        ${
          this.pulls.length > 0
            ? ' Arrows: where a little of each paint would pull from here, all by the same amount.'
            : nothing
        }
      </p>`;
  }
}

function clip(id: string, { left, top, right, bottom }: Box) {
  return svg`<clipPath id=${id}>
    <rect x=${left} y=${top} width=${right - left} height=${bottom - top}></rect>
  </clipPath>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-colour-path': ColourPath;
  }
}
