/** `read` as a person calls it: a process, files, lines in and out, exit codes. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, truncateSync, writeFileSync, copyFileSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Color from 'colorjs.io';
import sharp, { type Sharp } from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { EncodedPicture } from '../../src/reading/types.ts';
import {
  benchThings,
  DAB_CIRCLE,
  deltaE2000,
  GLAZE_CIRCLE,
  GLAZE_LAB,
  polygon,
  shoot,
  TILE_LAB,
  turnedRectangle,
  type Triple,
} from './reading-scene.ts';

interface Ran {
  readonly code: number | null;
  readonly out: readonly string[];
  readonly err: readonly string[];
}

function read(args: readonly string[], stdin = ''): Promise<Ran> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'src/headless/read.ts', ...args]);
  const collected = { out: '', err: '' };
  child.stdout.setEncoding('utf8').on('data', (text: string) => (collected.out += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (collected.err += text));
  child.stdin.end(stdin);
  const lines = (text: string) => text.split('\n').slice(0, -1);
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => {
      resolve({ code, out: lines(collected.out), err: lines(collected.err) });
    });
  });
}

const readLines = (requests: readonly unknown[]): Promise<Ran> =>
  read(
    ['--stdin'],
    requests.map((r) => (typeof r === 'string' ? r : JSON.stringify(r)) + '\n').join(''),
  );

interface Answer {
  readonly ok: boolean;
  readonly error?: string;
  readonly refused?: readonly { reason: string; message: string; remedy: string }[];
  readonly tile?: { polygon: [number, number][]; level: number };
  readonly glazeLab?: Triple;
  readonly dabLab?: Triple;
  readonly difference?: {
    lab: Triple;
    deltaE00: number;
    interval95: [number, number];
    covariance: number[][];
  };
  readonly verdict?: { acceptable: string; imperceptible: string };
  readonly words?: readonly string[];
  readonly warnings?: readonly string[];
}
const parsed = (line: string | undefined) => JSON.parse(line ?? 'null') as Answer;

const folder = mkdtempSync(join(tmpdir(), 'read-test-'));
const file = (name: string) => join(folder, name);
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const regions = {
  glaze: { circle: [GLAZE_CIRCLE.x, GLAZE_CIRCLE.y, GLAZE_CIRCLE.radius] },
  dab: { circle: [DAB_CIRCLE.x, DAB_CIRCLE.y, DAB_CIRCLE.radius] },
  tileLab: TILE_LAB,
};
const DAB_LAB: Triple = [GLAZE_LAB[0] - 2, GLAZE_LAB[1] + 2, GLAZE_LAB[2] - 2];
const TRUE_DIFFERENCE = deltaE2000(GLAZE_LAB, DAB_LAB);
const bench = (maxCode: EncodedPicture['maxCode'] = 255) =>
  shoot({ things: benchThings({ dabLab: DAB_LAB }), maxCode });

const image = ({ rgba, width, height }: EncodedPicture) =>
  sharp(rgba, { raw: { width, height, channels: 4 } }).removeAlpha();

const jpeg = (picture: Sharp) => picture.jpeg({ quality: 100, chromaSubsampling: '4:4:4' });

beforeAll(async () => {
  const plain = image(bench());
  await plain.clone().png().toFile(file('bench.png'));
  await jpeg(plain.clone()).toFile(file('bench.jpg'));
});

describe('what the contract promises', () => {
  test('one photograph and a file of regions: one answer line with every field, exit 0', async () => {
    writeFileSync(file('regions.json'), `\uFEFF${JSON.stringify(regions, null, 2)}\n`);
    const { code, out, err } = await read([file('bench.png'), '--regions', file('regions.json')]);
    expect({ code, err, lines: out.length }).toEqual({ code: 0, err: [], lines: 1 });
    const answer = parsed(out[0]);
    expect(answer.ok).toBe(true);
    expect(answer.tile?.polygon).toHaveLength(4);
    expect(answer.tile?.level).toBeGreaterThan(0.75);
    expect(answer.difference?.deltaE00).toBeCloseTo(TRUE_DIFFERENCE, 1);
    const [low, high] = answer.difference!.interval95;
    expect(low).toBeLessThan(TRUE_DIFFERENCE);
    expect(high).toBeGreaterThan(TRUE_DIFFERENCE);
    expect(answer.difference?.covariance.flat()).toHaveLength(9);
    expect(deltaE2000(answer.glazeLab!, GLAZE_LAB)).toBeLessThan(0.5);
    expect(deltaE2000(answer.dabLab!, DAB_LAB)).toBeLessThan(0.5);
    expect(Object.values(answer.verdict!)).toHaveLength(2);
    expect(answer.words!.length).toBeGreaterThan(0);
  });

  test('a file that holds the whole request line serves as regions too', async () => {
    writeFileSync(file('request.json'), JSON.stringify({ photo: 'another.png', regions }));
    const { code, out } = await read([file('bench.png'), '--regions', file('request.json')]);
    expect(code).toBe(0);
    expect(parsed(out[0]).ok).toBe(true);
  });

  test('a field nobody knows is told, wherever it stands, and the rest is read', async () => {
    const slip = { tilelab: [90, 0, 0], glaze: { ...regions.glaze, note: 'rim' } };
    const { out, code } = await readLines([
      { photo: file('bench.png'), regions },
      { photo: file('bench.png'), regions: { ...regions, ...slip }, id: 7 },
    ]);
    const [plain, slipped] = out.map(parsed);
    expect(code).toBe(0);
    expect(slipped!.difference).toEqual(plain!.difference);
    const told = slipped!.warnings!.filter((warning) => !plain!.warnings!.includes(warning));
    expect(told).toHaveLength(3);
    for (const field of ['regions.tilelab', 'regions.glaze.note', 'id']) {
      expect(told.filter((warning) => warning.includes(`“${field}”`))).toHaveLength(1);
    }
  });

  test('a refusal is an answer: reason, message and remedy, exit 0', async () => {
    await image(shoot({ things: benchThings({ tile: 'none' }) }))
      .png()
      .toFile(file('no-tile.png'));
    const { code, out, err } = await readLines([{ photo: file('no-tile.png'), regions }]);
    expect({ code, err }).toEqual({ code: 0, err: [] });
    expect(parsed(out[0])).toMatchObject({ ok: false, refused: [{ reason: 'tile-missing' }] });
    for (const text of Object.values(parsed(out[0]).refused![0]!)) expect(text).toMatch(/\w/);
  });

  test('two hundred requests in one process are answered one by one, in order', async () => {
    // Ten grey stripes on a card beside the tile: each request says which two it compares.
    const stripes: Triple[] = Array.from({ length: 10 }, (_, i) => [35 + 5 * i, 0, 0]);
    const things = stripes.map((lab, i) => ({
      lab,
      cover: polygon(turnedRectangle({ x: 20 + 32 * i, y: 60 }, 28, 80)),
    }));
    const corners = turnedRectangle({ x: 160, y: 180 }, 90, 80, 5);
    await image(
      shoot({
        width: 320,
        height: 240,
        things: [...things, { lab: TILE_LAB, cover: polygon(corners) }],
      }),
    )
      .png()
      .toFile(file('stripes.png'));
    const pairs = Array.from({ length: 200 }, (_, i) => [i % 10, (7 * i + 3) % 10] as const);
    const { code, out, err } = await readLines(
      pairs.map(([glaze, dab]) => ({
        photo: file('stripes.png'),
        regions: {
          tile: { polygon: corners.map((p) => [p.x, p.y]) },
          glaze: { circle: [20 + 32 * glaze, 60, 9] },
          dab: { circle: [20 + 32 * dab, 60, 9] },
          tileLab: TILE_LAB,
          dabOn: 'tile',
        },
      })),
    );
    expect({ code, err, lines: out.length }).toEqual({ code: 0, err: [], lines: 200 });
    out.forEach((line, i) => {
      const [glaze, dab] = pairs[i]!;
      const { glazeLab, dabLab } = parsed(line);
      expect(Math.abs(glazeLab![0] - stripes[glaze]![0])).toBeLessThan(1);
      expect(Math.abs(dabLab![0] - stripes[dab]![0])).toBeLessThan(1);
    });
  });
});

describe('files that are pictures of many kinds', () => {
  test('all read as the plain one: turned, wide gamut, 16 bits, alpha; black and white is refused', async () => {
    const plain = image(bench());
    const deep = bench(65535);
    const write = {
      'jpeg.jpg': jpeg(plain.clone()),
      'alpha.png': plain.clone().ensureAlpha().png(),
      'palette-free.png': plain.clone().png({ compressionLevel: 1, adaptiveFiltering: true }),
      'p3.png': plain.clone().withIccProfile('p3').png(),
      'p3.jpg': plain
        .clone()
        .withIccProfile('p3')
        .jpeg({ quality: 100, chromaSubsampling: '4:4:4' }),
      'deep.png': image(deep).toColourspace('rgb16').png(),
      // Codes of Display P3 worked out by colorjs.io; sharp adds the profile only.
      'deep-p3.png': image(inDisplayP3(deep)).toColourspace('rgb16').withIccProfile('p3').png(),
    };
    for (const [name, picture] of Object.entries(write)) await picture.toFile(file(name));
    await plain.clone().greyscale().png().toFile(file('grey.png'));
    await plain.clone().greyscale().jpeg({ quality: 100 }).toFile(file('grey.jpg'));
    // The files are what they say they are.
    expect((await sharp(file('p3.png')).metadata()).icc).toBeDefined();
    expect((await sharp(file('deep-p3.png')).metadata()).depth).toBe('ushort');
    const stored = (await sharp(file('p3.png'), { ignoreIcc: true }).stats()).channels;
    expect(Math.abs(stored[2]!.mean - (await plain.stats()).channels[2]!.mean)).toBeGreaterThan(
      0.5,
    );

    const names = [...Object.keys(write), 'grey.png', 'grey.jpg'];
    const { code, out, err } = await readLines(
      ['bench.png', ...names].map((name) => ({ photo: file(name), regions })),
    );
    expect({ code, err, lines: out.length }).toEqual({ code: 0, err: [], lines: names.length + 1 });
    const [first, ...others] = out.map(parsed);
    others.forEach((answer, i) => {
      const name = names[i]!;
      expect(answer.ok, name).toBe(!name.startsWith('grey'));
      if (!answer.ok) {
        expect(answer.refused?.map(({ reason }) => reason)).toEqual(['picture-grey']);
      } else {
        // JPEG rounds brightness and two colour differences to whole codes: a flat field comes back
        // up to half a code off.
        const within = name.endsWith('.jpg') ? 0.5 : 0.15;
        expect(deltaE2000(answer.glazeLab!, first!.glazeLab!), name).toBeLessThan(within);
        expect(deltaE2000(answer.dabLab!, first!.dabLab!), name).toBeLessThan(within);
        const missed = Math.abs(answer.difference!.deltaE00 - TRUE_DIFFERENCE);
        expect(missed, name).toBeLessThan(name.endsWith('.jpg') ? 0.3 : 0.15);
      }
    });
  });

  test('regions are places in the upright picture, whatever way it is stored', async () => {
    const requests: unknown[] = [];
    // EXIF 2.3, tag 0x0112: how the stored picture must be turned to stand upright.
    const stored = [
      { orientation: 2, kind: 'jpg', turn: (s: Sharp) => s.flop() },
      { orientation: 3, kind: 'jpg', turn: (s: Sharp) => s.rotate(180) },
      { orientation: 6, kind: 'jpg', turn: (s: Sharp) => s.rotate(270) },
      { orientation: 6, kind: 'png', turn: (s: Sharp) => s.rotate(270) },
      { orientation: 8, kind: 'jpg', turn: (s: Sharp) => s.rotate(90) },
    ] as const;
    for (const { orientation, kind, turn } of stored) {
      const name = file(`turned-${orientation}.${kind}`);
      const turned = turn(image(bench())).withMetadata({ orientation });
      await (kind === 'jpg' ? jpeg(turned) : turned.png()).toFile(name);
      requests.push({ photo: name, regions });
    }
    // A place that exists in the stored frame only (480 × 360 stored as 360 × 480).
    requests.push({
      photo: file('turned-6.jpg'),
      regions: { ...regions, dab: { circle: [180, 420, 20] } },
    });
    const { code, out, err } = await readLines(requests);
    expect(code).toBe(2);
    expect(err).toHaveLength(1);
    expect(err[0]).toContain(`line ${requests.length}`);
    expect(err[0]).toContain('480 × 360');
    for (const line of out.slice(0, -1)) {
      const { glazeLab, difference } = parsed(line);
      expect(deltaE2000(glazeLab!, GLAZE_LAB), line).toBeLessThan(0.5);
      expect(Math.abs(difference!.deltaE00 - TRUE_DIFFERENCE), line).toBeLessThan(0.15);
    }
  });
});

describe('bad input', () => {
  const good = { photo: file('bench.png'), regions };
  const spoilt: Record<string, { request: unknown; says: RegExp }> = {
    'not JSON': { request: '{"photo": ', says: /not JSON/ },
    'not an object': { request: [1, 2], says: /photo/ },
    'a bare word': { request: '"photo.png"', says: /photo/ },
    'no photo': { request: { regions }, says: /photo is missing/ },
    'no such photo': {
      request: { ...good, photo: file('nowhere.png') },
      says: /nowhere\.png: there is no such file/,
    },
    'a folder': { request: { ...good, photo: folder }, says: /cannot be opened/ },
    'no regions': { request: { photo: good.photo }, says: /regions is missing/ },
    'no dab': {
      request: { ...good, regions: { glaze: regions.glaze } },
      says: /regions\.dab is missing/,
    },
    'a dab without a circle': {
      request: { ...good, regions: { ...regions, dab: { polygon: [] } } },
      says: /regions\.dab\.circle is missing/,
    },
    'two numbers for a circle': {
      request: { ...good, regions: { ...regions, dab: { circle: [1, 2] } } },
      says: /regions\.dab\.circle\.2 is missing/,
    },
    'a negative radius': {
      request: { ...good, regions: { ...regions, dab: { circle: [150, 180, -4] } } },
      says: /regions\.dab\.circle must have a radius above 0/,
    },
    'a radius of 0': {
      request: { ...good, regions: { ...regions, glaze: { circle: [150, 180, 0] } } },
      says: /regions\.glaze\.circle must have a radius above 0/,
    },
    'not a number': {
      request: JSON.stringify(good).replace('150,180,26', 'NaN,180,26'),
      says: /not JSON/,
    },
    'null for a number': {
      request: { ...good, regions: { ...regions, dab: { circle: [null, 180, 26] } } },
      says: /regions\.dab\.circle\.0 must be a number/,
    },
    'beyond all numbers': {
      request: JSON.stringify(good).replace('150,180,26', '150,1e999,26'),
      says: /regions\.dab\.circle\.1 must be finite/,
    },
    'a dab outside the picture': {
      request: { ...good, regions: { ...regions, dab: { circle: [700, 180, 26] } } },
      says: /bench\.png.*regions\.dab lies outside the picture \(480 × 360 pixels\)/,
    },
    'glaze outside the picture': {
      request: { ...good, regions: { ...regions, glaze: { circle: [150, -30, 10] } } },
      says: /regions\.glaze lies outside/,
    },
    'a tile outside the picture': {
      request: {
        ...good,
        regions: {
          ...regions,
          tile: {
            polygon: [
              [0, 0],
              [900, 0],
              [0, 90],
            ],
          },
        },
      },
      says: /regions\.tile lies outside/,
    },
    'a tile of two corners': {
      request: {
        ...good,
        regions: {
          ...regions,
          tile: {
            polygon: [
              [0, 0],
              [90, 0],
            ],
          },
        },
      },
      says: /regions\.tile\.polygon needs at least three corners/,
    },
    'a black tile': {
      request: { ...good, regions: { ...regions, tileLab: [12, 0, 0] } },
      says: /regions\.tileLab is no white tile/,
    },
    'an unknown place for the dab': {
      request: { ...good, regions: { ...regions, dabOn: 'table' } },
      says: /regions\.dabOn must be "piece" or "tile"/,
    },
    'not an image': {
      request: { ...good, photo: file('text.png') },
      says: /text\.png: this is not a picture/,
    },
    'an empty file': {
      request: { ...good, photo: file('empty.png') },
      says: /this is not a picture/,
    },
    'a drawing': {
      request: { ...good, photo: file('drawing.png') },
      says: /this is not a picture/,
    },
    'a truncated PNG': {
      request: { ...good, photo: file('cut.png') },
      says: /cut\.png: the picture is damaged or cut short/,
    },
    'a truncated JPEG': {
      request: { ...good, photo: file('cut.jpg') },
      says: /cut\.jpg: the picture is damaged or cut short/,
    },
    'a GIF': {
      request: { ...good, photo: file('bench.gif') },
      says: /bench\.gif: the picture is a GIF of at most 256 colours, which cannot be read\. Save it as/,
    },
    'a JPEG for printing': {
      request: { ...good, photo: file('printing.jpg') },
      says: /printing\.jpg: the picture is a JPEG in the colours of printing \(CMYK\), which cannot be read\. Save it as/,
    },
    'one pixel': {
      request: { ...good, photo: file('one.png') },
      says: /one\.png: 1 × 1 pixels is too small/,
    },
    'a hundred megapixels': {
      request: { ...good, photo: file('vast.png') },
      says: /vast\.png: 100 megapixels is more than 64/,
    },
  };

  beforeAll(async () => {
    writeFileSync(file('text.png'), 'this is no picture');
    writeFileSync(file('empty.png'), '');
    writeFileSync(
      file('drawing.png'),
      '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300"><rect width="9" height="9"/></svg>',
    );
    for (const kind of ['png', 'jpg']) {
      copyFileSync(file(`bench.${kind}`), file(`cut.${kind}`));
      truncateSync(file(`cut.${kind}`), Math.floor(0.6 * statSync(file(`bench.${kind}`)).size));
    }
    const blank = (width: number, height: number) =>
      sharp({
        create: { width, height, channels: 3, background: '#888888' },
        limitInputPixels: false,
      }).png({ compressionLevel: 1 });
    const bench = sharp(file('bench.png'));
    await bench.clone().gif().toFile(file('bench.gif'));
    await bench.clone().toColourspace('cmyk').jpeg().toFile(file('printing.jpg'));
    await blank(1, 1).toFile(file('one.png'));
    await blank(10_000, 10_000).toFile(file('vast.png'));
  });

  test('good and bad lines mixed: every line answered in its place, exit 2, one line of error each', async () => {
    const requests: unknown[] = [];
    const faults: { line: number; name: string; says: RegExp }[] = [];
    for (const [name, { request, says }] of Object.entries(spoilt)) {
      if (requests.length % 8 === 0) requests.push(good);
      requests.push(request);
      faults.push({ line: requests.length, name, says });
    }
    requests.push(good);
    const { code, out, err } = await readLines(requests);
    expect(code).toBe(2);
    expect(out).toHaveLength(requests.length);
    expect(err).toHaveLength(faults.length);
    faults.forEach(({ line, name, says }, i) => {
      expect(err[i], name).toMatch(new RegExp(`^line ${line}: `));
      expect(err[i], name).toMatch(says);
      expect(parsed(out[line - 1]), name).toEqual({ ok: false, error: err[i] });
    });
    const bad = new Set(faults.map((f) => f.line));
    out.forEach((text, i) => {
      if (!bad.has(i + 1))
        expect(parsed(text).difference!.deltaE00).toBeCloseTo(TRUE_DIFFERENCE, 1);
    });
  });

  test.each([
    { name: 'nothing at all', args: [], says: /^usage/ },
    { name: 'no regions', args: ['photo.png'], says: /photo\.png: say where glaze and dab are/ },
    { name: 'an unknown option', args: ['a.png', '--region', 'r.json'], says: /--region.*usage/ },
    { name: 'a photograph beside --stdin', args: ['--stdin', 'a.png'], says: /^usage/ },
    {
      name: 'a missing file of regions',
      args: ['a.png', '--regions', file('none.json')],
      says: /none\.json: there is no such file/,
    },
    {
      name: 'regions that are not JSON',
      args: ['a.png', '--regions', file('broken.json')],
      says: /broken\.json: not JSON/,
    },
    {
      name: 'regions at fault',
      args: ['a.png', '--regions', file('no-dab.json')],
      says: /no-dab\.json: regions\.dab is missing/,
    },
  ])('$name: exit 2, one line, no answer', async ({ args, says }) => {
    writeFileSync(file('broken.json'), '{\n"dab": [\n');
    writeFileSync(file('no-dab.json'), JSON.stringify({ glaze: regions.glaze }));
    const { code, out, err } = await read(args);
    expect({ code, out, lines: err.length }).toEqual({ code: 2, out: [], lines: 1 });
    expect(err[0]).toMatch(says);
  });
});

/** The same colours in codes of Display P3, which has sRGB's curve. */
function inDisplayP3(picture: EncodedPicture): EncodedPicture {
  const rgba = Uint16Array.from(picture.rgba);
  for (let i = 0; i < rgba.length; i += 4) {
    const encoded = [0, 1, 2].map((k) => rgba[i + k]! / 65535) as [number, number, number];
    const wide = new Color('srgb', encoded).to('p3').coords;
    for (let k = 0; k < 3; k++) rgba[i + k] = Math.round(65535 * wide[k]!);
  }
  return { ...picture, rgba };
}
