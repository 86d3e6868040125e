/** One scene in detail, for finding out why: `--one SEED --png out.png`. */
import sharp from 'sharp';
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { outcomeLine } from './print.ts';
import { runScene } from './one-scene.ts';

export async function showOne(seed: number, part: Part, png: string | undefined): Promise<void> {
  const { plan, bench, given, result, outcome } = await runScene(seed, part);
  console.log(outcomeLine(outcome));
  console.log('truth', JSON.stringify(bench.truth));
  console.log('given', JSON.stringify(given));
  const brief = result.ok ? { ...result, evidence: undefined } : result;
  console.log('result', JSON.stringify(brief));
  console.log('baseline', JSON.stringify(outcome.baseline));
  if (!png) return;
  const { width, height } = bench;
  const points = (polygon: readonly { readonly x: number; readonly y: number }[]) =>
    polygon.map(({ x, y }) => `${x},${y}`).join(' ');
  const circle = (
    c: { readonly x: number; readonly y: number; readonly radius: number },
    colour: string,
  ) => `<circle cx="${c.x}" cy="${c.y}" r="${c.radius}" stroke="${colour}"/>`;
  const found = result.tile?.polygon;
  const evidence = result.ok ? result.evidence : undefined;
  const marks = [
    found ? `<polygon points="${points(found)}" stroke="yellow"/>` : '',
    circle(given.regions.glaze, 'cyan'),
    circle(given.regions.dab, 'magenta'),
    evidence ? `<polygon points="${points(evidence.dabOutline)}" stroke="lime"/>` : '',
    evidence?.ring ? circle(evidence.ring.outer, 'lime') + circle(evidence.ring.inner, 'lime') : '',
  ].join('');
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" fill="none" stroke-width="1">${marks}</svg>`;
  const picture = sharp(bench.rgba, { raw: { width, height, channels: 4 } }).removeAlpha();
  await picture.clone().png().toFile(png);
  await picture
    .composite([{ input: Buffer.from(svg) }])
    .png()
    .toFile(png.replace(/\.png$/, '-marked.png'));
  console.log(`${png} and its marked copy written; scene ${plan.scene.traits.glazeName}`);
}
