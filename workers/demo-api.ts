/** The demo worker's one interface: it renders the demo bench, frame by frame. */
import type { PixelCircle, PixelPolygon } from '../src/reading/types.ts';
import type { PotGrams } from '../src/paint/types.ts';

export interface DemoScene {
  readonly width: number;
  readonly height: number;
  /** Where the tile, a patch of glaze and the dab lie, pixels of the frame. */
  readonly tile: PixelPolygon;
  readonly glaze: PixelCircle;
  readonly dab: PixelCircle;
}

export interface DemoWorkerApi {
  /** Lays the scene out; answers what is where. */
  scene(): Promise<DemoScene>;
  /** The dab from the next frame on is a touch of this mix, grams by pigment id. */
  setPot(pot: PotGrams): Promise<void>;
  /** The bench as the camera would see it after so many milliseconds, transferred. */
  frame(timeMs: number): Promise<ImageBitmap>;
}
