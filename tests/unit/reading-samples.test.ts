/** The sample photographs through the command, each held to what truth.json says must happen. */
import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { deltaE2000, type Triple } from './reading-scene.ts';

interface Sample {
  readonly file: string;
  readonly shows: string;
  readonly request: { readonly photo: string };
  readonly truth: {
    readonly tile: { readonly polygon: readonly [number, number][] } | null;
    readonly glazeLab: Triple;
    readonly dabLab: Triple;
    readonly difference: { readonly lab: Triple; readonly deltaE00: number };
  };
  readonly must: {
    readonly read?: { readonly within: number };
    readonly refuse?: readonly string[];
    readonly orRead?: { readonly within: number };
  };
}
interface Answer {
  readonly ok: boolean;
  readonly refused?: readonly { reason: string; message: string; remedy: string }[];
  readonly tile?: { readonly polygon: readonly [number, number][] };
  readonly difference?: { readonly deltaE00: number; readonly interval95: [number, number] };
  readonly verdict?: { readonly acceptable: string; readonly imperceptible: string };
}

const FOLDER = 'calibration-samples';
const samples = JSON.parse(readFileSync(`${FOLDER}/truth.json`, 'utf8')) as Sample[];
const answers = new Map<string, Answer>();

beforeAll(async () => {
  const child = spawn(process.execPath, ['--import', 'tsx', 'src/headless/read.ts', '--stdin']);
  let out = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (out += text));
  child.stderr.pipe(process.stderr);
  child.stdin.end(samples.map((s) => JSON.stringify(s.request) + '\n').join(''));
  const code = await new Promise((resolve) => child.on('close', resolve));
  expect(code).toBe(0);
  const lines = out.trimEnd().split('\n');
  expect(lines).toHaveLength(samples.length);
  samples.forEach((sample, i) => answers.set(sample.file, JSON.parse(lines[i]!) as Answer));
});

test('truth.json tells of every picture in the folder, at least twelve', () => {
  const pictures = readdirSync(FOLDER).filter((name) => /\.(png|jpg)$/.test(name));
  expect(samples.map((s) => s.file).sort()).toEqual(pictures.sort());
  expect(pictures.length).toBeGreaterThanOrEqual(12);
});

test.each(samples)('$file: its truth agrees with itself, by colorjs.io', ({ truth }) => {
  const { glazeLab, dabLab, difference } = truth;
  // Written to three digits each.
  expect(Math.abs(deltaE2000(glazeLab, dabLab) - difference.deltaE00)).toBeLessThan(0.005);
  difference.lab.forEach((d, k) => {
    expect(Math.abs(dabLab[k]! - glazeLab[k]! - d)).toBeLessThan(0.002);
  });
});

/**
 * Known to fall short, with the reason; the test turns red as soon as it no longer does.
 * The dab on the jar is thicker at its rim than in its middle, and the rim is left out as its edge: what
 * is left shows a step of −0.027 in ln R/G where the whole dab has −0.046, and reads 1.4 instead of 2.4.
 */
const FALLS_SHORT = new Set(['cylinder-lamp-gradient.png']);

describe.each(samples)('$file: $shows', ({ file, truth, must }) => {
  const held = FALLS_SHORT.has(file) ? test.fails : test;
  held(must.read ? 'is read' : 'is refused, or read right', () => {
    const answer = answers.get(file)!;
    const within = must.read?.within ?? must.orRead?.within;
    if (must.read) expect(answer.refused?.map((r) => r.reason) ?? 'read').toBe('read');
    if (answer.ok) {
      expect(within, `read as ${answer.difference!.deltaE00}`).toBeDefined();
      const missed = Math.abs(answer.difference!.deltaE00 - truth.difference.deltaE00);
      expect(missed).toBeLessThanOrEqual(within!);
    } else {
      const reasons = answer.refused!.map((r) => r.reason);
      expect(
        must.refuse?.some((reason) => reasons.includes(reason)),
        reasons.join(),
      ).toBe(true);
      for (const { message, remedy } of answer.refused!) {
        expect(message).toMatch(/\w/);
        expect(remedy).toMatch(/\w/);
      }
    }
  });

  test('a tile that is read by is the tile', () => {
    const { ok, tile } = answers.get(file)!;
    if (truth.tile === null) expect(tile).toBeUndefined();
    if (!ok || !truth.tile) return;
    const found = tile!.polygon;
    for (const [x, y] of truth.tile.polygon) {
      const missed = Math.min(...found.map(([u, v]) => Math.hypot(u - x, v - y)));
      expect(missed).toBeLessThan(8);
    }
  });
});

describe('all of them together', () => {
  const read = () =>
    samples.flatMap(({ file, truth }) => {
      const answer = answers.get(file)!;
      return answer.ok ? [{ ...answer, truth: truth.difference.deltaE00 }] : [];
    });

  test('intervals of 95 % hold the true difference: of so few, two may miss', () => {
    // Of 14 intervals that hold it with 95 % each, three or more miss in 3 of 100 (binomial).
    const misses = read().filter(
      ({ difference, truth }) =>
        truth < difference!.interval95[0] || truth > difference!.interval95[1],
    );
    expect(read().length).toBeGreaterThanOrEqual(10);
    expect(misses.length).toBeLessThanOrEqual(2);
  });

  test('of the verdicts that are sure, one in twenty may be wrong', () => {
    const sure = read().flatMap(({ verdict, truth }) =>
      (
        [
          [1.8, verdict!.acceptable],
          [0.8, verdict!.imperceptible],
        ] as const
      )
        .filter(([, said]) => said !== 'unsure')
        .map(([threshold, said]) => (said === 'blends') === truth <= threshold),
    );
    expect(sure.length).toBeGreaterThanOrEqual(12);
    expect(sure.filter((right) => !right).length).toBeLessThanOrEqual(Math.ceil(sure.length / 20));
  });
});
