/** `npm run samples`: renders the sample photographs and their truth beside this file. */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { renderBench } from './render/bench.ts';
import { Random } from './render/random.ts';
import { sampleScene } from './render/sample-scene.ts';
import { SAMPLES, type Sample } from './samples.ts';

const folder = new URL('.', import.meta.url);
const round = (v: number, digits = 2) => Math.round(v * 10 ** digits) / 10 ** digits;

async function make(sample: Sample) {
  const scene = sampleScene(sample.seed, sample.part, sample.wish);
  const { width, height, rgba, truth } = renderBench(scene, new Random(sample.seed + 1));
  const file = `${sample.name}.${sample.jpeg ? 'jpg' : 'png'}`;
  const picture = sharp(rgba, { raw: { width, height, channels: 4 } }).removeAlpha();
  await (
    sample.jpeg
      ? picture.jpeg({ quality: sample.jpeg, chromaSubsampling: '4:4:4' })
      : picture.png({ compressionLevel: 9, effort: 10 })
  ).toFile(fileURLToPath(new URL(file, folder)));

  const { tile, glaze, dab, dabOn } = truth.regions;
  const circle = ({ x, y, radius }: typeof glaze) => ({
    circle: [round(x, 1), round(y, 1), round(radius, 1)],
  });
  return {
    file,
    shows: sample.shows,
    request: {
      photo: `calibration-samples/${file}`,
      regions: {
        glaze: circle(glaze),
        dab: circle(dab),
        ...(sample.tileKnown && truth.tileLab
          ? { tileLab: truth.tileLab.map((v) => round(v)) }
          : {}),
        ...(dabOn === 'tile' ? { dabOn } : {}),
      },
    },
    truth: {
      lamp: scene.lamp.id,
      camera: scene.camera.id,
      toneCurve: scene.tone.style,
      piece: `${scene.traits.glazeName}, ${scene.traits.texture}, ${scene.traits.shape}`,
      ...(tile ? { tile: { polygon: tile.map(({ x, y }) => [round(x, 1), round(y, 1)]) } } : {}),
      ...(truth.tileLab ? { tileLab: truth.tileLab.map((v) => round(v)) } : {}),
      glazeLab: truth.glazeLab.map((v) => round(v, 3)),
      dabLab: truth.dabLab.map((v) => round(v, 3)),
      difference: {
        lab: truth.difference.lab.map((v) => round(v, 3)),
        deltaE00: round(truth.difference.deltaE00, 3),
      },
      shares: {
        highlightOnDab: round(truth.flags.highlightOnDab, 4),
        mirroredLightOnDab: round(truth.flags.mirrorShare, 4),
        colouredReflectionOnDab: round(truth.flags.tintShare, 4),
        colouredReflectionRoundIt: round(truth.flags.ringTintShare, 4),
        dabClipped: round(truth.flags.dabClippedShare, 4),
        tileClipped: round(truth.flags.tileClippedShare, 4),
      },
    },
    must: sample.must,
  };
}

const entries = [];
for (const sample of SAMPLES) entries.push(await make(sample));
writeFileSync(new URL('truth.json', folder), `${JSON.stringify(entries, undefined, 1)}\n`);
console.log(`${entries.length} photographs and truth.json written`);
