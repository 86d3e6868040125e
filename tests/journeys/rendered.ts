/** A rendered bench for the journeys: truth known, easy to read, the same at every run. */
import sharp from 'sharp';
import { BenchFilm } from '../../calibration-samples/render/bench.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';

/** A flat, evenly lit piece with a large dab, 4 ΔE₀₀ from its glaze. */
export function renderedFilm(): BenchFilm {
  const scene = sampleScene(13, 'judge', {
    size: [1280, 720],
    shape: 'flat',
    highlight: 'none',
    texture: 'plain',
    band: false,
    reflection: 'none',
    dabPixels: 90,
    deltaE00: 4,
    level: 0.82,
    pigments: 'same',
    lightness: [60, 80],
  });
  return new BenchFilm(scene, new Random(5));
}

/** One frame as a photograph, its codes times `dimmed`. */
export async function photographOf(film: BenchFilm, name = 'bench.png', dimmed = 1) {
  const { width, height } = film;
  const png = sharp(film.frame(), { raw: { width, height, channels: 4 } })
    .linear([dimmed, dimmed, dimmed, 1], [0, 0, 0, 0])
    .png();
  return { name, mimeType: 'image/png', buffer: await png.toBuffer() };
}
