/** `npm run profile`: the chart is found in the photograph, or a clear line says why there is no profile. */
import { execFile } from 'node:child_process';
import { mkdtemp, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { toneCurve } from '../../../calibration-samples/render/isp.ts';
import { loadProfile } from '../../../src/headless/profile-file.ts';
import { lightOfEncoded } from '../../../src/reading/profile/profile.ts';
import { exifBlock, pngWithExif } from '../../photographs/exif.ts';
import { CHART, chartPicture, type Shot } from './chart-picture.ts';
import { ends, stepPicture } from './step-picture.ts';

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
  return await run([photo, '--chart', reference]);
}

async function run(options: readonly string[]) {
  const args = ['--import', 'tsx', 'src/headless/profile.ts', ...options];
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
  });

  it('half hidden: one line that names the file, exit 2', async () => {
    const { code, out, err } = await profile('half.png', { board: BOARD, hidden: (x) => x > 470 });
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err.trim()).toMatch(/half\.png: No whole chart of 24 patches is found/);
  });
});

describe('the profile command for the tone response alone', () => {
  const STEPS = [0.9, 0.72, 0.56, 0.43, 0.32, 0.22, 0.14, 0.08, 0.045];
  const [first, last] = ends(STEPS.length);
  const card = [first.x, first.y, last.x, last.y, STEPS.length].join(',');
  const camera = (light: number) => toneCurve({ style: 's-curve', strength: 1 }, light);
  async function photographs(lights: readonly number[], steps = STEPS): Promise<string[]> {
    return await Promise.all(
      lights.map(async (light, i) => {
        const { width, height, rgba } = stepPicture({ steps, camera, light });
        const file = join(folder, `steps-${String(steps.length)}-${String(i)}.png`);
        await sharp(rgba, { raw: { width, height, channels: 4 } })
          .png()
          .toFile(file);
        return file;
      }),
    );
  }

  it('steps of unknown value in two exposures give the curve within 1 % of range', async () => {
    const photos = await photographs([1, 0.7]);
    const { code, out } = await run([...photos, '--card', card, '--exposures', '0.02,0.014']);
    expect(code).toBe(0);
    const { tone, colour } = JSON.parse(out) as { tone: number[][]; colour?: unknown };
    expect(colour).toBeUndefined();
    const scale = 0.9 / lightOfEncoded(tone[1]!, camera(0.9));
    for (const light of [0.05, 0.1, 0.2, 0.4, 0.6, 0.8]) {
      const back = scale * lightOfEncoded(tone[1]!, camera(light));
      expect(Math.abs(back - light)).toBeLessThan(0.01 * 0.9);
    }
    // A reading takes it.
    const file = join(folder, 'tone.json');
    await writeFile(file, out);
    expect((await loadProfile(file)).tone).toHaveLength(3);
  });

  it('takes the times that photographs carry', async () => {
    const photos = await photographs([1, 0.75, 0.5]);
    const times = [
      [1, 50],
      [3, 200],
      [1, 100],
    ] as const;
    const taken = photos.map((photo) => photo.replace('steps', 'taken'));
    for (const [i, photo] of photos.entries()) {
      const bytes = Uint8Array.from(await readFile(photo));
      await writeFile(taken[i]!, pngWithExif(bytes, exifBlock({ time: times[i]!, flash: 1 })));
    }
    const given = await run([...photos, '--card', card, '--exposures', '0.02,0.015,0.01']);
    const own = await run([...taken, '--card', card]);
    expect([given.code, own.code]).toEqual([0, 0]);
    const [wanted, told] = [given, own].map(
      ({ out }) => JSON.parse(out) as { tone: number[][]; warnings: string[] },
    );
    expect(told!.tone).toEqual(wanted!.tone);
    expect(told!.warnings.join(' ')).toMatch(/taken-9-0\.png: The flash fired/);
    const mixed = await run([taken[0]!, photos[1]!, taken[2]!, '--card', card]);
    expect(mixed.code).toBe(2);
    expect(mixed.err).toMatch(/steps-9-1\.png: carries no exposure time/);
  });

  it.each([
    [['--card', card], /steps-9-0\.png: carries no exposure time; give --exposures/],
    [['--card', card, '--exposures', '1,1'], /two shots or more that differ in light/],
    [['--card', card, '--values', '95 80 70'], /--values: 3 values for 9 steps/],
    [['--card', card, '--exposures', '1,2,3'], /--exposures needs one number for each photograph/],
    [['--card', '1,2,3', '--exposures', '1,2'], /--card needs the middles/],
    [['--card', card, '--tile', '9,9'], /give one of --chart, --tile and --card/],
    [['--tile', '300,60', '--distances', '40,50'], /At least 5 shots of the tile/],
  ] as const)(
    '%j: one line, exit 2',
    async (options, message) => {
      const { code, out, err } = await run([...(await photographs([1, 0.7])), ...options]);
      expect([code, out]).toEqual([2, '']);
      expect(err.trim()).toMatch(message);
      expect(err.trim()).not.toContain('\n');
    },
    60_000,
  );
});
