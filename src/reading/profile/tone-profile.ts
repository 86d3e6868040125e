/** Shots of the tile or of a grey step card → the camera's tone response. */
import { lightOfEncoded, type CameraProfile } from './profile.ts';
import { LEAST_STEPS, toneFromSights, type ToneResult, type ToneSight } from './tone-response.ts';

export interface ToneShot {
  /** Codes of each place; undefined where it is too bright or too dark in this shot. */
  readonly places: readonly (readonly [number, number, number] | undefined)[];
  /** Relative light, > 0: exposure time, or one over the lamp's distance squared; 1 when it stays. */
  readonly light: number;
}

export interface ToneFit {
  readonly tone: CameraProfile['tone'];
  readonly whiteLogRatios: CameraProfile['whiteLogRatios'];
  /** Largest of the channels' root mean squares off their curve, share of full range. */
  readonly residual: number;
  /** ln of how probable the shots are; differences between fits of the same shots mean something. */
  readonly evidence: number;
  readonly warnings: readonly string[];
}
export type ToneFitResult =
  { readonly ok: true; readonly fit: ToneFit } | { readonly ok: false; readonly message: string };

/** What sights off the curve by more than this say: no one curve serves (share of full range). */
const ONE_CURVE = 0.006;
/** Light at half of range over sRGB's, beyond which a slip is likelier than such a camera. */
const FAR = 2;

/**
 * @param known relative light of each place (reflectance 0–1), in the places' order; absent: not known,
 *   then two shots or more of different light are needed, their ratio known
 */
export function toneFromShots(
  shots: readonly ToneShot[],
  known?: readonly number[],
): ToneFitResult {
  const fault = (message: string): ToneFitResult => ({ ok: false, message });
  const count = shots[0]?.places.length ?? 0;
  if (shots.length === 0) return fault('There is no shot yet.');
  if (known && known.length !== count) {
    return fault(
      `${String(known.length)} values for ${String(count)} steps: give one for each step.`,
    );
  }
  if (!known && count > 1 && new Set(shots.map(({ light }) => light)).size < 2) {
    return fault(
      'Steps of unknown value need the same card in two shots or more that differ in light by a known ratio: twice the exposure time, or the lamp at another distance.',
    );
  }
  if (!known && count === 1 && shots.length < LEAST_STEPS) {
    return fault(`At least ${String(LEAST_STEPS)} shots of the tile are needed.`);
  }
  const laid = known ? laidAs(shots, known) : shots;
  const channels = ([0, 1, 2] as const).map((k) => sightsOf(laid, known, k));
  const found = curvesOf(channels);
  if (!found.ok) return fault(found.message);
  const { curves, residual, evidence } = found;
  const tone = curves as unknown as CameraProfile['tone'];
  const white = brightest(shots);
  const [r, g, b] = ([0, 1, 2] as const).map((k) => lightOfEncoded(tone[k], white[k]));
  const warnings: string[] = [];
  if (residual > ONE_CURVE) {
    warnings.push(
      'The shots do not follow one curve: the camera changes exposure or brightens parts by itself, or a time or distance is wrong. Hold the exposure, turn HDR and scene modes off.',
    );
  }
  if (tone.some((curve) => isFar(curve))) {
    warnings.push(
      'This curve is far from that of any usual camera: are the times, distances or values right?',
    );
  }
  if (!known && count > 1 && shots.length === 2) {
    warnings.push(
      'With two shots a wrong ratio between them cannot be noticed: a third would tell.',
    );
  }
  return {
    ok: true,
    fit: {
      tone,
      whiteLogRatios: [Math.log(r! / g!), Math.log(b! / g!)],
      residual,
      evidence,
      warnings,
    },
  };
}

/**
 * Cameras bend their channels by one curve, as a rule (Kim, Lin, Lu, Süsstrunk, Lin, Brown 2012, “A new
 * in-camera imaging model for color computer vision”, IEEE Trans. PAMI 34); then all channels' sights tell
 * it together. Three are taken where they are more probable than one.
 */
function curvesOf(channels: readonly (readonly ToneSight[])[]) {
  const each: (ToneResult & { ok: true })[] = [];
  for (const sights of channels) {
    const result = toneFromSights(sights);
    if (!result.ok) return result;
    each.push(result);
  }
  const all = channels.flatMap((sights, k) =>
    sights.map((sight) => ({ ...sight, place: 3 * sight.place + k })),
  );
  const shared = toneFromSights(all);
  const apart = each.reduce((sum, { evidence }) => sum + evidence, 0);
  const isShared = shared.ok && shared.evidence > apart;
  const taken = isShared ? [shared, shared, shared] : each;
  return {
    ok: true,
    evidence: isShared ? shared.evidence : apart,
    curves: taken.map(({ curve }) => curve),
    residual: Math.max(...taken.map(({ residual }) => residual)),
  } as const;
}

/** A card of known values may lie either way round, and be turned from shot to shot. */
const laidAs = (shots: readonly ToneShot[], known: readonly number[]): readonly ToneShot[] =>
  shots.map((shot) => {
    const seen = shot.places.flatMap((codes, i) => (codes ? [{ code: codes[1], i }] : []));
    const [first, last] = [seen[0], seen[seen.length - 1]];
    if (!first || !last || first === last) return shot;
    const same = last.code > first.code === known[last.i]! > known[first.i]!;
    return same ? shot : { ...shot, places: [...shot.places].reverse() };
  });

/** With known light every sight is as good as one place. */
const sightsOf = (
  shots: readonly ToneShot[],
  known: readonly number[] | undefined,
  k: 0 | 1 | 2,
): ToneSight[] =>
  shots.flatMap(({ places, light }) =>
    places.flatMap((codes, i) =>
      codes
        ? [{ encoded: codes[k], place: known ? 0 : i, light: known ? light * known[i]! : light }]
        : [],
    ),
  );

const brightest = (shots: readonly ToneShot[]): readonly [number, number, number] =>
  shots
    .flatMap(({ places }) => places)
    .reduce<readonly [number, number, number]>(
      (most, codes) => (codes && codes[1] > most[1] ? codes : most),
      [0, 0, 0],
    );

/** Against sRGB, from a quarter to three quarters of the codes. */
function isFar(curve: readonly number[]): boolean {
  const ratio = lightOfEncoded(curve, 0.75) / lightOfEncoded(curve, 0.35);
  // IEC 61966-2-1: light at codes 0.75 and 0.35.
  const usual = 0.5225 / 0.1006;
  return ratio > FAR * usual || ratio < usual / FAR;
}

/** Values of a card as they are stated → reflectance. */
export const STATED_AS = ['lightness', 'density', 'reflectance'] as const;
export type StatedAs = (typeof STATED_AS)[number];

export type StatedValues =
  | { readonly ok: true; readonly reflectance: readonly number[] }
  | { readonly ok: false; readonly message: string };

/**
 * @param text one value a step, in the card's order: L* (0–100, CIE 15), optical density (0–4, ISO 5-4),
 *   or reflectance in per cent (0–100)
 */
export function statedValues(text: string, as: StatedAs, steps: number): StatedValues {
  const fault = (message: string): StatedValues => ({ ok: false, message });
  // A comma between digits without a space after it is a decimal sign only where a semicolon or space parts.
  const parts = text.trim().split(/[;\s]+|,\s+/);
  const written = parts.length === 1 ? text.split(',') : parts;
  const words = written.map((word) => word.trim().replace(',', '.')).filter((word) => word !== '');
  const numbers = words.map(Number);
  const bad = numbers.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0)
    return fault(`The value of step ${String(bad + 1)}, “${words[bad]!}”, is no number.`);
  if (numbers.length !== steps) {
    return fault(
      `${String(numbers.length)} values for ${String(steps)} steps: give one for each step.`,
    );
  }
  const most = as === 'density' ? 4 : 100;
  const out = numbers.findIndex((v) => v > most || (as === 'density' ? v < 0 : v <= 0));
  if (out >= 0) {
    return fault(
      `The value of step ${String(out + 1)}, ${words[out]!}, is out of range: ${NAMES[as]} goes from 0 to ${String(most)}.`,
    );
  }
  const way = Math.sign(numbers[numbers.length - 1]! - numbers[0]!) || 1;
  const off = numbers.findIndex((v, i) => i > 0 && way * (v - numbers[i - 1]!) <= 0);
  if (off >= 0) {
    return fault(
      `The values of steps ${String(off)} and ${String(off + 1)} are not in order: they must rise or fall from step to step.`,
    );
  }
  return { ok: true, reflectance: numbers.map((value) => REFLECTANCE[as](value)) };
}

const NAMES: Readonly<Record<StatedAs, string>> = {
  lightness: 'L*',
  density: 'density',
  reflectance: 'reflectance in per cent',
};
const REFLECTANCE: Readonly<Record<StatedAs, (value: number) => number>> = {
  // CIE 15: Y/Yn of L*.
  lightness: (L) => (L > 8 ? ((L + 16) / 116) ** 3 : L / 903.3),
  density: (D) => 10 ** -D,
  reflectance: (R) => R / 100,
};
