/** Rendered benches for the reading's tests: all that could trouble a reading left out, but what a test asks for. */
import type { RenderedBench } from '../../calibration-samples/render/bench.ts';
import type { SceneWish } from '../../calibration-samples/render/sample-scene.ts';
import type { EncodedPicture, Regions } from '../../src/reading/types.ts';

export const PLAIN = {
  size: [640, 480],
  highlight: 'none',
  reflection: 'none',
  band: false,
  clutter: false,
  texture: 'plain',
  pigments: 'same',
  shape: 'flat',
  bench: 'grey',
  deltaE00: 4,
  lightness: [55, 75],
  dabPixels: 90,
} as const satisfies SceneWish;

export interface Shown {
  readonly picture: EncodedPicture;
  readonly regions: Regions;
}

/** As a person gives it: the dab and the glaze pointed at, the tile left to be found. */
export const shown = ({ width, height, rgba, truth }: RenderedBench): Shown => ({
  picture: { width, height, rgba, maxCode: 255, frames: 1 },
  regions: { glaze: truth.regions.glaze, dab: truth.regions.dab, dabOn: 'piece' },
});
