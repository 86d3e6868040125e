/** A page without screens: the links and the camera as they are built, within a journey's reach. */
import { listCameras, openCamera } from '../../../src/camera/camera.ts';
import { openDemo } from '../../../src/camera/demo.ts';
import { bitmapSource, frameSource } from '../../../src/camera/frames.ts';
import { photoFromFile } from '../../../src/camera/photo.ts';
import { BenchClient } from '../../../src/link/bench-client.ts';
import { PaintClient } from '../../../src/link/paint-client.ts';

const tools = {
  BenchClient,
  PaintClient,
  bitmapSource,
  frameSource,
  listCameras,
  openCamera,
  openDemo,
  photoFromFile,
};
export type PageTools = typeof tools;

declare global {
  interface Window {
    tools: PageTools;
  }
}
window.tools = tools;
