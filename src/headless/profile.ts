/**
 * npm run --silent profile -- PHOTO --chart REFERENCE [--corners x,y,x,y,x,y,x,y] [--name NAME] [--camera NAME]
 * prints a camera profile as JSON, for `"profile": FILE` in a request of `read`.
 */
import { readFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { parseCgats } from '../reading/profile/cgats.ts';
import { readChart } from '../reading/profile/chart-profile.ts';
import type { CameraProfile } from '../reading/profile/profile.ts';
import { BadInput, print, run } from './lines.ts';
import { nodeOpenCv } from './opencv.ts';
import { loadPhoto } from './photo.ts';

const USAGE = 'usage: profile PHOTO --chart REFERENCE.txt [--corners x,y,x,y,x,y,x,y]';

await run(async () => {
  const { values, positionals } = commandLine();
  const photo = positionals[0];
  if (photo === undefined || positionals.length > 1) throw new BadInput(USAGE);
  if (values.chart === undefined) {
    throw new BadInput(`${photo}: name the chart’s reference values with --chart FILE`);
  }
  const corners = values.corners === undefined ? undefined : cornersOf(values.corners);
  const reference = parseCgats(await textOf(values.chart));
  if (!reference.ok) throw new BadInput(`${values.chart}: ${reference.message}`);
  const chart = readChart(nodeOpenCv(), await loadPhoto(photo), reference.patches, corners);
  if (!chart.ok) throw new BadInput(`${photo}: ${chart.message}`);
  const { tone, whiteLogRatios, colour, leftOut, warnings } = chart.fit;
  const profile: CameraProfile = {
    name: values.name ?? photo,
    camera: values.camera ?? 'not named',
    madeOn: new Date().toISOString().slice(0, 10),
    tone,
    whiteLogRatios,
    colour,
  };
  print({ ...profile, tried: leftOut, warnings });
});

function cornersOf(text: string): { x: number; y: number }[] {
  const numbers = text.split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (numbers.length !== 8 || !numbers.every(Number.isFinite)) {
    throw new BadInput('--corners needs the chart’s four corners, in pixels: x,y,x,y,x,y,x,y');
  }
  return [0, 2, 4, 6].map((i) => ({ x: numbers[i]!, y: numbers[i + 1]! }));
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch {
    throw new BadInput(`${file}: there is no such file, or it cannot be opened`);
  }
}

function commandLine() {
  try {
    return parseArgs({
      allowPositionals: true,
      options: {
        chart: { type: 'string' },
        corners: { type: 'string' },
        name: { type: 'string' },
        camera: { type: 'string' },
      },
    });
  } catch (fault) {
    throw new BadInput(`${fault instanceof Error ? fault.message : ''} — ${USAGE}`);
  }
}
