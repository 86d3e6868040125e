/**
 * Tone response from shots of the same places in different light: exposure times, lamp distances, a grey
 * step card. What the places reflect may be known or not; what varies from shot to shot must be.
 *
 * A camera's curve and unknown light are told apart only by a known ratio between shots: without one,
 * any power of the curve explains them as well (Grossberg, Nayar 2003, “Determining the camera response
 * from images: what is knowable?”, IEEE Trans. PAMI 25). Here ln of the inverse curve, g, is solved for
 * with the unknown ln E of the places (Debevec, Malik 1997, “Recovering high dynamic range radiance
 * maps from photographs”, eq. 3): g(code of place i in shot j) = ln E_i + ln t_j, least squares, g's
 * departure from sRGB smooth.
 */
import { linearFromEncoded } from '../../colour/srgb.ts';
import { NormalEquations } from './normal-equations.ts';
import { rises, type ToneCurve } from './profile.ts';

/** Code of one place in one shot, one channel. */
export interface ToneSight {
  /** Mean code as a share of full range, 0–1. */
  readonly encoded: number;
  /** Which place: sights of one place differ by their shots' light alone. */
  readonly place: number;
  /** Relative light of the shot, > 0: exposure time, or one over the lamp's distance squared. */
  readonly light: number;
}

/** A sight of which the light is known in all. */
export interface ToneStep {
  readonly encoded: number;
  /** Relative light, > 0: reflectance, exposure time, or one over the lamp's distance squared. */
  readonly light: number;
}

export type ToneFault = 'few' | 'clipped' | 'dark' | 'order' | 'narrow' | 'apart' | 'alike';
export type ToneResult =
  | {
      readonly ok: true;
      readonly curve: ToneCurve;
      /** Root mean square by which the sights lie off the curve, share of full range of codes. */
      readonly residual: number;
      /** ln of how probable the sights are, all curves of its kind considered; only differences mean anything. */
      readonly evidence: number;
    }
  | { readonly ok: false; readonly fault: ToneFault; readonly message: string };

export const LEAST_STEPS = 5;
export const CLIPPED = 0.985;
export const DARK = 0.02;
/** Least span from the darkest to the brightest code, share of full range. */
const LEAST_SPAN = 0.4;
/** Widest stretch of codes that no place's shots reach across. */
const WIDEST_GAP = 0.12;
/** Ratio of light below which two shots tell nothing. */
const LEAST_RATIO = 1.25;
const POINTS = 257;
/** Nodes of the departure from sRGB over codes 0–1. */
const NODES = 65;
/** Standard deviation of a patch's mean code, share of full range: rounding and noise. */
const CODE_SIGMA = 0.001;
/** Standard deviation of the departure's second difference, node to node, ln. */
const BEND = 0.02;
/**
 * And of its third. Which one the evidence tells, after MacKay 1992, “Bayesian interpolation”, Neural
 * Computation 4: a stiff curve that misses the sights is as improbable as a limp one that could have been any.
 */
const TURNS = [0.0002, 0.0004, 0.0008, 0.0016, 0.0032, 0.0064, 0.0128];
/** A curve that must turn more than this may be a stiff one with a knee instead. */
const LIMP = 0.0002;
const KNEE_TURNS = [0.0002, 0.0004, 0.0008];
/** How much more the departure may turn at a knee, and every how many nodes one is looked for. */
const KNEE = 40;
const KNEE_STEP = 2;
/** Standard deviation, ln, of what is as good as unknown: light of a place, slope of the departure. */
const VAGUE = 30;

const MESSAGE: Readonly<Record<ToneFault, string>> = {
  few: `At least ${String(LEAST_STEPS)} steps are needed.`,
  clipped: 'The brightest step is clipped: lower the exposure.',
  dark: 'The darkest step is nearly black: raise the exposure, or leave that step out.',
  order:
    'The steps do not grow brighter as they should: are they in the right order, and times or distances right?',
  narrow: 'The steps lie too close together: add darker or brighter ones.',
  apart:
    'The shots lie too far apart: no step reaches from one to the next. Add a shot between them, or take a card with more steps.',
  alike: 'The shots are too much alike: one must have at least a quarter more light than another.',
};

/** @param steps in any order; their light is known, so they are as good as one place. */
export const toneFromSteps = (steps: readonly ToneStep[]): ToneResult =>
  toneFromSights(steps.map((step) => ({ ...step, place: 0 })));

/**
 * @param sights two or more of each place; one channel
 * @returns monotone curve on 257 codes, its scale free; ToneFault where the sights cannot tell one
 */
export function toneFromSights(sights: readonly ToneSight[]): ToneResult {
  const fault = (f: ToneFault): ToneResult => ({ ok: false, fault: f, message: MESSAGE[f] });
  const places = [...new Set(sights.map(({ place }) => place))];
  if (sights.length < LEAST_STEPS) return fault('few');
  if (sights.some(({ encoded }) => encoded >= CLIPPED)) return fault('clipped');
  if (sights.some(({ encoded, light }) => encoded < DARK || !(light > 0))) return fault('dark');
  const lights = sights.map(({ light }) => light);
  if (Math.max(...lights) < LEAST_RATIO * Math.min(...lights)) return fault('alike');
  const reaches: (readonly [number, number])[] = [];
  for (const place of places) {
    const own = sights.filter((s) => s.place === place).sort((p, q) => p.light - q.light);
    const codes = own.map(({ encoded }) => encoded);
    if (own.some((s, i) => i > 0 && s.light > own[i - 1]!.light && s.encoded <= codes[i - 1]!)) {
      return fault('order');
    }
    if (codes.length > 1) reaches.push([codes[0]!, codes[codes.length - 1]!]);
  }
  const span = [
    Math.min(...sights.map((s) => s.encoded)),
    Math.max(...sights.map((s) => s.encoded)),
  ] as const;
  if (span[1] - span[0] < LEAST_SPAN) return fault('narrow');
  if (widestGap(reaches, span) > WIDEST_GAP) return fault('apart');
  const { departure, residual, evidence } = likeliest(sights, places, span);
  const curve = Array.from({ length: POINTS }, (_, i) => {
    const encoded = i / (POINTS - 1);
    return linearFromEncoded(encoded) * Math.exp(departure(encoded) - departure(span[1]));
  });
  return rises(curve) ? { ok: true, curve, residual, evidence } : fault('order');
}

/** Longest stretch between the darkest and the brightest code that lies within no reach. */
function widestGap(
  reaches: readonly (readonly [number, number])[],
  [low, high]: readonly [number, number],
): number {
  let to = low;
  let widest = 0;
  for (const [from, end] of [...reaches].sort((p, q) => p[0] - q[0])) {
    widest = Math.max(widest, from - to);
    to = Math.max(to, end);
  }
  return Math.max(widest, high - to);
}

interface Solved {
  readonly departure: (encoded: number) => number;
  readonly residual: number;
  readonly evidence: number;
  readonly turn: number;
}
type Span = readonly [low: number, high: number];

/** The most probable stiffness, and a knee where one is. */
function likeliest(sights: readonly ToneSight[], places: readonly number[], span: Span): Solved {
  const best = (of: readonly Solved[]) => of.reduce((p, q) => (q.evidence > p.evidence ? q : p));
  const smooth = best(TURNS.map((turn) => solved(sights, places, span, turn)));
  if (smooth.turn <= LIMP) return smooth;
  const knees: number[] = [];
  for (let at = 3; at < NODES - 3; at += KNEE_STEP) {
    const encoded = at / (NODES - 1);
    if (encoded > span[0] && encoded < span[1]) knees.push(at);
  }
  const kneed = KNEE_TURNS.flatMap((turn) =>
    knees.map((knee) => {
      const one = solved(sights, places, span, turn, knee);
      // Any of them could have been it.
      return { ...one, evidence: one.evidence - Math.log(knees.length) };
    }),
  );
  return best([smooth, ...kneed]);
}

/** The departure's smoothness as rows. @param knee node at which it may turn freely */
function putSmoothness(system: NormalEquations, turn: number, knee: number | undefined): void {
  for (let i = 1; i < NODES - 1; i++) {
    system.put([[i - 1, 1], [i, -2], [i + 1, 1]], 0, 1 / BEND); // prettier-ignore
    if (i >= NODES - 2) continue;
    const turns = knee !== undefined && Math.abs(i + 0.5 - knee) <= 1 ? KNEE * turn : turn;
    system.put([[i - 1, -1], [i, 3], [i + 1, -3], [i + 2, 1]], 0, 1 / turns); // prettier-ignore
  }
  system.put([[NODES >> 1, 1]], 0, 1);
  for (let i = 0; i < NODES; i++) system.put([[i, 1]], 0, 1 / VAGUE);
}

const determinants = new Map<string, number>();
/** ln of the determinant of the smoothness alone. */
function smoothnessDeterminant(turn: number, knee: number | undefined): number {
  const key = `${String(turn)} ${String(knee)}`;
  let known = determinants.get(key);
  if (known === undefined) {
    const system = new NormalEquations(NODES);
    putSmoothness(system, turn, knee);
    determinants.set(key, (known = system.solve().logDeterminant));
  }
  return known;
}

function solved(
  sights: readonly ToneSight[],
  places: readonly number[],
  [low, high]: Span,
  turn: number,
  knee?: number,
): Solved {
  const system = new NormalEquations(NODES + places.length);
  putSmoothness(system, turn, knee);
  places.forEach((_, i) => {
    system.put([[NODES + i, 1]], 0, 1 / VAGUE);
  });
  for (const { encoded, place, light } of sights) {
    const value = Math.log(light) - Math.log(linearFromEncoded(encoded));
    const entries = [...atNode(encoded), [NODES + places.indexOf(place), -1] as const];
    system.put(entries, value, 1 / (CODE_SIGMA * slopeOfLog(encoded)));
  }
  const { x, misfit, logDeterminant } = system.solve();
  const before = smoothnessDeterminant(turn, knee) - 2 * places.length * Math.log(VAGUE);
  // Beyond what was seen the camera goes as sRGB goes.
  const departure = (encoded: number) =>
    atNode(Math.min(high, Math.max(low, encoded))).reduce(
      (sum, [at, share]) => sum + share * x[at]!,
      0,
    );
  const off = sights.map(({ encoded, place, light }) => {
    const ln = Math.log(linearFromEncoded(encoded)) + departure(encoded);
    const miss = ln - x[NODES + places.indexOf(place)]! - Math.log(light);
    return miss / slopeOfLog(encoded);
  });
  return {
    departure,
    residual: Math.sqrt(off.reduce((sum, v) => sum + v * v, 0) / off.length),
    evidence: (before - logDeterminant - misfit) / 2,
    turn,
  };
}

/** d ln(light) / d code of sRGB's curve. */
function slopeOfLog(encoded: number): number {
  const h = 0.002;
  return (
    (Math.log(linearFromEncoded(encoded + h)) - Math.log(linearFromEncoded(encoded - h))) / (2 * h)
  );
}

/** The two nodes round a code, with their shares. */
function atNode(encoded: number): readonly (readonly [number, number])[] {
  const at = Math.min(NODES - 1, Math.max(0, encoded * (NODES - 1)));
  const below = Math.min(NODES - 2, Math.floor(at));
  return [
    [below, 1 - (at - below)],
    [below + 1, at - below],
  ];
}
