/**
 * What the camera alone leaves to be known: glaze and dab as flat swatches lying where the tile
 * lies, no noise, no codec, read as sRGB against the tile with its true colour. No reader that
 * assumes sRGB can be surely better; what a reading loses beyond this is the reader's.
 */
import { developerOf } from '../../calibration-samples/render/bench.ts';
import { sensorRgb } from '../../calibration-samples/render/isp.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import type { BenchScene, Surface } from '../../calibration-samples/render/scene.ts';
import { labUnder, type Triple } from '../../calibration-samples/render/spectra.ts';
import { labFromXyzD65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import { labD65, linearRgb } from '../../src/colour/spaces.ts';
import {
  linearFromEncoded,
  linearSrgbFromXyzD65,
  xyzD65FromLinearSrgb,
} from '../../src/colour/srgb.ts';

/** Dab minus glaze as the camera alone would have it, CIELAB; undefined without a tile. */
export function cameraOnlyDifference(scene: BenchScene): Triple | undefined {
  if (scene.tile === undefined) return undefined;
  const developer = developerOf(scene, new Random(1));
  const own = ({ steps }: Surface) => steps[(steps.length - 1) / 2]!;
  const tile = own(scene.things[scene.tile]!.surface);
  const through = (surface: Float64Array) =>
    developer
      .encoded(sensorRgb(scene.camera, scene.lamp.power, surface))
      .map((code) => linearFromEncoded(Math.min(255, code) / 255));
  const white = through(tile);
  const wanted = linearSrgbFromXyzD65(xyzD65FromLab(labD65(...labUnder(scene.lamp.power, tile))));
  const lab = (surface: Surface) => {
    const [r, g, b] = through(own(surface)).map((v, i) => (v * wanted[i]!) / white[i]!);
    return labFromXyzD65(xyzD65FromLinearSrgb(linearRgb(r!, g!, b!)));
  };
  const glaze = lab(scene.things[scene.piece]!.surface);
  const dab = lab(scene.dab.surface);
  return [dab[0] - glaze[0], dab[1] - glaze[1], dab[2] - glaze[2]];
}
