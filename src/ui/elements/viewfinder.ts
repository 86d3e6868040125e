/**
 * The picture with tile, ring and dab drawn over it. A tap, or the handles by finger or arrow keys,
 * say where dab, glaze and tile are; a sprayed area is drawn round. The picture itself is slotted, so
 * that frames stay outside.
 *
 * Events: `lt-point` {target, point}, `lt-tile` {polygon}, `lt-area` {polygon, how}.
 */
import { css, html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingEvidence,
} from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import {
  drawnOutline,
  movedOutline,
  nearestCorner,
  reachOf,
  roundOutline,
  withCorner,
} from './area-handles.ts';
import { areaOutline } from './blend-overlay.ts';
import type { Handle, HandleDrag, HandleStep } from './handle.ts';
import './handle.ts';
import { outlines } from './outlines.ts';
import { closeUpRect, fitView, insidePicture, middleOf, type ViewRect } from './view-rect.ts';

export type PointTarget = 'dab' | 'glaze' | 'tile';
/** What a tap in the picture of a sprayed area places; `none`: the map is only looked at. */
export type AreaTarget = 'area' | 'glaze' | 'tile' | 'none';

/** How an outline came about: drawn in one go, placed by a tap, or changed by its handles. */
export interface AreaMarked {
  readonly polygon: PixelPolygon;
  readonly how: 'drawn' | 'placed' | 'changed';
}

/** Less of a way than this, CSS px, is a tap and no line. */
const TAP_PX = 12;

@customElement('lt-viewfinder')
export class Viewfinder extends LitElement {
  @property({ type: Number }) pictureWidth = 0;
  @property({ type: Number }) pictureHeight = 0;
  @property({ attribute: false }) tile: PixelPolygon | undefined;
  @property({ attribute: false }) dab: PixelCircle | undefined;
  @property({ attribute: false }) glaze: PixelCircle | undefined;
  @property({ attribute: false }) evidence:
    Pick<ReadingEvidence, 'dabOutline' | 'ring'> | undefined;
  /** The sprayed area as it is marked. */
  @property({ attribute: false }) area: PixelPolygon | undefined;
  /** What a tap places; with `tile` and `area`, corners can be dragged. */
  @property() target: PointTarget | AreaTarget = 'dab';
  @property({ type: Boolean }) closeUp = false;
  /** The part to show close up, when it is neither dab nor glaze. */
  @property({ attribute: false }) closeTo: ViewRect | undefined;
  /** Drawn over the picture, given picture px to one CSS px and what is shown. */
  @property({ attribute: false }) overlay:
    ((scale: number, view: ViewRect) => TemplateResult) | undefined;

  @state() private box = { width: 0, height: 0 };
  /** The line that is being drawn round the area. */
  @state() private line: PixelPolygon = [];

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
      .frame.drawn-on {
        touch-action: none;
      }
      .frame.looked-at {
        cursor: default;
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
    const scale = this.box.width > 0 ? view.width / this.box.width : 1;
    const use = { area: 'drawn-on', none: 'looked-at' }[this.target as string] ?? '';
    return html`
      <div
        class="frame ${use}"
        @pointerdown=${this.#tap}
        @pointermove=${this.#draw}
        @pointerup=${this.#drawn}
        @pointercancel=${() => (this.line = [])}
        @dragstart=${(event: Event) => event.preventDefault()}
      >
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
                  scale,
                  view,
                })}
                ${this.overlay?.(scale, view) ?? nothing}
                ${areaOutline(this.area, this.line, scale, this.target === 'area')}
              </svg>`
            : nothing
        }
      </div>
      ${hasPicture ? this.#handles(view) : nothing}
      <slot></slot>
    `;
  }

  /** Puts the keyboard on a handle, placing it first when there is none yet. */
  async focusTarget(target: Exclude<PointTarget | AreaTarget, 'none'>): Promise<void> {
    const view = this.#view();
    const middle = { x: view.x + view.width / 2, y: view.y + view.height / 2 };
    if (target === 'area') {
      if (!this.area) this.#placeArea(middle);
    } else if (target !== 'tile' && !this[target]) {
      const aside = target === 'glaze' ? view.height / 8 : 0;
      this.#point(target, this.#inside({ x: middle.x + aside, y: middle.y + aside }));
    }
    await this.updateComplete;
    // The point comes back as a property from whoever keeps it: wait for that drawing too.
    await new Promise(requestAnimationFrame);
    await this.updateComplete;
    this.renderRoot.querySelector<Handle>(`lt-handle[data-target='${target}']`)?.focus();
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('closeUp') && !this.dab && !this.closeTo) this.closeUp = false;
  }

  #view(): ViewRect {
    const whole = { x: 0, y: 0, width: this.pictureWidth || 16, height: this.pictureHeight || 9 };
    const near = this.closeTo ?? (this.dab && closeUpRect(this.dab, this.glaze));
    const rect = this.closeUp && near ? near : whole;
    return fitView(rect, this.box.width, this.box.height);
  }

  /** One target's handles at a time: on a small picture dab and glaze lie within one fingertip. */
  #handles(view: ViewRect) {
    const { target, tile } = this;
    if (target === 'none') return nothing;
    if (target === 'area') return this.#areaHandles(view);
    if (target === 'tile') {
      return tile?.map((at, index) =>
        this.#handle(view, 'corner', `tile corner ${index + 1} of ${tile.length}`, at, (to) =>
          this.#moveCorner(tile, index, to),
        ),
      );
    }
    const at = this[target];
    return at ? this.#handle(view, 'cross', target, at, (to) => this.#point(target, to)) : nothing;
  }

  #areaHandles(view: ViewRect) {
    const { area, pictureWidth: width, pictureHeight: height } = this;
    if (!area) return nothing;
    return [
      this.#handle(view, 'cross', 'whole outline', middleOf(area), (to) =>
        this.#markArea(movedOutline(area, to, width, height), 'changed'),
      ),
      ...area.map((at, index) =>
        this.#handle(view, 'corner', `outline corner ${index + 1} of ${area.length}`, at, (to) =>
          this.#markArea(withCorner(area, index, to), 'changed'),
        ),
      ),
    ];
  }

  /** @param move told where in the picture the handle was brought */
  #handle(
    view: ViewRect,
    shape: Handle['shape'],
    name: string,
    at: PixelPoint,
    move: (to: PixelPoint) => void,
  ) {
    return html`<lt-handle
      data-target=${this.target}
      shape=${shape}
      name=${name}
      .atX=${at.x}
      .atY=${at.y}
      .style=${`left: ${(100 * (at.x - view.x)) / view.width}%; top: ${(100 * (at.y - view.y)) / view.height}%`}
      @lt-drag=${(e: CustomEvent<HandleDrag>) => move(this.#toPicture(e.detail))}
      @lt-tap=${(e: CustomEvent<HandleDrag>) => this.#tapOnHandle(e.detail)}
      @lt-step=${(e: CustomEvent<HandleStep>) =>
        move(this.#inside({ x: at.x + e.detail.dx, y: at.y + e.detail.dy }))}
    ></lt-handle>`;
  }

  /** Dab and glaze come to where they are tapped; a corner that is only tapped stays. */
  #tapOnHandle(at: HandleDrag): void {
    if (this.target === 'dab' || this.target === 'glaze') this.#place(at);
  }

  #tap = (event: PointerEvent) => {
    if (event.button !== 0 || this.pictureWidth === 0 || this.target === 'none') return;
    if (this.target !== 'area') {
      this.#place(event);
      return;
    }
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.line = [this.#toPicture(event)];
  };

  #draw = (event: PointerEvent) => {
    const last = this.line.at(-1);
    if (!last) return;
    const point = this.#toPicture(event);
    const cssPixels = this.box.width / this.#view().width;
    if (cssPixels * Math.hypot(point.x - last.x, point.y - last.y) >= 3) {
      this.line = [...this.line, point];
    }
  };

  #drawn = () => {
    const { line } = this;
    const [first] = line;
    this.line = [];
    if (!first) return;
    const isTap = reachOf(line) * (this.box.width / this.#view().width) < TAP_PX;
    if (!isTap) this.#markArea(drawnOutline(line), 'drawn');
    else if (this.area) {
      const corner = nearestCorner(this.area, first);
      this.#markArea(withCorner(this.area, corner, first), 'changed');
    } else this.#placeArea(first);
  };

  #placeArea(at: PixelPoint): void {
    const { pictureWidth: width, pictureHeight: height } = this;
    const round = roundOutline(at, Math.min(width, height) / 9);
    this.#markArea(
      round.map((p) => this.#inside(p)),
      'placed',
    );
  }

  #markArea(polygon: PixelPolygon, how: AreaMarked['how']): void {
    this.dispatchEvent(new CustomEvent<AreaMarked>('lt-area', { detail: { polygon, how } }));
  }

  #place(at: HandleDrag): void {
    const point = this.#toPicture(at);
    if (this.target === 'tile') this.#moveNearestCorner(point);
    else if (this.target === 'dab' || this.target === 'glaze') this.#point(this.target, point);
  }

  #moveNearestCorner(point: PixelPoint): void {
    const polygon = this.tile ?? this.#firstTile(point);
    const nearest = nearestCorner(polygon, point);
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
    ].map((p) => this.#inside(p));
  }

  #moveCorner(polygon: PixelPolygon, index: number, to: PixelPoint): void {
    const moved = withCorner(polygon, index, to);
    this.dispatchEvent(new CustomEvent('lt-tile', { detail: { polygon: moved } }));
  }

  #point(target: 'dab' | 'glaze', point: PixelPoint): void {
    this.dispatchEvent(new CustomEvent('lt-point', { detail: { target, point } }));
  }

  /** Where in the picture a finger is; beside it, the nearest place in it. */
  #toPicture({ clientX, clientY }: { clientX: number; clientY: number }): PixelPoint {
    const box = this.getBoundingClientRect();
    const view = this.#view();
    return this.#inside({
      x: view.x + ((clientX - box.x) / box.width) * view.width,
      y: view.y + ((clientY - box.y) / box.height) * view.height,
    });
  }

  #inside(point: PixelPoint): PixelPoint {
    return insidePicture(point, this.pictureWidth, this.pictureHeight);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-viewfinder': Viewfinder;
  }
}
