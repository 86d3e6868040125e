/**
 * The design's figures on globes under a near lamp: Lambert's cosine law and the inverse square, written
 * here by hand, so that reader, rendered benches and this test share no model.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import type { ReadingResult } from '../../src/reading/types.ts';
import {
  deltaE2000,
  disc,
  normals,
  polygon,
  shoot,
  turnedRectangle,
  uniforms,
  type Thing,
  type Triple,
} from './reading-scene.ts';

const SIZE = { width: 720, height: 540 };
const TILE_LAB: Triple = [93, -0.6, 1.5];
const TILE_AT = { x: 130, y: 120 };

type Vector = readonly [number, number, number];

/** Irradiance of a point with a normal, by a small lamp: cosine over distance squared. */
function irradiance(lamp: Vector, at: Vector, normal: Vector): number {
  const to = [0, 1, 2].map((k) => lamp[k]! - at[k]!);
  const squared = to.reduce((sum, v) => sum + v * v, 0);
  const cosine = to.reduce((sum, v, k) => sum + v * normal[k]!, 0) / Math.sqrt(squared);
  return Math.max(0, cosine) / squared;
}

interface Globe {
  readonly glaze: Triple;
  readonly dab: Triple;
  readonly result: ReadingResult;
}

/** One globe, its lamp, dab and what the person points at all drawn from the seed. */
function readGlobe(seed: number, equal: boolean, edge = 2): Globe {
  const uniform = uniforms(seed);
  const normal = normals(seed + 1000);
  for (let i = 0; i < 20; i++) uniform();
  const within = (low: number, high: number) => low + (high - low) * uniform();
  const glaze: Triple = [within(40, 88), 8 * normal(), 10 * normal()];
  const dab: Triple = equal
    ? glaze
    : [glaze[0] + 1.5 * normal(), glaze[1] + normal(), glaze[2] + normal()];
  const globe = { x: 450, y: 280, radius: within(150, 200) };
  const place = within(0, 2 * Math.PI);
  const off = within(0, 0.45) * globe.radius;
  const at = { x: globe.x + off * Math.cos(place), y: globe.y + off * Math.sin(place) };
  const radius = within(14, 38);
  const lamp: Vector = [within(-150, 800), within(-250, 250), within(600, 1000)];
  const tileLight = irradiance(lamp, [TILE_AT.x, TILE_AT.y, 0], [0, 0, 1]);
  const onGlobe = (x: number, y: number): number => {
    const nx = (x - globe.x) / globe.radius;
    const ny = (y - globe.y) / globe.radius;
    const nz = Math.sqrt(Math.max(0, 1 - nx * nx - ny * ny));
    // A little light from the room, as everywhere.
    return 0.04 + irradiance(lamp, [x, y, nz * globe.radius], [nx, ny, nz]) / tileLight;
  };
  const onTable: Thing['light'] = (x, y) => irradiance(lamp, [x, y, 0], [0, 0, 1]) / tileLight;
  const things: Thing[] = [
    { lab: TILE_LAB, cover: polygon(turnedRectangle(TILE_AT, 130, 120, 7)), light: onTable },
    { lab: glaze, cover: disc(globe.x, globe.y, globe.radius, 1.5), light: onGlobe },
    { lab: dab, cover: disc(at.x, at.y, radius, edge), light: onGlobe },
  ];
  // As bright as nothing on the globe clips and the tile is not too dark.
  const brightest = Math.max(1, 1.02 * onGlobe(globe.x, globe.y), onGlobe(at.x, at.y));
  const gain = 0.72 / brightest;
  const picture = shoot({ ...SIZE, things, gain: [gain, gain, gain], noise: 1, seed });
  const turn = place + Math.PI;
  const regions = {
    dab: {
      x: at.x + 2 * normal(),
      y: at.y + 2 * normal(),
      radius: radius * within(0.65, 1.1),
    },
    glaze: {
      x: at.x + 1.9 * radius * Math.cos(turn),
      y: at.y + 1.9 * radius * Math.sin(turn),
      radius: 8,
    },
    dabOn: 'piece',
  } as const;
  return { glaze, dab, result: read(nodeOpenCv(), picture, regions, DEFAULT_SETTINGS) };
}

const mean = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / values.length;

describe('globes under a near lamp', () => {
  let globes: { readonly truth: number; readonly result: ReadingResult }[];
  beforeAll(() => {
    globes = Array.from({ length: 48 }, (_, i) => {
      const { glaze, dab, result } = readGlobe(i + 1, i % 4 === 0);
      return { truth: deltaE2000(glaze, dab), result };
    });
  });
  const answered = () =>
    globes.flatMap(({ truth, result }) => (result.ok ? [{ truth, ...result.difference }] : []));

  test('are read, nineteen of twenty', () => {
    expect(answered().length).toBeGreaterThanOrEqual(0.95 * globes.length);
  });

  test('the same difference: mean error at most 0.20, nineteen of twenty within 0.60', () => {
    const misses = answered().map(({ truth, deltaE00 }) => Math.abs(deltaE00 - truth));
    expect(mean(misses)).toBeLessThanOrEqual(0.2);
    const sorted = [...misses].sort((p, q) => p - q);
    expect(sorted[Math.floor(0.95 * sorted.length)]).toBeLessThanOrEqual(0.6);
  });

  test('equal colours are read as 0.12 or less in the mean', () => {
    const equal = answered().filter(({ truth }) => truth < 1e-6);
    expect(equal.length).toBeGreaterThanOrEqual(10);
    expect(mean(equal.map(({ deltaE00 }) => deltaE00))).toBeLessThanOrEqual(0.12);
  });

  test('intervals hold the truth: of so few, three may miss', () => {
    const missed = answered().filter(
      ({ truth, interval95: [low, high] }) => truth < low - 1e-9 || truth > high + 1e-9,
    );
    expect(missed.length).toBeLessThanOrEqual(3);
  });
});

test.each([0.5, 1, 1.2])(
  'a dab whose edge fades over %s of its radius is never said to blend when it shows',
  (share) => {
    const glaze: Triple = [72, -3, -4];
    const dab: Triple = [67, -4, -8];
    const radius = 38;
    const things: Thing[] = [
      { lab: TILE_LAB, cover: polygon(turnedRectangle(TILE_AT, 130, 120)) },
      { lab: glaze, cover: disc(450, 280, 190) },
      { lab: dab, cover: disc(450, 280, radius, share * radius) },
    ];
    const result = read(
      nodeOpenCv(),
      shoot({ ...SIZE, things, noise: 1.5 }),
      {
        dab: { x: 450, y: 280, radius: 0.85 * radius },
        glaze: { x: 450, y: 380, radius: 14 },
        dabOn: 'piece',
      },
      DEFAULT_SETTINGS,
    );
    // Refused, or read as what it is, or said to be unsure.
    const truth = deltaE2000(glaze, dab);
    if (!result.ok) {
      expect(result.refused.length).toBeGreaterThan(0);
      return;
    }
    expect(result.difference.interval95[0]).toBeLessThanOrEqual(truth);
    expect(result.difference.interval95[1]).toBeGreaterThanOrEqual(truth);
    expect(result.verdict.acceptable).not.toBe('blends');
  },
);
