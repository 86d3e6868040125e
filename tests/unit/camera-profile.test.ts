import fc from 'fast-check';
import { beforeAll, describe, expect, it, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { readBlendMap, type BlendMap } from '../../src/reading/blend-map.ts';
import { deltaE00ThroughProfile } from '../../src/reading/blend-through-profile.ts';
import { parseCgats, type ReferencePatch } from '../../src/reading/profile/cgats.ts';
import { sampleChart } from '../../src/reading/profile/chart-sampling.ts';
import { fitChart } from '../../src/reading/profile/fit-chart.ts';
import {
  colourTerms,
  labThroughProfile,
  lightOfEncoded,
  type CameraProfile,
} from '../../src/reading/profile/profile.ts';
import { toneFromSteps } from '../../src/reading/profile/tone-response.ts';
import { read } from '../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import type { EncodedPicture, PixelPoint } from '../../src/reading/types.ts';
import { deltaE2000, linearOf, type Triple } from './reading-scene.ts';

/**
 * CIELAB D50/2° of the 24-patch colour-rendition chart (McCamy, Marcus, Davidson 1976), as carried by
 * Debian's argyll-ref, ref/ColorChecker.cie; row by row.
 */
const CHART_D50: readonly Triple[] = [
  [37.99, 13.56, 14.06],
  [65.71, 18.13, 17.81],
  [49.93, -4.88, -21.93],
  [43.14, -13.1, 21.91],
  [55.11, 8.84, -25.4],
  [70.72, -33.4, -0.2],
  [62.66, 36.07, 57.1],
  [40.02, 10.41, -45.96],
  [51.12, 48.24, 16.25],
  [30.33, 22.98, -21.59],
  [72.53, -23.71, 57.26],
  [71.94, 19.36, 67.86],
  [28.78, 14.18, -50.3],
  [55.26, -38.34, 31.37],
  [42.1, 53.38, 28.19],
  [81.73, 4.04, 79.82],
  [51.94, 49.99, -14.57],
  [51.04, -28.63, -28.64],
  [96.54, -0.43, 1.19],
  [81.26, -0.64, -0.34],
  [66.77, -0.73, -0.5],
  [50.87, -0.15, -0.27],
  [35.66, -0.42, -1.23],
  [20.46, -0.08, -0.97],
];

const cgats = (fields = 'SAMPLE_ID LAB_L LAB_A LAB_B', rows = CHART_D50) =>
  `CGATS.17\n\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\n\nNUMBER_OF_SETS ${String(rows.length)}\nBEGIN_DATA\n${rows.map((lab, i) => `P${String(i + 1)} ${lab.join('\t')}`).join('\n')}\nEND_DATA\n`;

function referenceOf(text: string): readonly ReferencePatch[] {
  const parsed = parseCgats(text);
  if (!parsed.ok) throw new Error(parsed.message);
  return parsed.patches;
}
const REFERENCE = referenceOf(cgats());

describe('reference values as CGATS text', () => {
  test('the white of D50 is the white of D65', () => {
    const [white] = referenceOf(cgats(undefined, [[100, 0, 0]]));
    white!.lab.forEach((v, i) => expect(v).toBeCloseTo([100, 0, 0][i]!, 1));
  });
  test('XYZ says the same as Lab', () => {
    // ISO/CIE 11664-4 by hand for L* = 50 of a grey: Y = ((50 + 16) / 116)³ = 0.18419.
    const xyz = cgats('SAMPLE_NAME XYZ_X XYZ_Y XYZ_Z', [[17.759, 18.419, 15.194]]);
    const [grey] = referenceOf(xyz);
    grey!.lab.forEach((v, i) => expect(v).toBeCloseTo([50, 0, 0][i]!, 1));
  });
  test.each([
    ['', /no CGATS file/],
    [cgats().replace('END_DATA\n', ''), /cut short/],
    [cgats('SAMPLE_ID LAB_L LAB_A'), /LAB_B is missing/],
    [cgats('LAB_L LAB_A LAB_B D'), /SAMPLE_ID/],
    [cgats().replace('62.66', 'n/a'), /Patch P7 has no complete colour/],
    [cgats().replace('SETS 24', 'SETS 30'), /says 30 patches and holds 24/],
  ])('a faulty file is named: %#', (text, message) => {
    const parsed = parseCgats(text);
    expect(parsed.ok ? 'taken' : parsed.message).toMatch(message);
  });
});

/** A camera's S-curve, as a function of linear light; own formula, unknown to the fit. */
const sCurve = (light: number): number => {
  const encoded = light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
  return encoded + 0.06 * Math.sin(2 * Math.PI * (encoded - 0.5));
};

describe('tone response', () => {
  test.each([7, 9, 12])(
    'a known curve from %i exposures comes back within one hundredth of range',
    (count) => {
      const steps = Array.from({ length: count }, (_, i) => {
        const light = 0.9 * 2 ** ((-5.5 * i) / (count - 1));
        return { encoded: sCurve(light), light: 30 * light };
      });
      const result = toneFromSteps(steps);
      if (!result.ok) throw new Error(result.message);
      const scale = 0.9 / lightOfEncoded(result.curve, sCurve(0.9));
      for (let light = 0.02; light <= 0.9; light += 0.02) {
        const back = scale * lightOfEncoded(result.curve, sCurve(light));
        expect(Math.abs(back - light)).toBeLessThan(0.01);
      }
    },
  );
  const good = [0.05, 0.1, 0.2, 0.4, 0.8].map((light) => ({ encoded: sCurve(light), light }));
  test.each([
    [good.slice(1), 'few'],
    [[...good, { encoded: 1, light: 1.5 }], 'clipped'],
    [[...good, { encoded: 0.01, light: 0.001 }], 'dark'],
    [good.map((s, i) => ({ ...s, light: good[4 - i]!.light })), 'order'],
    [good.map((s, i) => ({ encoded: 0.5 + 0.01 * i, light: s.light })), 'narrow'],
  ] as const)('steps that cannot serve are refused: %#', (steps, fault) => {
    expect(toneFromSteps(steps)).toMatchObject({ ok: false, fault });
  });
});

test('root-polynomial terms scale with exposure (Finlayson, Mackiewicz, Hurlbert 2015, eq. 5)', () => {
  const channel = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(
      fc.tuple(channel, channel, channel),
      fc.double({ min: 0.01, max: 4, noNaN: true }),
      ([r, g, b], k) => {
        const once = colourTerms('root-polynomial', [r, g, b]);
        const scaled = colourTerms('root-polynomial', [k * r, k * g, k * b]);
        scaled.forEach((v, i) => expect(v).toBeCloseTo(k * once[i]!, 9));
      },
    ),
  );
});

const CORNERS: readonly PixelPoint[] = [
  { x: 60, y: 50 },
  { x: 540, y: 80 },
  { x: 520, y: 390 },
  { x: 80, y: 370 },
];

/** The chart drawn between its corners; light falls by a fifth from left to right. */
function chartPicture(
  corners: readonly PixelPoint[],
  encode: (light: number) => number,
  spoil?: (u: number, v: number) => number | undefined,
): EncodedPicture {
  const [width, height] = [600, 450];
  const rgba = new Uint8ClampedArray(width * height * 4).fill(90);
  const [p, q, r, s] = corners as [PixelPoint, PixelPoint, PixelPoint, PixelPoint];
  const place = (u: number, v: number, k: 'x' | 'y') =>
    (1 - v) * ((1 - u) * p[k] + u * q[k]) + v * ((1 - u) * s[k] + u * r[k]);
  const colours = REFERENCE.map(({ lab }) => linearOf([...lab] as unknown as Triple));
  const steps = 1000;
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps; j++) {
      const [u, v] = [(i + 0.5) / steps, (j + 0.5) / steps];
      const patch = Math.floor(v * 4) * 6 + Math.floor(u * 6);
      const light = 0.8 * (1 - 0.2 * u);
      const at = (Math.floor(place(u, v, 'y')) * width + Math.floor(place(u, v, 'x'))) * 4;
      const spoiled = spoil?.(u, v);
      colours[patch]!.forEach((c, k) => {
        rgba[at + k] = spoiled ?? Math.round(255 * Math.min(1, encode(Math.max(0, c * light))));
      });
    }
  }
  return { width, height, rgba, maxCode: 255, frames: 1 };
}

describe('a chart in shot', () => {
  const picture = chartPicture(CORNERS, sCurve);
  test.each([0, 1, 2, 3])('is read whichever corner comes first: %i', (turn) => {
    const corners = CORNERS.map((_, i) => CORNERS[(i + turn) % 4]!);
    expect(sampleChart(picture, corners, REFERENCE)).toMatchObject({ ok: true, warnings: [] });
  });
  test('is read with the corners named the other way round', () => {
    expect(sampleChart(picture, [...CORNERS].reverse(), REFERENCE).ok).toBe(true);
  });
  test('gives a profile that holds for patches it has not seen', () => {
    const samples = sampleChart(picture, CORNERS, REFERENCE);
    const fitted = fitChart(samples.ok ? samples.patches : []);
    if (!fitted.ok) throw new Error(fitted.message);
    // The drawn camera sees as the observer does; cyan alone lies outside sRGB and is cut.
    expect(fitted.fit.colour.leftOut.mean).toBeLessThan(1);
    expect(fitted.fit.warnings).toEqual([]);
  });
  test('a mirrored one is refused', () => {
    const [a, b, c, d] = CORNERS as [PixelPoint, PixelPoint, PixelPoint, PixelPoint];
    const mirrored = chartPicture([b, a, d, c], sCurve);
    const result = sampleChart(mirrored, CORNERS, REFERENCE);
    expect(result.ok ? 'taken' : result.message).toMatch(/mirrored/);
  });
  test('a half hidden one is refused', () => {
    const hidden = chartPicture(CORNERS, sCurve, (u) => (u > 0.5 ? 0 : undefined));
    expect(sampleChart(hidden, CORNERS, REFERENCE).ok).toBe(false);
  });
  test('a patch under a highlight is left out, and named', () => {
    const lit = chartPicture(CORNERS, sCurve, (u, v) =>
      Math.hypot(u - 1.5 / 6, v - 0.5 / 4) < 0.06 ? 255 : undefined,
    );
    const result = sampleChart(lit, CORNERS, REFERENCE);
    expect(result).toMatchObject({
      ok: true,
      warnings: ['Patch P2 is left out: it is too bright.'],
    });
  });
  test('something else is refused', () => {
    const plain: EncodedPicture = {
      ...picture,
      rgba: new Uint8ClampedArray(600 * 450 * 4).fill(120),
    };
    const result = sampleChart(plain, CORNERS, REFERENCE);
    expect(result.ok ? 'taken' : result.message).toMatch(/not the chart/);
  });
  test('greys brightened by themselves are noticed', () => {
    const samples = sampleChart(picture, CORNERS, REFERENCE);
    if (!samples.ok) throw new Error(samples.message);
    const local = samples.patches.map((p) =>
      p.name === 'P22'
        ? { ...p, encoded: p.encoded.map((v, k) => v * [1.12, 1, 0.9][k]!) as unknown as Triple }
        : p,
    );
    const fitted = fitChart(local);
    expect(fitted.ok ? fitted.fit.warnings.length : fitted.message).not.toBe(0);
  });
});

describe('a reading through a profile', () => {
  const [glaze, dab]: readonly [Triple, Triple] = [
    [70, -6, 12],
    [66, -2, 18],
  ];
  let profile: CameraProfile;
  beforeAll(() => {
    const samples = sampleChart(chartPicture(CORNERS, sCurve), CORNERS, REFERENCE);
    const fitted = fitChart(samples.ok ? samples.patches : []);
    if (!fitted.ok) throw new Error(fitted.message);
    const { tone, whiteLogRatios, colour } = fitted.fit;
    profile = {
      name: 'bench',
      camera: 'drawn',
      madeOn: '2026-11-25',
      tone,
      whiteLogRatios,
      colour,
    };
  });
  const bench = (red = 1): EncodedPicture => {
    const [width, height] = [640, 480];
    const rgba = new Uint8ClampedArray(width * height * 4).fill(255);
    const tile = linearOf([...DEFAULT_SETTINGS.tileColour.lab] as unknown as Triple);
    const [g, d, bed] = [glaze, dab, [35, 0, 0] as const].map((lab) => linearOf(lab));
    let seed = 9;
    const noise = () => ((seed = (seed * 16807) % 2147483647) / 2147483647 - 0.5) * 0.004;
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const onTile = x > 40 && x < 190 && y > 60 && y < 210;
        const onPiece = Math.hypot(x - 420, y - 240) < 190;
        const onDab = Math.hypot(x - 420, y - 240) < 36;
        const c = onTile ? tile : onDab ? d! : onPiece ? g! : bed!;
        c.forEach((v, k) => {
          const light = Math.max(0, 0.8 * v * (k === 0 ? red : 1));
          rgba[(y * width + x) * 4 + k] = Math.round(255 * Math.min(1, sCurve(light) + noise()));
        });
      }
    }
    return { width, height, rgba, maxCode: 255, frames: 1 };
  };
  const regions = {
    tile: [
      { x: 48, y: 68 },
      { x: 182, y: 68 },
      { x: 182, y: 202 },
      { x: 48, y: 202 },
    ],
    glaze: { x: 520, y: 240, radius: 20 },
    dab: { x: 420, y: 240, radius: 30 },
    dabOn: 'piece' as const,
  };
  it('is nearer the truth, and surer', () => {
    const reading = (settings = {}) => {
      const result = read(nodeOpenCv(), bench(), regions, { ...DEFAULT_SETTINGS, ...settings });
      if (!result.ok) throw new Error(result.refused[0]!.message);
      return result;
    };
    const [without, through] = [reading(), reading({ profile })];
    const truth = deltaE2000(glaze, dab);
    const [wide, narrow] = [without, through].map(
      ({
        difference: {
          interval95: [low, high],
        },
      }) => high - low,
    );
    expect(Math.abs(without.difference.deltaE00 - truth)).toBeGreaterThan(0.5);
    expect(Math.abs(through.difference.deltaE00 - truth)).toBeLessThan(0.25);
    expect(deltaE2000(through.glazeLab as unknown as Triple, glaze)).toBeLessThan(1);
    expect(narrow!).toBeLessThan(wide!);
    expect(through.difference.interval95[0]).toBeLessThanOrEqual(truth);
    expect(through.difference.interval95[1]).toBeGreaterThanOrEqual(truth);
    expect(through.warnings).toEqual([]);
  });
  it('makes the blend map nearer the truth too', () => {
    const mapOf = (settings = {}) => {
      const area = { x: 420, y: 240, radius: 34 };
      const request = { area, tile: regions.tile };
      const map = readBlendMap(nodeOpenCv(), bench(), request, {
        ...DEFAULT_SETTINGS,
        ...settings,
      });
      if (!map.ok) throw new Error(map.refused[0]!.message);
      return map;
    };
    const [without, through] = [mapOf(), mapOf({ profile })];
    const truth = deltaE2000(glaze, dab);
    expect(Math.abs(without.median - truth)).toBeGreaterThan(0.5);
    expect(Math.abs(through.median - truth)).toBeLessThan(0.25);
    expect(Math.abs(through.whole.deltaE00 - truth)).toBeLessThan(0.25);
    expect(deltaE2000(through.glazeLab as unknown as Triple, glaze)).toBeLessThan(1);
    const width = (map: BlendMap) => map.whole.interval95[1] - map.whole.interval95[0];
    expect(width(through)).toBeLessThan(width(without));
  });
  it('says so when the picture comes from another camera than the profile', () => {
    const settings = { ...DEFAULT_SETTINGS, profile, camera: 'another' };
    const result = read(nodeOpenCv(), bench(), regions, settings);
    expect(result.ok ? result.warnings.join() : result.refused[0]!.message).toBe(
      'The profile “bench” was made for drawn, and this picture comes from another: use the profile of this camera, or none.',
    );
  });
  it('warns when the tile looks otherwise than it did', () => {
    const result = read(nodeOpenCv(), bench(0.6), regions, { ...DEFAULT_SETTINGS, profile });
    expect(result.ok ? result.warnings.join() : result.refused[0]!.message).toMatch(/Make it anew/);
  });
});

test('pixels of a map through a profile differ as the scalar formulas say, also outside sRGB', () => {
  const colour = {
    method: 'root-polynomial',
    rows: [
      [0.5, 0.3, 0.1, 0.2, -0.05, -0.05],
      [0.1, 0.9, -0.1, 0.1, 0.05, -0.05],
      [0, -0.1, 1.2, 0.05, -0.1, -0.05],
    ],
  } as const;
  const tileLinearRgb = [0.7, 0.8, 0.6] as const;
  const tileLab = DEFAULT_SETTINGS.tileColour.lab;
  const lights = [
    [0.3, 0.31, 0.29],
    [0.5, 0.02, 0.01],
    [0.02, 0.5, 0.45],
    [0.9, 0.95, 0.7],
  ] as const;
  const plane = (k: 0 | 1 | 2) => Float32Array.from(lights, (light) => light[k]);
  const pixels = {
    ...{ x0: 0, y0: 0, cols: lights.length, rows: 1, step: 1 },
    ...{ r: plane(0), g: plane(1), b: plane(2), clipped: new Uint8Array(lights.length) },
  };
  const shading = Float32Array.of(1, 0.9, 1.1, 1.2);
  const glazeLab = labD65(60, 5, 10);
  const seen = { colour, tileLinearRgb, tileLab };
  const differences = deltaE00ThroughProfile(pixels, seen, shading, glazeLab);
  lights.forEach((light, i) => {
    const relative = light.map((v, k) => v / tileLinearRgb[k]! / shading[i]!);
    const lab = labThroughProfile(colour, relative as [number, number, number], tileLab);
    const wanted = deltaE2000(lab, glazeLab);
    // Codes of eight bits.
    expect(Math.abs(differences[i]! - wanted)).toBeLessThan(0.3);
  });
});
