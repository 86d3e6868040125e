/**
 * What a camera does between sensor and file: its own white balance, a colour matrix fitted by least
 * squares on training reflectances, exposure, and a tone curve.
 */
import { A, D65 } from '../../src/colour/illuminants.ts';
import type { Camera } from './cameras.ts';
import { Random } from './random.ts';
import {
  adaptedToD65,
  linearSrgbOf,
  spectrumOf,
  triplesum,
  xyzUnder,
  type Spectrum,
  type Triple,
} from './spectra.ts';

const WHITE = spectrumOf(() => 1);

/** Sensor response to a surface under a lamp, the perfect diffuser giving 1, 1, 1. */
export function sensorRgb(camera: Camera, lamp: Spectrum, surface: Spectrum): Triple {
  return camera.sensitivity.map(
    (s) => triplesum(lamp, surface, s) / triplesum(lamp, WHITE, s),
  ) as unknown as Triple;
}

/** Gain of each channel that makes the lamp white, green 1: what the noise is multiplied by. */
export function balanceGains(camera: Camera, lamp: Spectrum): Triple {
  const raw = camera.sensitivity.map((s) => triplesum(lamp, WHITE, s));
  return [raw[1]! / raw[0]!, 1, raw[1]! / raw[2]!];
}

/** How the picture's white differs from neutral: error and remaining cast of the automatic balance. */
export function balanceFault(camera: Camera, lamp: Spectrum): Triple {
  const [X, Y, Z] = xyzUnder(lamp, WHITE);
  const cast = linearSrgbOf([X, Y, Z]);
  const left = (i: 0 | 1 | 2) => Math.max(0.05, cast[i] / cast[1]) ** camera.castLeft;
  return [
    left(0) * Math.exp(camera.balanceError[0]),
    1,
    left(2) * Math.exp(camera.balanceError[1]),
  ];
}

/** Reflectances a maker might train on: smooth and less smooth curves, dark to light. */
const TRAINING: readonly Spectrum[] = (() => {
  const random = new Random(77);
  return Array.from({ length: 140 }, () => {
    const base = random.range(-2.5, 2.5);
    const waves = Array.from({ length: 5 }, (_, k) => ({
      height: (2.4 * random.gaussian()) / (k + 1),
      phase: random.range(0, 2 * Math.PI),
      rate: ((k + 1) * random.range(0.5, 1)) / 200,
    }));
    return spectrumOf((nm) => {
      const x = waves.reduce(
        (sum, w) => sum + w.height * Math.cos(w.phase + Math.PI * w.rate * (nm - 380)),
        base,
      );
      return 0.02 + 0.93 / (1 + Math.exp(-x));
    });
  });
})();

/**
 * The 3×3 matrix (rows sum to 1, so white stays white) from balanced sensor RGB to linear sRGB,
 * least squares over the training reflectances.
 */
export function colourMatrix(camera: Camera, lamp: Spectrum): readonly [Triple, Triple, Triple] {
  const fitLamp = camera.matrixFor === 'lamp' ? lamp : nearerPreset(lamp);
  const white = xyzUnder(fitLamp, WHITE);
  const pairs = TRAINING.map((surface) => ({
    from: sensorRgb(camera, fitLamp, surface),
    to: linearSrgbOf(adaptedToD65(xyzUnder(fitLamp, surface), white)),
  }));
  return [0, 1, 2].map((row): Triple => {
    // Two unknowns a row, the third is 1 − both. Dark colours count more, as the eye would have it.
    let pp = 0, pq = 0, qq = 0, py = 0, qy = 0; // prettier-ignore
    for (const { from, to } of pairs) {
      const weight = 1 / (0.04 + to[1] ** 2);
      const p = from[0] - from[2];
      const q = from[1] - from[2];
      const y = to[row]! - from[2];
      pp += weight * p * p;
      pq += weight * p * q;
      qq += weight * q * q;
      py += weight * p * y;
      qy += weight * q * y;
    }
    const det = pp * qq - pq * pq;
    const first = (py * qq - qy * pq) / det;
    const second = (qy * pp - py * pq) / det;
    return [first, second, 1 - first - second];
  }) as unknown as readonly [Triple, Triple, Triple];
}

function nearerPreset(lamp: Spectrum): Spectrum {
  const warm = (s: Spectrum) => {
    const [X, , Z] = xyzUnder(s, WHITE);
    return Math.log(X / Z);
  };
  const [here, warmest, coolest] = [warm(lamp), warm(A.power), warm(D65.power)];
  return Math.abs(here - warmest) < Math.abs(here - coolest) ? A.power : D65.power;
}

export const TONE_STYLES = ['srgb', 's-curve', 's-chroma', 'roll-off'] as const;
export type ToneStyle = (typeof TONE_STYLES)[number];

export interface Tone {
  readonly style: ToneStyle;
  /** Strength of the style, 0–1; ignored for `srgb`. */
  readonly strength: number;
}

/** Linear → encoded, one channel, before any chroma boost. Input ≥ 0, white near 1. */
export function toneCurve(tone: Tone, linear: number): number {
  let x = Math.max(0, linear);
  if (tone.style === 'roll-off') {
    // Above the knee, a slope that falls off exponentially, as film-like settings do.
    const knee = 0.75 - 0.35 * tone.strength;
    const room = 1 - knee;
    if (x > knee) x = knee + room * (1 - Math.exp(-(x - knee) / room));
  }
  const e = x <= 0.0031308 ? 12.92 * x : 1.055 * x ** (1 / 2.4) - 0.055;
  if (tone.style === 's-curve' || tone.style === 's-chroma') {
    const amount = 0.06 + 0.16 * tone.strength;
    return e >= 1 ? e : e - (amount * Math.sin(2 * Math.PI * e)) / (2 * Math.PI);
  }
  return e;
}

/** Factor by which a tone style spreads encoded colour from its luma. */
export function chromaBoost(tone: Tone): number {
  return tone.style === 's-chroma' ? 1.04 + 0.12 * tone.strength : 1;
}
