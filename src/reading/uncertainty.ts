/**
 * From a step in log light to a difference in CIELAB with its covariance (JCGM 100:2008, 5.1.2) and
 * the interval of ΔE₀₀ by propagation of distributions (JCGM 101:2008, clause 7). All inference runs
 * on the Lab vector: ΔE₀₀ cannot be negative and is biased upward near zero.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labFromXyzD65, xyzD65FromLab } from '../colour/cielab.ts';
import { linearRgb, labD65, type LabD65 } from '../colour/spaces.ts';
import { linearSrgbFromXyzD65, xyzD65FromLinearSrgb } from '../colour/srgb.ts';
import { relativeRgb, type LogTriple } from './log-window.ts';
import { profiledPigments } from './profile/pigments.ts';
import { labThroughProfile, type CameraProfile } from './profile/profile.ts';
import type { Difference, Matrix3, TileColour, UncertaintyShare } from './types.ts';

type Source = UncertaintyShare['source'];
type Vector3 = readonly [number, number, number];

/** The step as read, with what is known of its errors, all in log light relative to the tile. */
export interface LogDifference {
  readonly glaze: LogTriple;
  readonly step: LogTriple;
  /** Covariances of the step, by source. */
  readonly covariances: Partial<Record<Source, Matrix3>>;
  /** Standard uncertainty of the light on the piece relative to the tile, in ln. */
  readonly turn: number;
}

export interface LabDifference {
  readonly glazeLab: LabD65;
  readonly dabLab: LabD65;
  readonly lab: Vector3;
  readonly covariance: Matrix3;
  readonly parts: readonly { readonly source: Source; readonly covariance: Matrix3 }[];
}

/**
 * Standard uncertainty of the exponent that takes the camera's encoding to linear light when no
 * profile of its tone response exists: consumer cameras depart from sRGB by an S-curve.
 */
const TONE_EXPONENT = 0.05;
/** The same for the camera's boost of chroma, as a share. */
const CHROMA_BOOST = 0.06;
/**
 * An RGB camera is no observer. Of a difference made with the glaze's own pigments it misreads a share;
 * made with others it misreads even equal colours, in a direction nobody knows, and strong ones more.
 * Over 500 pairs of invented spectra, ten invented sensors and a dozen lamps the first came to 7 % of
 * the difference (root mean square), the second to 0.9 in a* and b* at a chroma under 7 and to 2 above
 * 25, and to less than half of that in L*. Which of the two a dab is no picture tells: what stands here
 * is what the two together need, a third of the dabs being of other pigments.
 */
const PIGMENT_SHARE = 0.07;
const PIGMENT_FLOOR = 0.2;
const PIGMENT_PER_CHROMA = 0.012;
const MOST_CHROMA = 40;
/** With a profile: what its tone response leaves open, as the exponent above and as a share. */
const PROFILED_TONE = 0.01;
const PROFILED_BOOST = 0.015;
const PROFILED_SHARE = 0.04;
/** What of it goes to L*. */
const PIGMENT_LIGHTNESS = 0.4;

/** Lab of light relative to the tile, given the tile's own linear sRGB. */
export function labOfRelative(log: LogTriple, tileLinear: Vector3): LabD65 {
  const [r, g, b] = relativeRgb(log);
  return labFromXyzD65(
    xyzD65FromLinearSrgb(linearRgb(r * tileLinear[0], g * tileLinear[1], b * tileLinear[2])),
  );
}

export function tileLinearSrgb(tileLab: LabD65): Vector3 {
  return linearSrgbFromXyzD65(xyzD65FromLab(tileLab));
}

/** The tile's linear light, mean of the channels, the perfect diffuser's being 1. */
export const tileWhiteness = (tileLab: LabD65): number =>
  tileLinearSrgb(tileLab).reduce((sum, v) => sum + v / 3, 0);

/**
 * The difference in Lab, with each source's covariance brought over by its Jacobian.
 * @param profile what is known of the camera; absent: sRGB is assumed
 */
export function labDifference(
  read: LogDifference,
  tile: TileColour,
  profile?: CameraProfile,
): LabDifference {
  const known = profile?.colour;
  const against = (tileLab: LabD65): ((log: LogTriple) => LabD65) => {
    if (known) return (log) => labThroughProfile(known, relativeRgb(log), tileLab);
    const tileLinear = tileLinearSrgb(tileLab);
    return (log) => labOfRelative(log, tileLinear);
  };
  const own = against(tile.lab);
  const pair = (glaze: LogTriple, step: LogTriple, labOf = own, exponent = 1) => {
    const shaped = (log: LogTriple) => log.map((v) => v * exponent) as unknown as LogTriple;
    const glazeLab = labOf(shaped(glaze));
    const dabLab = labOf(shaped(add(glaze, step)));
    return { glazeLab, dabLab, d: minus(dabLab, glazeLab) };
  };
  const { glazeLab, dabLab, d } = pair(read.glaze, read.step);
  const parts: { source: Source; covariance: Matrix3 }[] = [];
  // Step: Jacobian by central differences.
  const jacobian = [0, 1, 2].map((k) => {
    const h = 1e-4;
    const up = pair(read.glaze, bumped(read.step, k, h)).d;
    const down = pair(read.glaze, bumped(read.step, k, -h)).d;
    return [0, 1, 2].map((c) => (up[c]! - down[c]!) / (2 * h));
  });
  for (const [source, covariance] of Object.entries(read.covariances) as [Source, Matrix3][]) {
    parts.push({ source, covariance: sandwich(jacobian, covariance) });
  }
  // Scale of light on the piece, tone and chroma: each one standard deviation up, as a rank-one term.
  const turned = pair(bumped(read.glaze, 0, read.turn), read.step).d;
  parts.push({ source: 'turn', covariance: outer([minus(turned, d)]) });
  const exponent = profile ? PROFILED_TONE : TONE_EXPONENT;
  const boost = known ? PROFILED_BOOST : CHROMA_BOOST;
  const toned = pair(read.glaze, read.step, own, 1 + exponent).d;
  const boosted: Vector3 = [0, boost * d[1], boost * d[2]];
  parts.push({ source: 'tone', covariance: outer([minus(toned, d), boosted]) });
  const tiles = [0, 1, 2].map((k) => {
    const other = labD65(
      ...(tile.lab.map((v, i) => (i === k ? v + tile.standardUncertainty[k]! : v)) as unknown as [
        number,
        number,
        number,
      ]),
    );
    return minus(pair(read.glaze, read.step, against(other)).d, d);
  });
  parts.push({ source: 'tile', covariance: outer(tiles) });
  const [floorL, floorA, floorB] = known
    ? profiledPigments(glazeLab, known.leftOut.mean)
    : unknownPigments(glazeLab);
  const share = ((known ? PROFILED_SHARE : PIGMENT_SHARE) * Math.hypot(...d)) ** 2;
  parts.push({
    source: 'pigments',
    covariance: [
      [floorL ** 2 + share / 2, 0, 0],
      [0, floorA ** 2 + share, 0],
      [0, 0, floorB ** 2 + share],
    ],
  });
  return { glazeLab, dabLab, lab: d, covariance: sum(parts.map((p) => p.covariance)), parts };
}

/** ΔE₀₀ with its 95 % coverage interval, and what is known of it against a threshold. */
export interface KnownDeltaE00 extends Pick<Difference, 'deltaE00' | 'interval95'> {
  /** How probable it is to lie at or below the threshold, 0–1. */
  readonly atMost: (threshold: number) => number;
  /** Would what was read be so large once in twenty at most, if the truth were the threshold? */
  readonly exceeds: (threshold: number) => boolean;
}

/**
 * What a 95 % interval leaves out below and above: JCGM 101:2008, 5.3, leaves the split free. Colours that
 * a camera sees otherwise than an observer are read further apart than they are, seldom nearer.
 */
const BELOW = 0.01;
const ABOVE = 0.04;

export function deltaE00Interval(
  difference: Pick<LabDifference, 'glazeLab' | 'lab' | 'covariance'>,
): KnownDeltaE00 {
  const { glazeLab, lab, covariance } = difference;
  const root = choleskyRoot(covariance);
  const at = (d: Vector3) => deltaE00(glazeLab, movedBy(glazeLab, d));
  const errors = NORMAL_SAMPLES.map((z) => multiply(root, z));
  const read = at(lab);
  const posterior = errors.map((e) => at(addVector(lab, e))).sort((p, q) => p - q);
  const pick = (p: number) =>
    posterior[Math.min(posterior.length - 1, Math.floor(p * posterior.length))]!;
  // Lower end by inverting the test “the truth is s times what was read”: the largest s for which
  // what was read would be surprisingly large. Percentiles of the posterior alone would exclude zero.
  const scaled = (s: number): Vector3 => [s * lab[0], s * lab[1], s * lab[2]];
  const isSurprising = (s: number, share: number): boolean => {
    const truth = scaled(s);
    let larger = 0;
    for (const e of errors) if (at(addVector(truth, e)) >= read) larger++;
    return larger < share * errors.length;
  };
  const lower = isSurprising(0, BELOW) ? at(scaled(largest((s) => isSurprising(s, BELOW)))) : 0;
  return {
    deltaE00: read,
    interval95: [Math.min(lower, read), Math.max(read, pick(1 - ABOVE))],
    atMost: (threshold) => posterior.filter((v) => v <= threshold).length / posterior.length,
    exceeds: (threshold) =>
      read > threshold &&
      isSurprising(
        largest((s) => at(scaled(s)) <= threshold),
        0.05,
      ),
  };
}

/** The largest scale, 0–1, for which something holds that holds at 0 and not at 1. */
function largest(holds: (scale: number) => boolean): number {
  let low = 0;
  let high = 1;
  for (let i = 0; i < 14; i++) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/** Standard deviations in L*, a* and b* that other pigments may cause where no profile is. */
function unknownPigments([, a, b]: LabD65): Vector3 {
  const deviation = PIGMENT_FLOOR + PIGMENT_PER_CHROMA * Math.min(MOST_CHROMA, Math.hypot(a, b));
  return [PIGMENT_LIGHTNESS * deviation, deviation, deviation];
}

/** Share of each source in the variance along the difference read (or in all, when it is near 0). */
export function uncertaintyShares(difference: LabDifference): UncertaintyShare[] {
  const trace = (m: Matrix3) => m[0][0] + m[1][1] + m[2][2];
  const whole = difference.parts.reduce((s, p) => s + trace(p.covariance), 0);
  return difference.parts
    .map((p) => ({ source: p.source, share: trace(p.covariance) / whole }))
    .sort((p, q) => q.share - p.share);
}

const add = (p: LogTriple, q: LogTriple): LogTriple => [p[0] + q[0], p[1] + q[1], p[2] + q[2]];
const minus = (p: Vector3, q: Vector3): Vector3 => [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
const addVector = (p: Vector3, q: Vector3): Vector3 => [p[0] + q[0], p[1] + q[1], p[2] + q[2]];
/** A colour and a difference from it. */
export const movedBy = (p: LabD65, d: Vector3): LabD65 =>
  labD65(p[0] + d[0], p[1] + d[1], p[2] + d[2]);
const bumped = (p: LogTriple, k: number, by: number): LogTriple =>
  p.map((v, i) => (i === k ? v + by : v)) as unknown as LogTriple;

function outer(vectors: readonly Vector3[]): Matrix3 {
  return [0, 1, 2].map((p) =>
    [0, 1, 2].map((q) => vectors.reduce((s, v) => s + v[p]! * v[q]!, 0)),
  ) as unknown as Matrix3;
}

export function sum(matrices: readonly Matrix3[]): Matrix3 {
  return [0, 1, 2].map((p) =>
    [0, 1, 2].map((q) => matrices.reduce((s, m) => s + m[p]![q]!, 0)),
  ) as unknown as Matrix3;
}

/** J Σ Jᵀ with `jacobian[k][c]` = ∂lab_c/∂log_k. */
function sandwich(jacobian: readonly number[][], covariance: Matrix3): Matrix3 {
  return [0, 1, 2].map((p) =>
    [0, 1, 2].map((q) => {
      let value = 0;
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) {
          value += jacobian[i]![p]! * covariance[i]![j]! * jacobian[j]![q]!;
        }
      }
      return value;
    }),
  ) as unknown as Matrix3;
}

/** Lower triangular root of a covariance; a hair is added so that a flat one still has one. */
function choleskyRoot(m: Matrix3): number[][] {
  const root = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j <= i; j++) {
      let v = m[i]![j]! + (i === j ? 1e-10 : 0);
      for (let k = 0; k < j; k++) v -= root[i]![k]! * root[j]![k]!;
      root[i]![j] = i === j ? Math.sqrt(Math.max(1e-12, v)) : v / root[j]![j]!;
    }
  }
  return root;
}

const multiply = (root: number[][], z: Vector3): Vector3 => [
  root[0]![0]! * z[0],
  root[1]![0]! * z[0] + root[1]![1]! * z[1],
  root[2]![0]! * z[0] + root[2]![1]! * z[1] + root[2]![2]! * z[2],
];

/**
 * 600 points of the three-dimensional normal distribution, evenly spread: Halton's sequence (1960)
 * in the bases 2, 3, 5, 7 through Box and Muller's transform (1958). Fixed, so that the same picture
 * always gives the same interval.
 */
const NORMAL_SAMPLES: readonly Vector3[] = Array.from({ length: 600 }, (_, i) => {
  const radius1 = Math.sqrt(-2 * Math.log(halton(i + 1, 2)));
  const radius2 = Math.sqrt(-2 * Math.log(halton(i + 1, 5)));
  const angle1 = 2 * Math.PI * halton(i + 1, 3);
  const angle2 = 2 * Math.PI * halton(i + 1, 7);
  return [radius1 * Math.cos(angle1), radius1 * Math.sin(angle1), radius2 * Math.cos(angle2)];
});

function halton(index: number, base: number): number {
  let value = 0;
  let share = 1 / base;
  for (let i = index; i > 0; i = Math.floor(i / base)) {
    value += (i % base) * share;
    share /= base;
  }
  return value;
}
