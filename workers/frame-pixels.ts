/** Pixels of one live frame, by rectangle, in sRGB-encoded RGBA, whatever the frame is made of. */
import type { FetchedPixels } from '../src/reading/patch-average.ts';
import type { PatchRect } from '../src/reading/patch-rect.ts';

export type Frame = VideoFrame | ImageBitmap;

/** A camera held upright gives frames that are yet to be turned; newer browsers say so. */
type Turned = VideoFrame & { readonly rotation?: number; readonly flip?: boolean };

export class FramePixels {
  /** One buffer a place, kept from frame to frame. */
  readonly #buffers: Uint8Array[] = [];
  /** Set once the browser has refused to copy: then every frame is drawn. */
  #draws = false;
  #canvas: OffscreenCanvas | undefined;
  #drawn: Frame | undefined;

  sizeOf(frame: Frame): { readonly width: number; readonly height: number } {
    if (frame instanceof ImageBitmap) return frame;
    if (isTurned(frame)) return { width: frame.displayWidth, height: frame.displayHeight };
    // The coded size may hold padding that no camera saw.
    const visible = frame.visibleRect!;
    return { width: visible.width, height: visible.height };
  }

  /** @param slot which buffer to use: pixels stay valid until the next fetch into the same slot */
  async fetch(frame: Frame, rect: PatchRect, slot: number): Promise<FetchedPixels> {
    if (!this.#draws && frame instanceof VideoFrame && !isTurned(frame)) {
      try {
        return await this.#copy(frame, rect, slot);
      } catch (error) {
        // A pixel format the browser cannot convert; a closed frame is another matter.
        if (!(error instanceof Error || error instanceof DOMException)) throw error;
        if (frame.format === null && frame.codedWidth === 0) throw error;
        this.#draws = true;
      }
    }
    return this.#draw(frame, rect);
  }

  async #copy(frame: VideoFrame, rect: PatchRect, slot: number): Promise<FetchedPixels> {
    const visible = frame.visibleRect!;
    // Chroma may be shared by two pixels each way: rectangles must begin on even ones.
    const left = even(visible.x + rect.x);
    const top = even(visible.y + rect.y);
    const right = Math.min(visible.x + visible.width, evenUp(visible.x + rect.x + rect.width));
    const bottom = Math.min(visible.y + visible.height, evenUp(visible.y + rect.y + rect.height));
    const [width, height] = [right - left, bottom - top];
    const bytes = width * height * 4;
    let buffer = this.#buffers[slot];
    if (!buffer || buffer.length < bytes) this.#buffers[slot] = buffer = new Uint8Array(bytes);
    await frame.copyTo(buffer, { format: 'RGBA', rect: { x: left, y: top, width, height } });
    const first = (visible.y + rect.y - top) * width + (visible.x + rect.x - left);
    return { rgba: buffer, first, stride: width };
  }

  #draw(frame: Frame, rect: PatchRect): FetchedPixels {
    const { width, height } = this.sizeOf(frame);
    this.#canvas ??= new OffscreenCanvas(width, height);
    const context = this.#canvas.getContext('2d', { willReadFrequently: true, alpha: false })!;
    if (this.#drawn !== frame) {
      if (this.#canvas.width !== width) this.#canvas.width = width;
      if (this.#canvas.height !== height) this.#canvas.height = height;
      context.drawImage(frame, 0, 0, width, height);
      this.#drawn = frame;
    }
    const { data } = context.getImageData(rect.x, rect.y, rect.width, rect.height);
    return { rgba: data, first: 0, stride: rect.width };
  }
}

const isTurned = (frame: Turned): boolean => (frame.rotation ?? 0) !== 0 || frame.flip === true;
const even = (v: number): number => v & ~1;
const evenUp = (v: number): number => (v + 1) & ~1;
