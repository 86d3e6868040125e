/** The demo worker's one interface: it renders the demo bench, frame by frame. */
import type { LabD65 } from '../src/colour/spaces.ts';
import type { PixelCircle, PixelPolygon } from '../src/reading/types.ts';
import type { PotGrams } from '../src/paint/types.ts';

export interface DemoScene {
  readonly width: number;
  readonly height: number;
  /** Where the tile, a patch of glaze and the dab lie, pixels of the frame. */
  readonly tile: PixelPolygon;
  readonly glaze: PixelCircle;
  readonly dab: PixelCircle;
  /** Round the fill that `spray` covers. */
  readonly fill: PixelCircle;
  /** Where a coat that `layOnTile` lays is to be read. */
  readonly onTile: PixelCircle;
  /** The tile's own colour, as its owner would have had it measured. */
  readonly tileLab: LabD65;
}

/** Refused when the pot holds what the demo bench has no paint for; the dab then stays as it was. */
export type PotLaid = { readonly ok: true } | { readonly ok: false; readonly message: string };

export interface DemoWorkerApi {
  /** Lays the scene out; answers what is where. */
  scene(): Promise<DemoScene>;
  /** The dab from the next frame on is a touch of this mix, grams by pigment id. */
  setPot(pot: PotGrams): Promise<PotLaid>;
  /** From the next frame on this mix lies sprayed over the fill, in place of the dab. */
  spray(pot: PotGrams): Promise<PotLaid>;
  /** From the next frame on a coat of this mix lies on the tile, and no dab on the piece. */
  layOnTile(pot: PotGrams): Promise<PotLaid>;
  /** The bench as the camera would see it after so many milliseconds, transferred. */
  frame(timeMs: number): Promise<ImageBitmap>;
}
