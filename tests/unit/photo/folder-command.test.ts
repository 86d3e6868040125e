/** `read` over a folder, as a person calls it: every photograph answered, what cannot be read named. */
import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { bytesOf } from '../../photographs/bytes.ts';
import { rawOf } from '../../photographs/raw-of.ts';
import {
  benchThings,
  between,
  DAB_CIRCLE,
  deltaE2000,
  GLAZE_CIRCLE,
  GLAZE_LAB,
  shoot,
  TILE_LAB,
  type Triple,
} from '../reading-scene.ts';

const DAB_LAB: Triple = between(GLAZE_LAB, [76, -4, 24], 0.3);
const TRUE_DIFFERENCE = deltaE2000(GLAZE_LAB, DAB_LAB);
const folder = mkdtempSync(join(tmpdir(), 'folder-'));
const inFolder = (name: string) => join(folder, 'bench', name);
const regions = join(folder, 'regions.json');

interface Answer {
  readonly photo: string;
  readonly ok: boolean;
  readonly error?: string;
  readonly difference?: { readonly deltaE00: number };
  readonly photograph?: { readonly bits: number; readonly light: string };
}

function start(...args: readonly string[]) {
  const child = spawn(process.execPath, ['--import', 'tsx', 'src/headless/read.ts', ...args]);
  const said = { out: '', err: '' };
  child.stdout.setEncoding('utf8').on('data', (text: string) => (said.out += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (said.err += text));
  const ended = new Promise<{ code: number | null; answers: Answer[]; err: string }>((resolve) => {
    child.on('close', (code) => {
      const lines = said.out.split('\n').slice(0, -1);
      resolve({ code, answers: lines.map((line) => JSON.parse(line) as Answer), err: said.err });
    });
  });
  return { child, ended };
}

beforeAll(async () => {
  mkdirSync(join(folder, 'bench'));
  mkdirSync(join(folder, 'empty'));
  const picture = shoot({ things: benchThings({ dabLab: DAB_LAB }), maxCode: 65535 });
  const { width, height, rgba } = picture;
  const tiff = await bytesOf(
    sharp(Uint16Array.from(rgba), { raw: { width, height, channels: 4 } })
      .removeAlpha()
      .toColourspace('rgb16')
      .tiff({ compression: 'lzw' }),
  );
  writeFileSync(inFolder('2.tif'), tiff);
  writeFileSync(inFolder('10.tif'), tiff.subarray(0, tiff.length / 2));
  writeFileSync(inFolder('11.dng'), rawOf(picture));
  // A photograph is what its bytes say, and notes beside it are none.
  writeFileSync(inFolder('20 no ending'), tiff);
  writeFileSync(inFolder('notes.txt'), 'umber, a touch');
  writeFileSync(
    regions,
    JSON.stringify({
      glaze: { circle: [GLAZE_CIRCLE.x, GLAZE_CIRCLE.y, GLAZE_CIRCLE.radius] },
      dab: { circle: [DAB_CIRCLE.x, DAB_CIRCLE.y, DAB_CIRCLE.radius] },
      tileLab: TILE_LAB,
    }),
  );
});
afterAll(() => rmSync(folder, { recursive: true }));

test('all of a folder, in the order of their names, the broken one named', async () => {
  const { code, answers, err } = await start(join(folder, 'bench'), '--regions', regions).ended;
  expect(code).toBe(2);
  expect(answers.map(({ photo }) => photo)).toEqual(
    ['2.tif', '10.tif', '11.dng', '20 no ending'].map(inFolder),
  );
  const [first, broken, raw, bare] = answers;
  expect(broken).toEqual({ photo: inFolder('10.tif'), ok: false, error: err.trim() });
  expect(err).toContain(`${inFolder('10.tif')}: the picture is damaged, or not all of it is there`);
  for (const answer of [first!, raw!, bare!]) {
    expect(Math.abs(answer.difference!.deltaE00 - TRUE_DIFFERENCE)).toBeLessThan(0.15);
  }
  expect(first!.photograph).toEqual({ bits: 16, light: 'developed' });
  expect(raw!.photograph).toMatchObject({ light: 'sensor' });
});

test('several files, none of them broken', async () => {
  const paths = [inFolder('11.dng'), inFolder('2.tif')];
  const { code, answers, err } = await start(...paths, '--regions', regions).ended;
  expect({ code, err }).toEqual({ code: 0, err: '' });
  expect(answers.map(({ photo, ok }) => [photo, ok])).toEqual(paths.map((path) => [path, true]));
});

test('one photograph is answered as ever', async () => {
  const { code, answers } = await start(inFolder('2.tif'), '--regions', regions).ended;
  expect(code).toBe(0);
  expect(answers).toHaveLength(1);
  expect(answers[0]).not.toHaveProperty('photo');
});

test('Ctrl-C ends it after the photograph under way; what was answered stands', async () => {
  const many = Array.from({ length: 60 }, () => inFolder('2.tif'));
  const { child, ended } = start(...many, '--regions', regions);
  child.stdout.once('data', () => child.kill('SIGINT'));
  const { code, answers, err } = await ended;
  expect(code).toBe(130);
  expect(answers.length).toBeGreaterThan(0);
  expect(answers.length).toBeLessThan(many.length);
  expect(err.trim()).toBe(`cancelled: ${answers.length} of 60 photographs were read`);
});

test.each([
  [
    'a folder without photographs',
    () => [join(folder, 'empty'), '--regions', regions],
    /no photograph in this folder/,
  ],
  ['a folder without regions', () => [join(folder, 'bench')], /say where glaze and dab are/],
  [
    'regions at fault',
    () => [join(folder, 'bench'), '--regions', inFolder('notes.txt')],
    /notes\.txt: not JSON/,
  ],
] as const)(
  '%s: one line, no answer',
  async (_, args, says) => {
    const { code, answers, err } = await start(...args()).ended;
    expect({ code, answers, lines: err.trim().split('\n').length }).toEqual({
      code: 2,
      answers: [],
      lines: 1,
    });
    expect(err).toMatch(says);
  },
  60_000,
);
