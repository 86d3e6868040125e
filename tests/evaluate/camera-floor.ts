/**
 * What is left to be known by a reader that assumes sRGB and is told the rest, so that what a reading
 * loses beyond it is the reader's.
 */
import { developerOf, type RenderedBench } from '../../calibration-samples/render/bench.ts';
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

/**
 * The camera alone: glaze and dab as flat swatches lying where the tile lies, no noise, no codec, read
 * as sRGB against the tile with its true colour. Dab minus glaze, CIELAB; undefined without a tile.
 */
export function cameraOnlyDifference(scene: BenchScene): Triple | undefined {
  return differenceOf(scene, [1, 1, 1], [1, 1, 1]);
}

/**
 * The same with the noise of this picture, of a reader told the outline, the light at every pixel, the
 * mirrored light and the texture, who has only to average: over the dab's core, and over the glaze
 * within `RING` radii of its centre. What noise, rounding and codec did to those averages stays in.
 */
export function toldDifference(
  scene: BenchScene,
  { image, rgba, width }: Pick<RenderedBench, 'image' | 'rgba' | 'width'>,
): Triple | undefined {
  const developer = developerOf(scene, new Random(1));
  const averages = (places: Iterable<number>): Triple => {
    const got = [0, 0, 0];
    const meant = [0, 0, 0];
    let cells = 0;
    for (const i of places) {
      const codes = developer.encoded([
        image.rgb[3 * i]!,
        image.rgb[3 * i + 1]!,
        image.rgb[3 * i + 2]!,
      ]);
      // What clips tells nothing, and is known to.
      if (Math.max(...codes) > CLIPS) continue;
      cells++;
      codes.forEach((code, k) => {
        got[k]! += linearFromEncoded(rgba[4 * i + k]! / 255);
        meant[k]! += linearFromEncoded(Math.min(255, Math.max(0, code)) / 255);
      });
    }
    return got.map((v, k) => (v + cells * TOE) / (meant[k]! + cells * TOE)) as unknown as Triple;
  };
  const { dab, dabCore, bodies } = image;
  const onDab = new Set(dabCore);
  const ring: number[] = [];
  bodies.forEach((body, i) => {
    const away = Math.hypot((i % width) - dab.x, Math.floor(i / width) - dab.y) / dab.radius;
    if (body === scene.piece && away > RING[0] && away < RING[1] && !onDab.has(i)) ring.push(i);
  });
  const [glaze, dabMean] = [averages(ring), averages(dabCore)];
  // Nothing of it in the picture, or all of it clipped.
  return [...glaze, ...dabMean].every(Number.isFinite)
    ? differenceOf(scene, glaze, dabMean)
    : undefined;
}
const RING = [1.3, 2.2] as const;
const CLIPS = 245;
/** Linear light under which a channel is rounding and clipping at nought: its ratio tells nothing. */
const TOE = 0.002;

/** @param glazeFactor, dabFactor what the linear light of glaze and dab is multiplied with, by channel */
function differenceOf(
  scene: BenchScene,
  glazeFactor: Triple,
  dabFactor: Triple,
): Triple | undefined {
  if (scene.tile === undefined) return undefined;
  const developer = developerOf(scene, new Random(1));
  const own = ({ steps }: Surface) => steps[(steps.length - 1) / 2]!;
  const through = (surface: Float64Array) =>
    developer
      .encoded(sensorRgb(scene.camera, scene.lamp.power, surface))
      .map((code) => linearFromEncoded(Math.min(255, code) / 255));
  const tile = own(scene.things[scene.tile]!.surface);
  const white = through(tile);
  const wanted = linearSrgbFromXyzD65(xyzD65FromLab(labD65(...labUnder(scene.lamp.power, tile))));
  const lab = (surface: Surface, factor: Triple) => {
    const [r, g, b] = through(own(surface)).map(
      (v, i) => (v * factor[i]! * wanted[i]!) / white[i]!,
    );
    return labFromXyzD65(xyzD65FromLinearSrgb(linearRgb(r!, g!, b!)));
  };
  const glaze = lab(scene.things[scene.piece]!.surface, glazeFactor);
  const dab = lab(scene.dab.surface, dabFactor);
  return [dab[0] - glaze[0], dab[1] - glaze[1], dab[2] - glaze[2]];
}
