/**
 * The picture with tile, ring and dab drawn over it. A tap, or the handles by finger or arrow keys,
 * say where dab, glaze and tile are. The picture itself is slotted, so that frames stay outside.
 *
 * Events: `lt-point` {target, point}, `lt-tile` {polygon}.
 */
import { css, html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingEvidence,
} from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import type { Handle, HandleDrag, HandleStep } from './handle.ts';
import './handle.ts';
import { outlines } from './outlines.ts';
import { closeUpRect, fitView, insidePicture, type ViewRect } from './view-rect.ts';

export type PointTarget = 'dab' | 'glaze' | 'tile';

@customElement('lt-viewfinder')
export class Viewfinder extends LitElement {
  @property({ type: Number }) pictureWidth = 0;
  @property({ type: Number }) pictureHeight = 0;
  @property({ attribute: false }) tile: PixelPolygon | undefined;
  @property({ attribute: false }) dab: PixelCircle | undefined;
  @property({ attribute: false }) glaze: PixelCircle | undefined;
  @property({ attribute: false }) evidence:
    Pick<ReadingEvidence, 'dabOutline' | 'ring'> | undefined;
  /** What a tap places; with `tile`, its corners can be dragged. */
  @property() target: PointTarget = 'dab';
  @property({ type: Boolean }) closeUp = false;

  @state() private box = { width: 0, height: 0 };

  #observer = new ResizeObserver(([entry]) => {
    if (entry) this.box = { width: entry.contentRect.width, height: entry.contentRect.height };
  });

  static override styles = [
    base,
    css`
      :host {
        position: relative;
        min-block-size: 0;
        overflow: hidden;
        background: var(--control-deep);
        touch-action: manipulation;
      }
      .frame {
        position: absolute;
        inset: 0;
        overflow: hidden;
        cursor: crosshair;
      }
      .picture {
        position: absolute;
      }
      ::slotted([slot='picture']) {
        display: block;
        inline-size: 100% !important;
        block-size: 100% !important;
      }
      svg {
        position: absolute;
        inset: 0;
        inline-size: 100%;
        block-size: 100%;
        pointer-events: none;
      }
      .under,
      .over {
        fill: none;
        vector-effect: non-scaling-stroke;
      }
      .under {
        stroke: #000000;
        stroke-width: 4px;
        stroke-opacity: 0.75;
      }
      .over {
        stroke: #ffffff;
        stroke-width: 1.75px;
      }
      .over.tile {
        stroke-dasharray: 12 6;
      }
      .over.ring,
      .over.glaze {
        stroke-dasharray: 3 5;
      }
      .cross {
        stroke-width: 5px;
      }
      .over.cross {
        stroke-width: 2px;
      }
      .name {
        fill: #ffffff;
        stroke: #000000;
        paint-order: stroke;
        font-family: var(--sans);
        font-weight: 600;
        text-anchor: middle;
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.#observer.observe(this);
  }
  override disconnectedCallback(): void {
    this.#observer.disconnect();
    super.disconnectedCallback();
  }

  override render() {
    const { pictureWidth: width, pictureHeight: height } = this;
    const view = this.#view();
    const share = (part: number, whole: number) => `${(100 * part) / whole}%`;
    const hasPicture = width > 0 && height > 0;
    return html`
      <div class="frame" @pointerdown=${this.#tap}>
        <div
          class="picture"
          .style=${[
            `left: ${share(-view.x, view.width)}`,
            `top: ${share(-view.y, view.height)}`,
            `width: ${share(width, view.width)}`,
            `height: ${share(height, view.height)}`,
          ].join(';')}
        >
          <slot name="picture"></slot>
        </div>
        ${
          hasPicture
            ? html`<svg
                viewBox="${view.x} ${view.y} ${view.width} ${view.height}"
                aria-hidden="true"
              >
                ${outlines({
                  tile: this.tile,
                  dab: this.dab,
                  glaze: this.glaze,
                  evidence: this.evidence,
                  scale: this.box.width > 0 ? view.width / this.box.width : 1,
                })}
              </svg>`
            : nothing
        }
      </div>
      ${hasPicture ? this.#handles(view) : nothing}
      <slot></slot>
    `;
  }

  /** Puts the keyboard on a handle, placing it first when there is none yet. */
  async focusTarget(target: PointTarget): Promise<void> {
    const view = this.#view();
    if (target !== 'tile' && !this[target]) {
      const aside = target === 'glaze' ? view.height / 8 : 0;
      this.#point(target, {
        x: view.x + view.width / 2 + aside,
        y: view.y + view.height / 2 + aside,
      });
    }
    await this.updateComplete;
    // The point comes back as a property from whoever keeps it: wait for that drawing too.
    await new Promise(requestAnimationFrame);
    await this.updateComplete;
    this.renderRoot.querySelector<Handle>(`lt-handle[data-target='${target}']`)?.focus();
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('closeUp') && this.closeUp && !this.dab) this.closeUp = false;
  }

  #view(): ViewRect {
    const whole = { x: 0, y: 0, width: this.pictureWidth || 16, height: this.pictureHeight || 9 };
    const rect = this.closeUp && this.dab ? closeUpRect(this.dab, this.glaze) : whole;
    return fitView(rect, this.box.width, this.box.height);
  }

  #handles(view: ViewRect) {
    const place = (p: PixelPoint) =>
      `left: ${(100 * (p.x - view.x)) / view.width}%; top: ${(100 * (p.y - view.y)) / view.height}%`;
    const one = (target: 'dab' | 'glaze', at: PixelCircle) =>
      html`<lt-handle
        data-target=${target}
        name=${target}
        .atX=${at.x}
        .atY=${at.y}
        .style=${place(at)}
        @lt-drag=${(e: CustomEvent<HandleDrag>) => this.#point(target, this.#toPicture(e.detail))}
        @lt-tap=${(e: CustomEvent<HandleDrag>) => this.#place(e.detail)}
        @lt-step=${(e: CustomEvent<HandleStep>) =>
          this.#point(target, { x: at.x + e.detail.dx, y: at.y + e.detail.dy })}
      ></lt-handle>`;
    const corner = (polygon: PixelPolygon, index: number) => {
      const at = polygon[index]!;
      return html`<lt-handle
        data-target="tile"
        shape="corner"
        name="tile corner ${index + 1} of ${polygon.length}"
        .atX=${at.x}
        .atY=${at.y}
        .style=${place(at)}
        @lt-drag=${(e: CustomEvent<HandleDrag>) =>
          this.#moveCorner(polygon, index, this.#toPicture(e.detail))}
        @lt-step=${(e: CustomEvent<HandleStep>) =>
          this.#moveCorner(polygon, index, { x: at.x + e.detail.dx, y: at.y + e.detail.dy })}
      ></lt-handle>`;
    };
    // One target's handles at a time: on a small picture dab and glaze lie within one fingertip.
    if (this.target === 'tile') return this.tile?.map((_, index) => corner(this.tile!, index));
    const at = this[this.target];
    return at ? one(this.target, at) : nothing;
  }

  #tap = (event: PointerEvent) => {
    if (event.button === 0 && this.pictureWidth > 0) this.#place(event);
  };

  #place(at: HandleDrag): void {
    const point = this.#toPicture(at);
    if (this.target === 'tile') this.#moveNearestCorner(point);
    else this.#point(this.target, point);
  }

  #moveNearestCorner(point: PixelPoint): void {
    const polygon = this.tile ?? this.#firstTile(point);
    let nearest = 0;
    polygon.forEach((corner, index) => {
      const best = polygon[nearest]!;
      if (
        Math.hypot(corner.x - point.x, corner.y - point.y) <
        Math.hypot(best.x - point.x, best.y - point.y)
      ) {
        nearest = index;
      }
    });
    this.#moveCorner(polygon, nearest, this.tile ? point : polygon[nearest]!);
  }

  /** No tile was found: a square about the tap, to be dragged to fit. */
  #firstTile({ x, y }: PixelPoint): PixelPolygon {
    const half = Math.min(this.pictureWidth, this.pictureHeight) / 10;
    return [
      { x: x - half, y: y - half },
      { x: x + half, y: y - half },
      { x: x + half, y: y + half },
      { x: x - half, y: y + half },
    ].map((p) => insidePicture(p, this.pictureWidth, this.pictureHeight));
  }

  #moveCorner(polygon: PixelPolygon, index: number, to: PixelPoint): void {
    const moved = polygon.map((p, i) =>
      i === index ? insidePicture(to, this.pictureWidth, this.pictureHeight) : p,
    );
    this.dispatchEvent(new CustomEvent('lt-tile', { detail: { polygon: moved } }));
  }

  #point(target: 'dab' | 'glaze', at: PixelPoint): void {
    const point = insidePicture(at, this.pictureWidth, this.pictureHeight);
    this.dispatchEvent(new CustomEvent('lt-point', { detail: { target, point } }));
  }

  #toPicture({ clientX, clientY }: { clientX: number; clientY: number }): PixelPoint {
    const box = this.getBoundingClientRect();
    const view = this.#view();
    return {
      x: view.x + ((clientX - box.x) / box.width) * view.width,
      y: view.y + ((clientY - box.y) / box.height) * view.height,
    };
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-viewfinder': Viewfinder;
  }
}
