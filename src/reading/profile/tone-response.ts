/**
 * How a channel's codes follow the light, from patches or exposures of which the relative light is
 * known: grey steps of known reflectance, exposure times on the tile, lamp distances (inverse square).
 * Only ratios of light matter.
 */
import { linearFromEncoded } from '../../colour/srgb.ts';
import { rises, type ToneCurve } from './profile.ts';

export interface ToneStep {
  /** Mean code of the channel as a share of full range, 0–1. */
  readonly encoded: number;
  /** Relative light, > 0: reflectance, exposure time, or one over the lamp's distance squared. */
  readonly light: number;
}

export type ToneFault = 'few' | 'clipped' | 'dark' | 'order' | 'narrow';
export type ToneResult =
  | { readonly ok: true; readonly curve: ToneCurve }
  | { readonly ok: false; readonly fault: ToneFault; readonly message: string };

export const LEAST_STEPS = 5;
const CLIPPED = 0.985;
const DARK = 0.02;
/** Least span from the darkest to the brightest step, share of full range. */
const LEAST_SPAN = 0.4;
const POINTS = 257;

const MESSAGE: Readonly<Record<ToneFault, string>> = {
  few: `At least ${String(LEAST_STEPS)} steps are needed.`,
  clipped: 'The brightest step is clipped: lower the exposure.',
  dark: 'The darkest step is nearly black: raise the exposure, or leave that step out.',
  order: 'The steps do not grow brighter as they should: are they in the right order?',
  narrow: 'The steps lie too close together: add darker or brighter ones.',
};

/**
 * Monotone tone response through the steps: the camera's curve as a factor of sRGB's, interpolated by
 * a cubic over codes with the slopes of parabolas through three neighbours (Bessel's; de Boor 1978, A
 * Practical Guide to Splines, chapter IV) and carried on at either end as sRGB goes there. Refused where
 * it does not rise.
 * @param steps in any order
 */
export function toneFromSteps(steps: readonly ToneStep[]): ToneResult {
  const fault = (f: ToneFault): ToneResult => ({ ok: false, fault: f, message: MESSAGE[f] });
  if (steps.length < LEAST_STEPS) return fault('few');
  const byLight = [...steps].sort((p, q) => p.light - q.light);
  const first = byLight[0]!;
  const last = byLight[byLight.length - 1]!;
  if (byLight.some(({ encoded }) => encoded >= CLIPPED)) return fault('clipped');
  if (byLight.some(({ encoded, light }) => encoded < DARK || !(light > 0))) return fault('dark');
  const rising = byLight.every((step, i) => i === 0 || step.encoded > byLight[i - 1]!.encoded);
  if (!rising) return fault('order');
  if (last.encoded - first.encoded < LEAST_SPAN) return fault('narrow');
  const x = byLight.map(({ encoded }) => encoded);
  const y = byLight.map(({ encoded, light }) => Math.log(light / linearFromEncoded(encoded)));
  const factor = cubicThrough(x, y);
  const top = y[y.length - 1]!;
  const curve = Array.from({ length: POINTS }, (_, i) => {
    const encoded = i / (POINTS - 1);
    return linearFromEncoded(encoded) * Math.exp(factor(encoded) - top);
  });
  return rises(curve) ? { ok: true, curve } : fault('order');
}

/** Interpolates y(x); beyond the ends the value of the end holds. */
function cubicThrough(x: readonly number[], y: readonly number[]): (at: number) => number {
  const n = x.length;
  const slope = x.slice(1).map((v, i) => (y[i + 1]! - y[i]!) / (v - x[i]!));
  const tangent = x.map((_, i) => {
    const at = Math.min(n - 2, Math.max(1, i));
    const [h0, h1] = [x[at]! - x[at - 1]!, x[at + 1]! - x[at]!];
    const bend = (slope[at]! - slope[at - 1]!) / (h0 + h1);
    const middle = slope[at - 1]! + h0 * bend;
    return middle + (i < at ? -2 * h0 * bend : i > at ? 2 * h1 * bend : 0);
  });
  return (at) => {
    if (at <= x[0]!) return y[0]!;
    if (at >= x[n - 1]!) return y[n - 1]!;
    let i = 0;
    while (at > x[i + 1]!) i++;
    const h = x[i + 1]! - x[i]!;
    const t = (at - x[i]!) / h;
    const [t2, t3] = [t * t, t * t * t];
    return (
      (2 * t3 - 3 * t2 + 1) * y[i]! +
      (t3 - 2 * t2 + t) * h * tangent[i]! +
      (3 * t2 - 2 * t3) * y[i + 1]! +
      (t3 - t2) * h * tangent[i + 1]!
    );
  };
}
