/** The picture that stands on the screen, as pixels. */
import type { EncodedPicture } from '../../reading/types.ts';

export type Shown = HTMLVideoElement | HTMLImageElement;

/** Wide enough to judge the light by, px. */
const LOOK_WIDTH = 640;

/**
 * @param width, height the picture's own, px
 * @param widest it is reduced to this width; `Infinity` leaves it whole
 * @returns the pixels, and how much smaller they are; undefined while there is no picture
 */
export function shownPicture(source: Shown, width: number, height: number, widest = LOOK_WIDTH) {
  if (!(width > 0 && height > 0)) return undefined;
  // A video just opened has its size before it has a picture: it would be drawn black.
  const isEmpty =
    source instanceof HTMLVideoElement && source.readyState < HTMLMediaElement.HAVE_CURRENT_DATA;
  if (isEmpty) return undefined;
  const scale = Math.min(1, widest / width);
  const canvas = new OffscreenCanvas(Math.round(width * scale), Math.round(height * scale));
  const context = canvas.getContext('2d', { willReadFrequently: true })!;
  context.drawImage(source, 0, 0, canvas.width, canvas.height);
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
  const picture: EncodedPicture = {
    width: canvas.width,
    height: canvas.height,
    rgba: data,
    maxCode: 255,
    frames: 1,
  };
  return { picture, scale };
}

/** A video that shows no frame for so long has stopped, and is waited for no longer. */
const LONGEST_FRAME_MS = 2000;

/** So long, and until a video has shown another frame: a slow machine may show none in that time. */
export async function frameAfter(shown: Shown | null, ms: number): Promise<void> {
  const frame = shown instanceof HTMLVideoElement && nextFrame(shown, LONGEST_FRAME_MS);
  await Promise.all([new Promise((done) => setTimeout(done, ms)), frame]);
}

/** The next frame of the video; a picture that stands still is not waited for longer than that. */
export function nextFrame(video: HTMLVideoElement, longestMs: number): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, longestMs);
    video.requestVideoFrameCallback(() => {
      clearTimeout(timer);
      resolve();
    });
  });
}
