/**
 * Glare that passes for a dab, and noise that passes for glare: rendered benches on which the one was read
 * (8.8 where the colours lie 1.1 apart) and the other refused.
 */
import { expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { gleamOnGlaze } from '../../src/reading/gleam.ts';
import { logTriple } from '../../src/reading/log-window.ts';
import { read } from '../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import { sheenMissing } from '../../src/reading/sheen.ts';
import { runScene } from '../evaluate/one-scene.ts';
import {
  benchThings,
  DAB_CIRCLE,
  polygon,
  REGIONS,
  shoot,
  turnedRectangle,
} from './reading-scene.ts';

test.each([
  ['a tube mirrored along the dab, clipped in its middle', 194, 'tune'],
  ['the sheen of a satin dab beside the lamp’s image', 369, 'tune'],
  ['the half of a dab that a tube makes shine', 313, 'tune'],
  ['the lamp’s streak that a dab of the glaze’s own colour interrupts', 193, 'judge'],
] as const)('%s is refused', async (_, seed, part) => {
  const { kind, refused } = (await runScene(seed, part)).outcome;
  expect(kind).toBe('highlight');
  expect(refused).toContain('dab-highlight');
});

test('a strong yellow in a noisy picture is no glare, for its noise goes both ways', async () => {
  const { kind, answer, true: truth } = (await runScene(68, 'tune')).outcome;
  expect(kind).toBe('ordinary');
  expect(answer!.interval95[0]).toBeLessThan(truth.deltaE00);
  expect(answer!.interval95[1]).toBeGreaterThan(truth.deltaE00);
});

/** A glaze in light and mirrored light that both vary, as Shafer 1985 has it: C = m·body + g·lamp. */
const BODY = [0.5, 0.42, 0.3] as const;
const inLight = (m: number, g: number) =>
  logTriple(m * BODY[0] + g, m * BODY[1] + g, m * BODY[2] + g);
const ring = (light: (at: number) => readonly [m: number, g: number]) =>
  Array.from({ length: 60 }, (_, i) => {
    const log = inLight(...light(i / 59));
    return { log, light: log[0], weight: 1 };
  });

test('shading moves no ratio: nothing is taken for mirrored', () => {
  const glaze = inLight(1, 0);
  expect(
    gleamOnGlaze(
      glaze,
      ring((at) => [0.6 + 0.5 * at, 0]),
    ).logLight,
  ).toBe(0);
});

test.each([0.02, 0.06, 0.15])(
  '%f of the lamp mirrored at the dab, none beyond: it is told',
  (g) => {
    const glaze = inLight(1, g);
    const { logLight, along } = gleamOnGlaze(
      glaze,
      ring((at) => [1, g * at]),
    );
    const mirrored = glaze[0] - inLight(1, 0)[0];
    expect(logLight).toBeGreaterThan(0.8 * mirrored);
    expect(logLight).toBeLessThan(1.2 * mirrored);
    // Towards the lamp's own colour, which relative to the tile is 0.
    expect(Math.sign(along[1])).toBe(-Math.sign(glaze[1]));
    expect(Math.sign(along[2])).toBe(-Math.sign(glaze[2]));
  },
);

/** Glaze from the dab outwards, 2 to 12 of its radii away. */
const outwards = (light: (at: number) => readonly [m: number, g: number]) =>
  ring(light).map((block, i) => ({ ...block, away: 2 + i / 6 }));

test('a sheen that ends further off, and a dab that differs by just that: it may lack most of it', () => {
  const glaze = inLight(1, 0.15);
  const bare = inLight(1, 0);
  const step = [bare[0] - glaze[0], bare[1] - glaze[1], bare[2] - glaze[2]] as const;
  const far = outwards((at) => [1, 0.15 * (1 - at)]);
  expect(1.96 * sheenMissing({ glaze, step }, far).logLight).toBeGreaterThan(0.75 * -step[0]);
  // One that looks like the glaze round it may lack some, but hardly all.
  const alike = 1.96 * sheenMissing({ glaze, step: [0, 0, 0] }, far).logLight;
  expect(alike).toBeGreaterThan(0);
  expect(alike).toBeLessThan(0.8 * -step[0]);
});

test('a dab darker and stronger where the glaze is only shaded further off lacks no sheen', () => {
  const glaze = inLight(1, 0);
  const far = outwards((at) => [1 - 0.5 * at, 0]);
  expect(sheenMissing({ glaze, step: [-0.2, 0.05, -0.1] }, far).logLight).toBe(0);
});

/** A broad gleam to the left of the dab, mirrored by the glaze and, so far as it shines, by the dab. */
function readUnderGleam(dabShines: number) {
  const picture = shoot({
    things: benchThings({}),
    glare: (x, y) => {
      const off = Math.hypot(x - (DAB_CIRCLE.x - 40), y - DAB_CIRCLE.y);
      const onDab = Math.hypot(x - DAB_CIRCLE.x, y - DAB_CIRCLE.y) < DAB_CIRCLE.radius;
      return (onDab ? dabShines : 1) * 0.035 * Math.exp(-0.5 * (off / 60) ** 2);
    },
  });
  const result = read(nodeOpenCv(), picture, REGIONS, DEFAULT_SETTINGS);
  if (!result.ok) throw new Error(result.refused.map(({ reason }) => reason).join());
  return result;
}

test('a matt dab of the glaze’s own colour in a gleam: the interval holds 0, and why is said', () => {
  const { difference, uncertainty, verdict } = readUnderGleam(0);
  expect(difference.interval95[0]).toBe(0);
  expect(verdict.acceptable).toBe('unsure');
  expect(uncertainty.shares[0]!.source).toBe('highlight');
  expect(uncertainty.sentence).toMatch(/turn the piece/);
});

test('where dab and glaze shine alike, what is read is near 0', () => {
  expect(readUnderGleam(1).difference.deltaE00).toBeLessThan(0.3);
});

/** A small matt dab of the glaze's own colour in the middle of a sheen as wide as the piece. */
const SMALL_DAB = { ...DAB_CIRCLE, radius: 9 };
const offMiddle = (x: number, y: number) => Math.hypot(x - SMALL_DAB.x, y - SMALL_DAB.y);
const hump = (x: number, y: number) => Math.exp(-0.5 * (offMiddle(x, y) / 60) ** 2);
const readSmall = (shot: Omit<Parameters<typeof shoot>[0], 'things'>, light?: typeof hump) =>
  read(
    nodeOpenCv(),
    shoot({
      things: benchThings({ dabRadius: SMALL_DAB.radius, ...(light ? { light } : {}) }),
      ...shot,
    }),
    { ...REGIONS, dab: SMALL_DAB },
    DEFAULT_SETTINGS,
  );

test.each([0.1, 0.2, 0.3])(
  '%f of the lamp mirrored by the glaze and not by a small dab: what the glaze further off shows refuses it',
  (amount) => {
    const result = readSmall({
      glare: (x, y) => (offMiddle(x, y) < SMALL_DAB.radius ? 0 : amount * hump(x, y)),
    });
    expect(result.ok ? result.difference : result.refused[0]!.reason).toBe('dab-highlight');
  },
);

test('a hump of light of the same width moves no ratio, and the dab is read', () => {
  const result = readSmall({}, (x, y) => 0.6 + 0.5 * hump(x, y));
  if (!result.ok) throw new Error(result.refused[0]!.reason);
  expect(result.difference.deltaE00).toBeLessThan(0.3);
  expect(result.difference.interval95[1]).toBeLessThan(2);
});

test('a paler band beside the dab ends in an edge, and is not taken for a sheen', () => {
  const things = benchThings({ dabRadius: SMALL_DAB.radius, dabLab: [66, -6, 14] });
  const band = {
    lab: [84, -4, 8] as const,
    cover: polygon(turnedRectangle({ x: 150, y: 110 }, 260, 50)),
  };
  const result = read(
    nodeOpenCv(),
    shoot({ things: [things[0]!, band, ...things.slice(1)] }),
    { ...REGIONS, dab: SMALL_DAB },
    DEFAULT_SETTINGS,
  );
  if (!result.ok) throw new Error(result.refused[0]!.reason);
  expect(
    result.uncertainty.shares.find(({ source }) => source === 'highlight')!.share,
  ).toBeLessThan(0.1);
});
