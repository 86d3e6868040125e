/**
 * A full profile from a chart of coloured patches: tone response from its greys, then a colour transform,
 * linear or root-polynomial, held more or less to what cameras do: whichever way predicts patches it has
 * not seen best.
 */
import { Matrix, solve } from 'ml-matrix';
import { deltaE00 } from '../../colour/ciede2000.ts';
import { xyzD65FromLab } from '../../colour/cielab.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import { fitTransforms, type FitWay } from './fit-transform.ts';
import {
  COLOUR_METHODS,
  labThroughProfile,
  lightOfEncoded,
  relativeXyz,
  type ColourMethod,
  type ColourTransform,
  type LeftOutError,
  type StatedFor,
  type ToneCurve,
} from './profile.ts';
import { LEAST_STEPS, toneFromSteps } from './tone-response.ts';

export interface ChartPatch {
  readonly name: string;
  /** Mean codes as shares of full range, [r, g, b], 0–1. */
  readonly encoded: readonly [number, number, number];
  /** Where on the chart, −1 to 1 each way: the lamp does not light all of it alike. */
  readonly at: { readonly x: number; readonly y: number };
  readonly lab: LabD65;
  /** What the values are stated for; absent: D50, as charts come. The same for all patches of a chart. */
  readonly statedFor?: StatedFor;
}

export interface ChartFit {
  readonly tone: readonly [ToneCurve, ToneCurve, ToneCurve];
  readonly whiteLogRatios: readonly [redToGreen: number, blueToGreen: number];
  readonly colour: ColourTransform & { readonly leftOut: LeftOutError };
  /** Each method's least errors, for the person to see. */
  readonly leftOut: Readonly<Record<ColourMethod, LeftOutError>>;
  readonly warnings: readonly string[];
}

export type ChartFitResult =
  { readonly ok: true; readonly fit: ChartFit } | { readonly ok: false; readonly message: string };

/** Fewer patches than this cannot decide a colour transform. */
export const LEAST_PATCHES = 18;
/** Chroma up to which a patch is a grey. */
const GREY = 4;
/** How far, ln of light, a grey may lie off the curve through the other greys. */
const LOCAL = 0.12;

/** Rounds of fitting the camera and the light across the chart in turn. */
const ROUNDS = 4;

/** @param patches with codes neither clipped nor black; greys among them give the tone response */
export function fitChart(patches: readonly ChartPatch[]): ChartFitResult {
  if (patches.length < LEAST_PATCHES) {
    return {
      ok: false,
      message: `Only ${String(patches.length)} patches can be used; ${String(LEAST_PATCHES)} are needed.`,
    };
  }
  const greys = patches.filter(isGrey);
  if (greys.length < LEAST_STEPS) {
    return { ok: false, message: `The chart needs at least ${String(LEAST_STEPS)} grey patches.` };
  }
  const statedFor = patches[0]!.statedFor ?? 'D50';
  let lit: LightAcross = () => 1;
  for (let round = 1; ; round++) {
    const tone = toneOfGreys(greys, lit);
    if (!tone.ok) return tone;
    const white = whitest(greys);
    const samples = patches.map((patch) => sampleOf(patch, white, tone.curves, lit));
    if (round < ROUNDS) {
      lit = lightAcross(samples, lit, statedFor);
      continue;
    }
    return { ok: true, fit: concluded(tone.curves, samples, greys, lit, statedFor) };
  }
}

const whitest = (greys: readonly ChartPatch[]): ChartPatch =>
  greys.reduce((p, q) => (q.lab[0] > p.lab[0] ? q : p));
const isGrey = ({ lab }: { readonly lab: LabD65 }): boolean => Math.hypot(lab[1], lab[2]) < GREY;

function toneOfGreys(greys: readonly ChartPatch[], lit: LightAcross) {
  const curves: ToneCurve[] = [];
  for (const k of [0, 1, 2] as const) {
    const result = toneFromSteps(
      greys.map((p) => ({ encoded: p.encoded[k], light: xyzD65FromLab(p.lab)[1] * lit(p.at) })),
    );
    if (!result.ok) return { ok: false, message: `Grey patches: ${result.message}` } as const;
    curves.push(result.curve);
  }
  return { ok: true, curves: curves as unknown as ChartFit['tone'] } as const;
}

/** Light at a place on the chart over the light at its middle. */
type LightAcross = (at: ChartPatch['at']) => number;

/** A plane in ln light through what the linear fit leaves over in Y. */
function lightAcross(
  samples: readonly Sample[],
  before: LightAcross,
  statedFor: StatedFor,
): LightAcross {
  const { stated } = fitTransforms({ method: 'linear', spread: 1 }, samples, statedFor);
  const rows = samples.map(({ at }) => [1, at.x, at.y]);
  const left = samples.map((s) => {
    const seen = Math.max(0.005, relativeXyz(stated, s.rgb)[1]);
    return [Math.log((seen / s.xyz[1]) * before(s.at))];
  });
  const plane = solve(new Matrix(rows), new Matrix(left), true).to1DArray();
  return ({ x, y }) => Math.exp(plane[1]! * x + plane[2]! * y);
}

/** Does a grey, left out, lie off the curve of the others? Then no one curve serves the picture. */
function rendersLocally(greys: readonly ChartPatch[], lit: LightAcross): boolean {
  const ordered = [...greys].sort((p, q) => p.lab[0] - q.lab[0]);
  return ordered.slice(1, -1).some((left) => {
    const rest = toneOfGreys(
      ordered.filter((grey) => grey !== left),
      lit,
    );
    if (!rest.ok) return false;
    const brightest = ordered[ordered.length - 1]!;
    const light = (p: ChartPatch, k: 0 | 1 | 2) =>
      Math.log(lightOfEncoded(rest.curves[k], p.encoded[k]) / lit(p.at));
    const wanted = Math.log(xyzD65FromLab(left.lab)[1] / xyzD65FromLab(brightest.lab)[1]);
    return ([0, 1, 2] as const).some(
      (k) => Math.abs(light(left, k) - light(brightest, k) - wanted) > LOCAL,
    );
  });
}

function concluded(
  tone: ChartFit['tone'],
  samples: readonly Sample[],
  greys: readonly ChartPatch[],
  lit: LightAcross,
  statedFor: StatedFor,
): ChartFit {
  const white = whitest(greys);
  const tried = WAYS.map((way) => ({
    way,
    leftOut: leaveOneOut(way, samples, white.lab, statedFor),
  }));
  const best = (of: typeof tried) => of.reduce((p, q) => (q.leftOut.mean < p.leftOut.mean ? q : p));
  const held = best(tried.filter(({ way }) => way.spread !== LOOSE));
  const loose = best(tried.filter(({ way }) => way.spread === LOOSE));
  const taken = loose.leftOut.mean < CLEARLY * held.leftOut.mean ? loose : held;
  const ofMethod = (method: ColourMethod) => best(tried.filter(({ way }) => way.method === method));
  const [r, g, b] = ([0, 1, 2] as const).map((k) => lightOfEncoded(tone[k], white.encoded[k]));
  return {
    tone,
    whiteLogRatios: [Math.log(r! / g!), Math.log(b! / g!)],
    colour: { ...fitTransforms(taken.way, samples, statedFor).lamp, leftOut: taken.leftOut },
    leftOut: {
      linear: ofMethod('linear').leftOut,
      'root-polynomial': ofMethod('root-polynomial').leftOut,
    },
    warnings: rendersLocally(greys, lit) ? [LOCAL_RENDERING] : [],
  };
}

const LOCAL_RENDERING =
  'The greys do not follow one curve: the camera brightens parts of the picture by themselves. Turn HDR and scene modes off.';

interface Sample {
  readonly rgb: readonly [number, number, number];
  readonly xyz: readonly [number, number, number];
  readonly lab: LabD65;
  readonly at: ChartPatch['at'];
}

/** Camera light, evened out, and reference XYZ, each relative to the chart's own white. */
function sampleOf(
  patch: ChartPatch,
  white: ChartPatch,
  tone: ChartFit['tone'],
  lit: LightAcross,
): Sample {
  const light = (p: ChartPatch, k: 0 | 1 | 2) => lightOfEncoded(tone[k], p.encoded[k]) / lit(p.at);
  const rgb = ([0, 1, 2] as const).map((k) => light(patch, k) / light(white, k));
  const whiteXyz = xyzD65FromLab(white.lab);
  const relative = xyzD65FromLab(patch.lab).map((v, k) => v / whiteXyz[k]!);
  return {
    rgb: rgb as unknown as Sample['rgb'],
    xyz: relative as unknown as Sample['xyz'],
    lab: patch.lab,
    at: patch.at,
  };
}

/** Nearly free, for a camera unlike any plausible one: such as sensor light that no maker's matrix has met. */
const LOOSE = 100;
/** Of the other way's error: so much less is no accident of two dozen patches. */
const CLEARLY = 0.85;
const WAYS: readonly FitWay[] = COLOUR_METHODS.flatMap((method) =>
  [1, LOOSE].map((spread) => ({ method, spread })),
);

function leaveOneOut(
  way: FitWay,
  samples: readonly Sample[],
  whiteLab: LabD65,
  statedFor: StatedFor,
): LeftOutError {
  const errors = samples.map((sample) => {
    const rest = samples.filter((other) => other !== sample);
    return errorOf(fitTransforms(way, rest, statedFor).stated, sample, whiteLab);
  });
  return {
    mean: errors.reduce((sum, e) => sum + e, 0) / errors.length,
    largest: Math.max(...errors),
  };
}

function errorOf(transform: ColourTransform, { rgb, lab }: Sample, whiteLab: LabD65): number {
  return deltaE00(lab, labThroughProfile(transform, rgb, whiteLab));
}
