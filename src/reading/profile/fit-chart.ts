/**
 * A full profile from a chart of coloured patches: tone response from its greys, then a colour transform,
 * linear or root-polynomial, whichever predicts patches it has not seen better.
 */
import { Matrix, solve } from 'ml-matrix';
import { deltaE00 } from '../../colour/ciede2000.ts';
import { xyzD65FromLab } from '../../colour/cielab.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import {
  colourTerms,
  labThroughProfile,
  lightOfEncoded,
  relativeXyz,
  type ColourMethod,
  type ColourTransform,
  type LeftOutError,
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
}

export interface ChartFit {
  readonly tone: readonly [ToneCurve, ToneCurve, ToneCurve];
  readonly whiteLogRatios: readonly [redToGreen: number, blueToGreen: number];
  readonly colour: ColourTransform & { readonly leftOut: LeftOutError };
  /** Both methods' errors, for the person to see. */
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
  let lit: LightAcross = () => 1;
  for (let round = 1; ; round++) {
    const tone = toneOfGreys(greys, lit);
    if (!tone.ok) return tone;
    const white = whitest(greys);
    const samples = patches.map((patch) => sampleOf(patch, white, tone.curves, lit));
    if (round < ROUNDS) {
      lit = lightAcross(samples, lit);
      continue;
    }
    return { ok: true, fit: concluded(tone.curves, samples, greys, lit) };
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
function lightAcross(samples: readonly Sample[], before: LightAcross): LightAcross {
  const transform: ColourTransform = { method: 'linear', rows: fitRows('linear', samples) };
  const rows = samples.map(({ at }) => [1, at.x, at.y]);
  const left = samples.map((s) => {
    const seen = Math.max(0.005, relativeXyz(transform, s.rgb)[1]);
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
): ChartFit {
  const white = whitest(greys);
  const leftOut = {
    linear: leaveOneOut('linear', samples, white.lab),
    'root-polynomial': leaveOneOut('root-polynomial', samples, white.lab),
  };
  const method: ColourMethod =
    leftOut['root-polynomial'].mean < leftOut.linear.mean ? 'root-polynomial' : 'linear';
  const transform = { method, rows: fitRows(method, samples) };
  const [r, g, b] = ([0, 1, 2] as const).map((k) => lightOfEncoded(tone[k], white.encoded[k]));
  return {
    tone,
    whiteLogRatios: [Math.log(r! / g!), Math.log(b! / g!)],
    colour: { ...transform, leftOut: leftOut[method] },
    leftOut,
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

/**
 * Least squares of XYZ over the terms with white held: coefficients of a row add up to 1, so the last is
 * 1 less the others. Errors are weighed by the slope of CIELAB's cube root, so that dark patches count.
 * A root polynomial's extra terms are held back a little (ridge), for 24 patches leave them loose.
 */
function fitRows(method: ColourMethod, samples: readonly Sample[]): ColourTransform['rows'] {
  const terms = samples.map((s) => colourTerms(method, s.rgb));
  const count = terms[0]!.length;
  const row = (k: 0 | 1 | 2): number[] => {
    const design: number[][] = [];
    const wanted: number[][] = [];
    samples.forEach((s, i) => {
      const weight = 1 / Math.cbrt(Math.max(0.01, s.xyz[k])) ** 2;
      const last = terms[i]![k]!;
      design.push(others(count, k).map((j) => weight * (terms[i]![j]! - last)));
      wanted.push([weight * (s.xyz[k] - last)]);
    });
    others(count, k).forEach((_, i) => {
      design.push(Array.from({ length: count - 1 }, (__, j) => (i === j ? RIDGE : 0)));
      wanted.push([0]);
    });
    const solved = solve(new Matrix(design), new Matrix(wanted), true).to1DArray();
    const full = new Array<number>(count).fill(0);
    others(count, k).forEach((j, i) => (full[j] = solved[i]!));
    full[k] = 1 - solved.reduce((sum, v) => sum + v, 0);
    return full;
  };
  return [row(0), row(1), row(2)];
}
const RIDGE = 0.02;
const others = (count: number, k: number): number[] =>
  Array.from({ length: count }, (_, j) => j).filter((j) => j !== k);

function leaveOneOut(
  method: ColourMethod,
  samples: readonly Sample[],
  whiteLab: LabD65,
): LeftOutError {
  const errors = samples.map((sample) => {
    const rest = samples.filter((other) => other !== sample);
    return errorOf({ method, rows: fitRows(method, rest) }, sample, whiteLab);
  });
  return {
    mean: errors.reduce((sum, e) => sum + e, 0) / errors.length,
    largest: Math.max(...errors),
  };
}

function errorOf(transform: ColourTransform, { rgb, lab }: Sample, whiteLab: LabD65): number {
  return deltaE00(lab, labThroughProfile(transform, rgb, whiteLab));
}
