/**
 * npm run --silent profile -- PHOTO --chart REFERENCE [--corners x,y,x,y,x,y,x,y] [--name NAME] [--camera NAME]
 * prints a camera profile as JSON, for `"profile": FILE` in a request of `read`.
 */
import { parseCgats } from '../reading/profile/cgats.ts';
import { readChart } from '../reading/profile/chart-profile.ts';
import { profileOf } from '../reading/profile/profile.ts';
import { BadInput, commandLine, print, readText, run } from './lines.ts';
import { nodeOpenCv } from './opencv.ts';
import { loadPhoto } from './photo.ts';

const USAGE = 'usage: profile PHOTO --chart REFERENCE.txt [--corners x,y,x,y,x,y,x,y]';

await run(async () => {
  const { values, positionals } = commandLine(
    {
      allowPositionals: true,
      options: {
        chart: { type: 'string' },
        corners: { type: 'string' },
        name: { type: 'string' },
        camera: { type: 'string' },
      },
    },
    USAGE,
  );
  const photo = positionals[0];
  if (photo === undefined || positionals.length > 1) throw new BadInput(USAGE);
  if (values.chart === undefined) {
    throw new BadInput(`${photo}: name the chart’s reference values with --chart FILE`);
  }
  const corners = values.corners === undefined ? undefined : cornersOf(values.corners);
  const reference = parseCgats(await readText(values.chart));
  if (!reference.ok) throw new BadInput(`${values.chart}: ${reference.message}`);
  const chart = readChart(nodeOpenCv(), await loadPhoto(photo), reference.patches, corners);
  if (!chart.ok) throw new BadInput(`${photo}: ${chart.message}`);
  const profile = profileOf(chart.fit, {
    name: values.name ?? photo,
    camera: values.camera ?? 'not named',
    madeOn: new Date().toISOString().slice(0, 10),
  });
  print({ ...profile, tried: chart.fit.leftOut, warnings: chart.fit.warnings });
});

function cornersOf(text: string): { x: number; y: number }[] {
  const numbers = text.split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (numbers.length !== 8 || !numbers.every(Number.isFinite)) {
    throw new BadInput('--corners needs the chart’s four corners, in pixels: x,y,x,y,x,y,x,y');
  }
  return [0, 2, 4, 6].map((i) => ({ x: numbers[i]!, y: numbers[i + 1]! }));
}
