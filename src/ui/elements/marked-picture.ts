/** A still picture with points on it that are dragged. Emits `lt-mark` with the index and where to. */
import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { EncodedPicture, PixelPoint } from '../../reading/types.ts';
import { base } from '../styles/shared.ts';
import { drawnPixels } from './drawn-pixels.ts';
import './handle.ts';
import type { Handle, HandleDrag, HandleStep } from './handle.ts';
import { insidePicture } from './view-rect.ts';

export interface Mark {
  readonly name: string;
  readonly at: PixelPoint;
}
export interface MarkMoved {
  readonly index: number;
  readonly at: PixelPoint;
}

@customElement('lt-marked-picture')
export class MarkedPicture extends LitElement {
  @property({ attribute: false }) picture: EncodedPicture | undefined;
  @property({ attribute: false }) marks: readonly Mark[] = [];
  /** Closed outlines drawn over the picture, px. */
  @property({ attribute: false }) outlines: readonly (readonly PixelPoint[])[] = [];
  @property() shape: Handle['shape'] = 'corner';
  /** What the picture shows, for those who do not see it. */
  @property() label = '';
  @query('canvas') private canvas!: HTMLCanvasElement | null;
  #drawn: EncodedPicture | undefined;

  static override styles = [
    base,
    css`
      .picture {
        position: relative;
        margin: 24px;
      }
      canvas {
        display: block;
        inline-size: 100%;
      }
      svg {
        position: absolute;
        inset: 0;
        inline-size: 100%;
        block-size: 100%;
        pointer-events: none;
      }
      polygon {
        fill: none;
        stroke: #ffffff;
        stroke-width: 3px;
        vector-effect: non-scaling-stroke;
      }
      .under {
        stroke: #000000;
        stroke-width: 6px;
      }
    `,
  ];

  override render() {
    if (!this.picture) return nothing;
    const { width, height } = this.picture;
    const drawn = this.outlines.map((outline) =>
      outline.map(({ x, y }) => `${String(x)},${String(y)}`).join(' '),
    );
    return html`<div class="picture">
      <canvas role="img" aria-label=${this.label}></canvas>
      <svg viewBox="0 0 ${width} ${height}" preserveAspectRatio="none" aria-hidden="true">
        ${drawn.map((points) => svg`<polygon class="under" points=${points}></polygon>`)}
        ${drawn.map((points) => svg`<polygon points=${points}></polygon>`)}
      </svg>
      ${this.marks.map((mark, index) => this.#handle(mark, index, width, height))}
    </div>`;
  }

  override updated(): void {
    const { picture, canvas } = this;
    if (!picture || !canvas || picture === this.#drawn) return;
    this.#drawn = picture;
    const { width, height, rgba } = drawnPixels(picture);
    canvas.width = width;
    canvas.height = height;
    canvas.getContext('2d')?.putImageData(new ImageData(rgba, width, height), 0, 0);
  }

  #handle({ name, at }: Mark, index: number, width: number, height: number) {
    const move = (to: PixelPoint) =>
      this.dispatchEvent(
        new CustomEvent<MarkMoved>('lt-mark', {
          detail: { index, at: insidePicture(to, width, height) },
        }),
      );
    return html`<lt-handle
      shape=${this.shape}
      name=${name}
      .atX=${at.x}
      .atY=${at.y}
      .style=${`left: ${String((100 * at.x) / width)}%; top: ${String((100 * at.y) / height)}%`}
      @lt-drag=${({ detail }: CustomEvent<HandleDrag>) => {
        const box = this.canvas!.getBoundingClientRect();
        move({
          x: ((detail.clientX - box.left) / box.width) * width,
          y: ((detail.clientY - box.top) / box.height) * height,
        });
      }}
      @lt-step=${({ detail }: CustomEvent<HandleStep>) =>
        move({ x: at.x + detail.dx, y: at.y + detail.dy })}
    ></lt-handle>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-marked-picture': MarkedPicture;
  }
}
