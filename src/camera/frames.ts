/**
 * Frames of a live feed for the bench worker, by the shortest way the browser has: a stream that
 * the worker reads by itself (MediaStreamTrackProcessor), or else bitmaps of a playing video.
 */
import type { FrameSource } from '../link/bench-client.ts';

/** In Chromium on the page; TypeScript's DOM library does not carry it there. */
type TrackProcessor = new (init: { track: MediaStreamTrack; maxBufferSize?: number }) => {
  readonly readable: ReadableStream<VideoFrame>;
};

/** Call it once for each `follow`; ends when the feed ends. */
export function frameSource(stream: MediaStream): FrameSource {
  const [track] = stream.getVideoTracks();
  if (!track) throw new Error('the feed has no picture');
  const Processor = (globalThis as { MediaStreamTrackProcessor?: TrackProcessor })
    .MediaStreamTrackProcessor;
  if (Processor) {
    // One frame waits, and a newer one takes its place.
    return { kind: 'stream', frames: new Processor({ track, maxBufferSize: 1 }).readable };
  }
  return bitmapSource(stream, track);
}

/** The way without MediaStreamTrackProcessor: exported so that it can be tried where that exists. */
export function bitmapSource(stream: MediaStream, track: MediaStreamTrack): FrameSource {
  const video = document.createElement('video');
  video.muted = true;
  video.playsInline = true;
  video.srcObject = stream;
  const playing = video.play();
  return {
    kind: 'bitmaps',
    async next() {
      await playing;
      if (!(await nextFrame(video, track))) {
        video.srcObject = null;
        return undefined;
      }
      return await createImageBitmap(video);
    },
  };
}

/** True with the next frame on `video`, false when the track ends first. */
function nextFrame(video: HTMLVideoElement, track: MediaStreamTrack): Promise<boolean> {
  return new Promise((resolve) => {
    if (track.readyState === 'ended') {
      resolve(false);
      return;
    }
    const ended = () => {
      clearInterval(watch);
      resolve(false);
    };
    // `stop()` on a track fires no event, so its state is looked at too.
    const watch = setInterval(() => {
      if (track.readyState === 'ended') ended();
    }, 500);
    track.addEventListener('ended', ended, { once: true });
    video.requestVideoFrameCallback(() => {
      clearInterval(watch);
      track.removeEventListener('ended', ended);
      resolve(true);
    });
  });
}
