/**
 * A camera profile as JSON, for `"profile": FILE` in a request of `read`. From a chart of 24 patches:
 *   npm run --silent profile -- PHOTO --chart REFERENCE [--corners x,y,x,y,x,y,x,y]
 * The tone response alone, from the tile in five shots or more, or from a row of grey steps; photographs
 * that carry their exposure (Exif) need no --exposures, whose times stand for all that varies:
 *   npm run --silent profile -- PHOTO… --tile x,y [--exposures 0.01,0.02,… | --distances 40,50,…]
 *   npm run --silent profile -- PHOTO… --card x,y,x,y,N --values 95,81,… [--as lightness|density|reflectance]
 *   npm run --silent profile -- PHOTO PHOTO… --card x,y,x,y,N [--exposures 0.02,0.01,… | --distances …]
 * All take [--name NAME] [--camera NAME].
 */
import { parseCgats } from '../reading/profile/cgats.ts';
import { readChart } from '../reading/profile/chart-profile.ts';
import { profileOf } from '../reading/profile/profile.ts';
import { BadInput, commandLine, print, readText, run } from './lines.ts';
import { nodeOpenCv } from './opencv.ts';
import { loadPhoto } from './photo.ts';
import { toneOfPhotos } from './tone.ts';

const USAGE =
  'usage: profile PHOTO --chart REFERENCE.txt [--corners x,y,x,y,x,y,x,y], or PHOTO… --tile x,y | --card x,y,x,y,N with --values, --exposures or --distances where the photographs do not carry their exposure';

await run(async () => {
  const { values, positionals } = commandLine(
    {
      allowPositionals: true,
      options: {
        chart: { type: 'string' },
        corners: { type: 'string' },
        tile: { type: 'string' },
        card: { type: 'string' },
        values: { type: 'string' },
        as: { type: 'string' },
        exposures: { type: 'string' },
        distances: { type: 'string' },
        name: { type: 'string' },
        camera: { type: 'string' },
      },
    },
    USAGE,
  );
  const [photo] = positionals;
  if (photo === undefined) throw new BadInput(USAGE);
  const named = {
    name: values.name ?? photo,
    camera: values.camera ?? 'not named',
    madeOn: new Date().toISOString().slice(0, 10),
  };
  const ways = [values.chart, values.tile, values.card].filter((way) => way !== undefined);
  if (ways.length > 1) throw new BadInput('give one of --chart, --tile and --card');
  if (values.tile !== undefined || values.card !== undefined) {
    const { warnings, residual, byMarks, ...fit } = await toneOfPhotos(positionals, values);
    print({ ...profileOf(fit, named), residual, ...(byMarks && { byMarks }), warnings });
    return;
  }
  if (positionals.length > 1) throw new BadInput(USAGE);
  if (values.chart === undefined) {
    throw new BadInput(
      `${photo}: name the chart’s reference values with --chart FILE, or say where the tile or the step card is with --tile or --card`,
    );
  }
  const corners = values.corners === undefined ? undefined : cornersOf(values.corners);
  const reference = parseCgats(await readText(values.chart));
  if (!reference.ok) throw new BadInput(`${values.chart}: ${reference.message}`);
  const chart = readChart(
    nodeOpenCv(),
    (await loadPhoto(photo)).picture,
    reference.patches,
    corners,
  );
  if (!chart.ok) throw new BadInput(`${photo}: ${chart.message}`);
  const profile = profileOf(chart.fit, named);
  print({ ...profile, tried: chart.fit.leftOut, warnings: chart.fit.warnings });
});

function cornersOf(text: string): { x: number; y: number }[] {
  const numbers = text.split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (numbers.length !== 8 || !numbers.every(Number.isFinite)) {
    throw new BadInput('--corners needs the chart’s four corners, in pixels: x,y,x,y,x,y,x,y');
  }
  return [0, 2, 4, 6].map((i) => ({ x: numbers[i]!, y: numbers[i + 1]! }));
}
