/**
 * Shots that differ in exposure → the camera's tone response. Light per code goes with time × sensitivity /
 * f-number² (CIPA DC-008-2019, annex C; ISO 12232).
 *
 * Cameras name their exposures by rounded marks and keep to the powers of two behind them: 1/60 s lasts 1/64 s,
 * f/5.6 is f/5.66 (the same annex puts 1/60 at Tv 6 and 1/125 at Tv 7). A telephone's 1/60 s may be just
 * that. Taken the wrong way a curve errs by up to 5 % of range, so both are tried and the likelier one stands.
 */
import { toneFromShots, type ToneFitResult, type ToneShot } from './tone-profile.ts';

export interface ShotExposure {
  /** s, > 0. */
  readonly timeS: number;
  /** > 0; absent: the same in all shots. */
  readonly fNumber?: number;
  /** ISO speed, > 0; absent: the same in all shots. */
  readonly iso?: number;
}
export interface ExposedShot {
  readonly places: ToneShot['places'];
  readonly exposure: ShotExposure;
}

/** Marks that rise by equal parts of a stop; the first is what `2 ** firstStop` is called. Common practice. */
interface Marks {
  readonly names: readonly number[];
  readonly firstStop: number;
  readonly partsOfStop: number;
}
const over = (values: readonly number[]) => values.map((v) => 1 / v);
const TIMES_BY_THIRDS: Marks = {
  names: over([
    ...[8000, 6400, 5000, 4000, 3200, 2500, 2000, 1600, 1250, 1000, 800, 640, 500, 400, 320, 250],
    ...[200, 160, 125, 100, 80, 60, 50, 40, 30, 25, 20, 15, 13, 10, 8, 6, 5, 4],
  ]).concat([
    ...[0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.3, 1.6, 2, 2.5, 3.2, 4, 5, 6, 8, 10, 13, 15, 20, 25, 30],
  ]),
  firstStop: -13,
  partsOfStop: 3,
};
/** 1/20 s is another time here than by thirds: only where all times are of these, and one is of these alone. */
const TIMES_BY_HALVES: Marks = {
  names: over([
    ...[8000, 6000, 4000, 3000, 2000, 1500, 1000, 750, 500, 350, 250, 180, 125, 90, 60, 45, 30, 20],
    ...[15, 10, 8, 6, 4],
  ]).concat([0.3, 0.5, 0.7, 1, 1.5, 2, 3, 4, 6, 8, 10, 15, 20, 30]),
  firstStop: -13,
  partsOfStop: 2,
};
/** Of 1/N²: f/32 to f/1. */
const APERTURES: Marks = {
  names: [
    ...[32, 29, 25, 22, 20, 18, 16, 14, 13, 11, 10, 9, 8, 7.1, 6.3, 5.6, 5, 4.5, 4, 3.5, 3.2],
    ...[2.8, 2.5, 2.2, 2, 1.8, 1.6, 1.4, 1.2, 1.1, 1],
  ].map((n) => n ** -2),
  firstStop: -10,
  partsOfStop: 3,
};
/** Of ISO speed over 100. */
const SPEEDS: Marks = {
  names: [
    ...[50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000],
    ...[2500, 3200, 4000, 5000, 6400, 8000, 10000, 12800],
  ].map((iso) => iso / 100),
  firstStop: -1,
  partsOfStop: 3,
};
/** A mark written as a decimal is rounded a little once more. */
const NEAR = 0.006;
/** A camera that rounds rounds all its times. */
const MOSTLY = 0.8;
/** Ratios of light closer than this, ln, are one. */
const ALIKE = 0.005;
/** Below these odds, ln, either way may be right; said only where it changes light by more than a fiftieth. */
const OPEN = 1.5;
const MATTERS = 0.02;
const STILL_OPEN =
  'It stays open whether the camera’s times are exact or rounded, as 1/60 for 1/64 s: add shots a third of a stop apart.';

type Marked = 'thirds' | 'halves';
const TIMES: Readonly<Record<Marked, Marks>> = {
  thirds: TIMES_BY_THIRDS,
  halves: TIMES_BY_HALVES,
};
const timeOf = ({ timeS }: ShotExposure) => timeS;
const apertureOf = ({ fNumber = 1 }: ShotExposure) => fNumber ** -2;
const speedOf = ({ iso = 100 }: ShotExposure) => iso / 100;

/** Relative light per code, by the numbers as they stand. */
export const lightOfExposure = (exposure: ShotExposure): number =>
  timeOf(exposure) * apertureOf(exposure) * speedOf(exposure);

/** Relative light by what the marks stand for; what is no mark is taken as it stands. */
export const lightByMarks = (exposure: ShotExposure, by: Marked = 'thirds'): number =>
  meantBy(timeOf(exposure), TIMES[by]) *
  meantBy(apertureOf(exposure), APERTURES) *
  meantBy(speedOf(exposure), SPEEDS);

const isMark = (value: number, { names }: Marks): boolean =>
  names.some((name) => Math.abs(Math.log(value / name)) < NEAR);

/** What the times may be marks of; few others among them were typed. */
function waysOfMarks(times: readonly number[]): readonly Marked[] {
  const share = (by: Marked) => times.filter((t) => isMark(t, TIMES[by])).length / times.length;
  if (share('halves') === 1 && share('thirds') < 1) return ['thirds', 'halves'];
  return share('thirds') >= MOSTLY ? ['thirds'] : [];
}

function meantBy(value: number, { names, firstStop, partsOfStop }: Marks): number {
  const at = names.findIndex((name) => Math.abs(Math.log(value / name)) < NEAR);
  return at < 0 ? value : 2 ** (firstStop + at / partsOfStop);
}

export type ExposedFitResult = ToneFitResult & {
  /** The exposures were taken for marks, and it makes a difference. */
  readonly byMarks?: true;
};

/** @param known as for `toneFromShots` */
export function toneFromExposures(
  shots: readonly ExposedShot[],
  known?: readonly number[],
): ExposedFitResult {
  const lightsBy = (light: (exposure: ShotExposure) => number) =>
    shots.map(({ exposure }) => light(exposure));
  const fitted = (lights: readonly number[]) => ({
    lights,
    result: toneFromShots(
      shots.map(({ places }, i) => ({ places, light: lights[i]! })),
      known,
    ),
  });
  const asSaid = fitted(lightsBy(lightOfExposure));
  const ways = [asSaid];
  for (const by of waysOfMarks(lightsBy(timeOf))) {
    const lights = lightsBy((exposure) => lightByMarks(exposure, by));
    if (ways.every((way) => spread(way.lights, lights) > ALIKE)) ways.push(fitted(lights));
  }
  const evidence = ({ result }: (typeof ways)[number]) =>
    result.ok ? result.fit.evidence : -Infinity;
  // Where nothing can be told, the numbers as they stand say why.
  const best = ways.reduce((p, q) => (evidence(q) > evidence(p) ? q : p));
  if (!best.result.ok) return best.result;
  const isOpen = ways.some(
    (way) => evidence(way) > evidence(best) - OPEN && spread(way.lights, best.lights) > MATTERS,
  );
  const { fit } = best.result;
  return {
    ok: true,
    fit: isOpen ? { ...fit, warnings: [...fit.warnings, STILL_OPEN] } : fit,
    ...(best !== asSaid && { byMarks: true }),
  };
}

/** How far ratios of light of the one differ from the other's, ln. */
function spread(some: readonly number[], others: readonly number[]): number {
  const ln = some.map((light, i) => Math.log(light / others[i]!));
  return Math.max(...ln) - Math.min(...ln);
}
