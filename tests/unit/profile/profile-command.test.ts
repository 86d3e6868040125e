/** `npm run profile`: the chart is found in the photograph, or a clear line says why there is no profile. */
import { execFile } from 'node:child_process';
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { CHART, chartPicture, type Shot } from './chart-picture.ts';

const ROOT = join(import.meta.dirname, '../../..');
const BOARD: Shot['board'] = [
  { x: 240, y: 120 },
  { x: 800, y: 210 },
  { x: 720, y: 600 },
  { x: 150, y: 470 },
];
let folder: string;
let reference: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'chart-'));
  reference = join(folder, 'chart.txt');
  const rows = CHART.map(({ name, lab }) => `${name} ${lab.join(' ')}`).join('\n');
  const fields = 'BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT';
  await writeFile(reference, `CGATS.17\n${fields}\nBEGIN_DATA\n${rows}\nEND_DATA\n`);
});

async function profile(name: string, shot: Shot) {
  const { width, height, rgba } = chartPicture(shot);
  const photo = join(folder, name);
  await sharp(rgba, { raw: { width, height, channels: 4 } })
    .png()
    .toFile(photo);
  const args = ['--import', 'tsx', 'src/headless/profile.ts', photo, '--chart', reference];
  return await new Promise<{ code: number; out: string; err: string }>((done) => {
    execFile(process.execPath, args, { cwd: ROOT }, (fault, out, err) => {
      done({ code: fault ? Number(fault.code) : 0, out, err });
    });
  });
}

describe('the profile command without corners', () => {
  it('finds the chart and prints the profile', async () => {
    const { code, out } = await profile('whole.png', { board: BOARD });
    expect(code).toBe(0);
    const made = JSON.parse(out) as { colour: { leftOut: { mean: number } }; tone: number[][] };
    expect(made.tone).toHaveLength(3);
    // Drawn in sRGB: some transform fits it nearly.
    expect(made.colour.leftOut.mean).toBeLessThan(1);
  }, 60_000);

  it('half hidden: one line that names the file, exit 2', async () => {
    const { code, out, err } = await profile('half.png', { board: BOARD, hidden: (x) => x > 470 });
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err.trim()).toMatch(/half\.png: No whole chart of 24 patches is found/);
  }, 60_000);
});
