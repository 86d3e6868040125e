import Color from 'colorjs.io';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import type { LogTriple } from '../../src/reading/log-window.ts';
import { DEFAULT_TILE } from '../../src/reading/settings.ts';
import type { Matrix3 } from '../../src/reading/types.ts';
import {
  deltaE00Interval,
  labDifference,
  labOfRelative,
  tileLinearSrgb,
  uncertaintyShares,
  type LogDifference,
} from '../../src/reading/uncertainty.ts';
import { deltaE2000, linearOf, normals, type Triple } from './reading-scene.ts';

type Root = readonly [Triple, Triple, Triple];
const timesTranspose = (root: Root): Matrix3 =>
  root.map((p) => root.map((q) => p[0] * q[0] + p[1] * q[1] + p[2] * q[2])) as unknown as Matrix3;
const applied = (root: Root, z: Triple) =>
  root.map((row) => row[0] * z[0] + row[1] * z[1] + row[2] * z[2]) as unknown as Triple;
const plus = (p: Triple, q: Triple): Triple => [p[0] + q[0], p[1] + q[1], p[2] + q[2]];
const lab = (p: Triple) => labD65(...p);

/** The step of ΔE₀₀ `size` along a direction, by bisection. */
function stepOfSize(from: Triple, direction: Triple, size: number): Triple {
  const at = (s: number): Triple => [s * direction[0], s * direction[1], s * direction[2]];
  let [low, high] = [0, 40];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (deltaE2000(from, plus(from, at(middle))) < size) low = middle;
    else high = middle;
  }
  return at(low);
}

describe('95 % interval', () => {
  const situations: readonly { glaze: Triple; root: Root }[] = [
    {
      glaze: [68, -6, 14],
      root: [
        [0.3, 0, 0],
        [0, 0.3, 0],
        [0, 0, 0.3],
      ],
    },
    {
      glaze: [40, 2, -30],
      root: [
        [0.4, 0, 0],
        [-0.15, 0.25, 0],
        [0.1, -0.2, 0.2],
      ],
    },
    {
      glaze: [85, 0, 0.3],
      root: [
        [1, 0, 0],
        [0.3, 0.8, 0],
        [-0.5, 0.2, 1.1],
      ],
    },
  ];

  // JCGM 101:2008, 3.12: the interval contains the value with the stated probability. 600 draws: the
  // standard deviation of the share is 0.9 %. Noise lengthens a difference near 0, which then is left out
  // below alone: once in a hundred.
  test.each([
    [0, 0.999],
    [0.5, 0.999],
    [1, 0.99],
    [3, 0.99],
    [8, 0.99],
  ])('covers a true ΔE₀₀ of %f in 0.93 to %f', (size, most) => {
    let [covered, draws] = [0, 0];
    for (const { glaze, root } of situations) {
      const normal = normals(size * 10 + 3);
      const covariance = timesTranspose(root);
      for (let i = 0; i < 200; i++) {
        const truth = stepOfSize(glaze, [normal(), normal(), normal()], size);
        const error = applied(root, [normal(), normal(), normal()]);
        const { interval95 } = deltaE00Interval({
          glazeLab: lab(glaze),
          lab: plus(truth, error),
          covariance,
        });
        const trueDifference = size === 0 ? 0 : deltaE2000(glaze, plus(glaze, truth));
        draws++;
        if (interval95[0] <= trueDifference && trueDifference <= interval95[1]) covered++;
      }
    }
    expect(covered / draws).toBeGreaterThanOrEqual(0.93);
    expect(covered / draws).toBeLessThanOrEqual(most);
  });

  test('begins at 0 for equal colours, holds what was read, and is in order', () => {
    fc.assert(
      fc.property(aRead, (read) => {
        const difference = labDifference(read, DEFAULT_TILE);
        const { deltaE00, interval95, atMost } = deltaE00Interval(difference);
        expect(interval95[0]).toBeGreaterThanOrEqual(0);
        expect(interval95[0]).toBeLessThanOrEqual(deltaE00);
        expect(interval95[1]).toBeGreaterThanOrEqual(deltaE00);
        const probabilities = [0, 0.5, 1, 2, 4, 8, 1000].map(atMost);
        expect(probabilities).toEqual([...probabilities].sort((p, q) => p - q));
        expect(probabilities.at(-1)).toBe(1);
        const equal = labDifference({ ...read, step: [0, 0, 0] }, DEFAULT_TILE);
        expect(deltaE00Interval(equal).interval95[0]).toBe(0);
      }),
      { numRuns: 60 },
    );
  });

  test('widens with the covariance, and the verdict’s probability falls towards one half', () => {
    let [before, probability] = [0, 1.01];
    for (const u of [0.15, 0.3, 0.6, 1.2]) {
      const { interval95, atMost } = deltaE00Interval({
        glazeLab: labD65(60, 5, 20),
        lab: [1.5, 0.5, -0.5],
        covariance: timesTranspose([
          [u, 0, 0],
          [0, u, 0],
          [0, 0, u],
        ]),
      });
      expect(interval95[1] - interval95[0]).toBeGreaterThan(before);
      expect(atMost(1.8)).toBeLessThan(probability);
      before = interval95[1] - interval95[0];
      probability = atMost(1.8);
    }
  });
});

const small = (limit: number) => fc.double({ min: -limit, max: limit, noNaN: true });
const covarianceOf = (limit: number) =>
  fc
    .tuple(small(limit), small(limit), small(limit), small(limit), small(limit), small(limit))
    .map(([a, b, c, d, e, f]) =>
      timesTranspose([
        [a, 0, 0],
        [b, c, 0],
        [d, e, f],
      ]),
    );
/** Any reading of a plausible glaze and dab with plausible errors. */
const aRead: fc.Arbitrary<LogDifference> = fc.record({
  glaze: fc.tuple(fc.double({ min: -3, max: 0, noNaN: true }), small(0.5), small(0.5)),
  step: fc.tuple(small(0.4), small(0.1), small(0.1)),
  covariances: fc.record({
    noise: covarianceOf(0.02),
    shading: covarianceOf(0.02),
    texture: covarianceOf(0.02),
  }),
  turn: fc.double({ min: 0, max: 0.3, noNaN: true }),
});

describe('covariance of the difference', () => {
  test('is symmetric and positive definite', () => {
    fc.assert(
      fc.property(aRead, (read) => {
        const { covariance: m } = labDifference(read, DEFAULT_TILE);
        for (const i of [0, 1, 2] as const) {
          for (const j of [0, 1, 2] as const) expect(m[i][j]).toBeCloseTo(m[j][i], 10);
        }
        // Sylvester's criterion: every leading minor above zero.
        const minor2 = m[0][0] * m[1][1] - m[0][1] * m[1][0];
        const minor3 =
          m[2][2] * minor2 -
          m[1][2] * (m[0][0] * m[2][1] - m[0][1] * m[2][0]) +
          m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
        expect(m[0][0]).toBeGreaterThan(0);
        expect(minor2).toBeGreaterThan(0);
        expect(minor3).toBeGreaterThan(0);
      }),
    );
  });

  test('shares of its sources are shares, largest first', () => {
    fc.assert(
      fc.property(aRead, (read) => {
        const shares = uncertaintyShares(labDifference(read, DEFAULT_TILE));
        const values = shares.map((s) => s.share);
        expect(values.reduce((sum, v) => sum + v, 0)).toBeCloseTo(1, 10);
        expect(values).toEqual([...values].sort((p, q) => q - p));
        expect(Math.min(...values)).toBeGreaterThanOrEqual(0);
        expect(new Set(shares.map((s) => s.source)).size).toBe(shares.length);
      }),
    );
  });

  test('grows with every source, never shrinks', () => {
    const trace = (read: LogDifference) => {
      const { covariance: m } = labDifference(read, DEFAULT_TILE);
      return m[0][0] + m[1][1] + m[2][2];
    };
    const doubled = (m: Matrix3) => m.map((row) => row.map((v) => 2 * v)) as unknown as Matrix3;
    fc.assert(
      fc.property(aRead, (read) => {
        const base = trace(read);
        for (const source of ['noise', 'shading', 'texture'] as const) {
          const more = { ...read.covariances, [source]: doubled(read.covariances[source]!) };
          expect(trace({ ...read, covariances: more })).toBeGreaterThanOrEqual(base);
        }
        expect(trace({ ...read, turn: read.turn + 0.1 })).toBeGreaterThanOrEqual(base - 1e-9);
        const loose = { lab: DEFAULT_TILE.lab, standardUncertainty: [4, 4, 4] as const };
        const { covariance: m } = labDifference(read, loose);
        expect(m[0][0] + m[1][1] + m[2][2]).toBeGreaterThanOrEqual(base);
      }),
    );
  });

  test('noise in log light comes out in Lab as when it is drawn and converted (JCGM 101)', () => {
    const tile: Triple = [93, -0.6, 1.5];
    const tileLinear = linearOf(tile);
    // The reader's log coordinates, from their definition: mean of ln R, G, B; ln R/G; ln B/G, each
    // channel with a toe of 0.004 of the tile's light added, and the tile itself at 0.
    const toLab = ([mean, rg, bg]: Triple) => {
      const g = mean - (rg + bg) / 3;
      const linear = [g + rg, g, g + bg].map(
        (v, k) => (1.004 * Math.exp(v) - 0.004) * tileLinear[k]!,
      );
      return new Color('srgb-linear', linear as [number, number, number]).to('lab-d65')
        .coords as unknown as Triple;
    };
    const glaze: LogTriple = [-0.6, 0.12, -0.3];
    const step: LogTriple = [-0.05, 0.02, 0.03];
    const root: Root = [
      [0.01, 0, 0],
      [0.002, 0.004, 0],
      [-0.003, 0.001, 0.005],
    ];
    const read = labDifference(
      { glaze, step, covariances: { noise: timesTranspose(root) }, turn: 0 },
      DEFAULT_TILE,
    );
    expect(deltaE2000(read.glazeLab, toLab(glaze))).toBeLessThan(0.005);
    expect(deltaE2000(read.dabLab, toLab(plus(glaze, step)))).toBeLessThan(0.005);

    const normal = normals(11);
    const drawn = Array.from({ length: 4000 }, () =>
      toLab(plus(glaze, plus(step, applied(root, [normal(), normal(), normal()])))),
    );
    const mean = [0, 1, 2].map((k) => drawn.reduce((s, v) => s + v[k]!, 0) / drawn.length);
    const part = read.parts.find((p) => p.source === 'noise')!.covariance;
    for (const i of [0, 1, 2] as const) {
      for (const j of [0, 1, 2] as const) {
        const sample =
          drawn.reduce((s, v) => s + (v[i] - mean[i]!) * (v[j] - mean[j]!), 0) / drawn.length;
        const scale = Math.sqrt(part[i][i] * part[j][j]);
        expect(Math.abs(sample - part[i][j]) / scale).toBeLessThan(0.07);
      }
    }
  });
});

test('light as bright as the tile has the tile’s colour', () => {
  const seen = labOfRelative([0, 0, 0], tileLinearSrgb(DEFAULT_TILE.lab));
  seen.forEach((v, k) => {
    expect(v).toBeCloseTo(DEFAULT_TILE.lab[k]!, 6);
  });
});
