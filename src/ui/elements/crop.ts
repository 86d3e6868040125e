/**
 * The crop a reading was made from. With `marked`, the pixels that did not count are darkened and
 * those that were thrown away are chequered; glaze and dab stay as they are.
 */
import { css, html, LitElement, type PropertyValues } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { base } from '../styles/shared.ts';

const UNUSED = 0;
const REJECTED = 3;
const CHECK = 3;

/** Cells of `step` × `step` pixels from (x, y) of the crop, row by row. */
export interface CropMask {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly step: number;
  /** 0 unused, 1 glaze, 2 dab, 3 rejected. */
  readonly used: Uint8Array;
}

@customElement('lt-crop')
export class Crop extends LitElement {
  @property({ attribute: false }) picture: Blob | undefined;
  @property({ attribute: false }) mask: CropMask | undefined;
  @property({ type: Boolean }) marked = false;
  @query('canvas') private canvas!: HTMLCanvasElement;

  static override styles = [
    base,
    css`
      canvas {
        display: block;
        inline-size: 100%;
        block-size: auto;
        image-rendering: pixelated;
      }
    `,
  ];

  override render() {
    const what = this.marked ? ', with the pixels that did not count darkened or chequered' : '';
    return html`<canvas role="img" aria-label="Crop with dab and ring of glaze${what}"></canvas>`;
  }

  protected override updated(changed: PropertyValues<this>): void {
    if (this.picture && (changed.has('picture') || changed.has('marked') || changed.has('mask'))) {
      void this.#draw(this.picture);
    }
  }

  async #draw(picture: Blob): Promise<void> {
    const bitmap = await createImageBitmap(picture);
    if (picture !== this.picture) return;
    const { width, height } = bitmap;
    this.canvas.width = width;
    this.canvas.height = height;
    const context = this.canvas.getContext('2d', { willReadFrequently: true })!;
    context.drawImage(bitmap, 0, 0);
    bitmap.close();
    if (!this.marked || !this.mask) return;
    const image = context.getImageData(0, 0, width, height);
    for (let i = 0; i < width * height; i += 1) {
      const x = i % width;
      const y = (i - x) / width;
      const kind = kindAt(this.mask, x, y);
      if (kind === UNUSED) darken(image.data, i * 4);
      else if (kind === REJECTED) {
        const isLight = (Math.floor(x / CHECK) + Math.floor(y / CHECK)) % 2 === 0;
        image.data.fill(isLight ? 255 : 0, i * 4, i * 4 + 3);
      }
    }
    context.putImageData(image, 0, 0);
  }
}

function kindAt(mask: CropMask, x: number, y: number): number {
  const column = Math.floor((x - mask.x) / mask.step);
  const row = Math.floor((y - mask.y) / mask.step);
  const isInside = column >= 0 && row >= 0 && column < mask.width && row < mask.height;
  return isInside ? mask.used[row * mask.width + column]! : UNUSED;
}

function darken(data: Uint8ClampedArray, at: number): void {
  for (let channel = 0; channel < 3; channel += 1) data[at + channel] = data[at + channel]! * 0.35;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-crop': Crop;
  }
}
