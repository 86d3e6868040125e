/**
 * Colour difference ΔE₀₀, ISO/CIE 11664-6:2014, kL = kC = kH = 1. Equation numbers are those of
 * Sharma, Wu, Dalal 2005, “The CIEDE2000 color-difference formula: implementation notes,
 * supplementary test data, and mathematical observations”, Color Res. Appl. 30(1).
 */
import type { LabD65 } from './spaces.ts';

/** ΔE₀₀ and its weighted parts: deltaE00² = ΔL² + ΔC² + ΔH² + RT·ΔC·ΔH. */
export interface DeltaE00Parts {
  readonly deltaE00: number;
  /** Weighted lightness difference ΔL′/SL, second minus first. */
  readonly lightness: number;
  /** Weighted chroma difference ΔC′/SC, second minus first. */
  readonly chroma: number;
  /** Weighted hue difference ΔH′/SH, signed by the hue angle. */
  readonly hue: number;
}

const DEGREE = Math.PI / 180;

/** The difference from `first` (the glaze) to `second` (the dab), with its parts. */
export function deltaE00Parts(first: LabD65, second: LabD65): DeltaE00Parts {
  const [L1, a1, b1] = first;
  const [L2, a2, b2] = second;
  // (2)–(5): a* stretched near the grey axis, where plain CIELAB understates differences.
  const meanC = (length(a1, b1) + length(a2, b2)) / 2;
  const G = 0.5 * (1 - chromaFactor(meanC));
  const a1p = (1 + G) * a1;
  const a2p = (1 + G) * a2;
  // (6), (7)
  const C1p = length(a1p, b1);
  const C2p = length(a2p, b2);
  const h1p = hueInDegrees(a1p, b1);
  const h2p = hueInDegrees(a2p, b2);
  // (8)–(11)
  const dLp = L2 - L1;
  const dCp = C2p - C1p;
  const product = C1p * C2p;
  let dhp = 0;
  if (product !== 0) {
    dhp = h2p - h1p;
    if (dhp > 180) dhp -= 360;
    else if (dhp < -180) dhp += 360;
  }
  const dHp = 2 * Math.sqrt(product) * Math.sin((dhp / 2) * DEGREE);
  // (12)–(14)
  const meanL = (L1 + L2) / 2;
  const meanCp = (C1p + C2p) / 2;
  let meanHp = h1p + h2p;
  if (product !== 0) {
    if (Math.abs(h1p - h2p) <= 180) meanHp /= 2;
    else meanHp = meanHp < 360 ? (meanHp + 360) / 2 : (meanHp - 360) / 2;
  }
  const T = hueWeight(meanHp);
  const RT = blueRotation(meanHp) * chromaFactor(meanCp);
  // (18)–(20): weights of lightness, chroma and hue
  const lightnessOffset = (meanL - 50) ** 2;
  const SL = 1 + (0.015 * lightnessOffset) / Math.sqrt(20 + lightnessOffset);
  const SC = 1 + 0.045 * meanCp;
  const SH = 1 + 0.015 * meanCp * T;
  // (22)
  const lightness = dLp / SL;
  const chroma = dCp / SC;
  const hue = dHp / SH;
  const squared = lightness ** 2 + chroma ** 2 + hue ** 2 + RT * chroma * hue;
  return { deltaE00: Math.sqrt(Math.max(0, squared)), lightness, chroma, hue };
}

/** ΔE₀₀ of two colours, symmetric, ≥ 0. */
export function deltaE00(first: LabD65, second: LabD65): number {
  return deltaE00Parts(first, second).deltaE00;
}

/** Math.hypot guards against overflow that colours never reach, at several times the cost. */
function length(a: number, b: number): number {
  return Math.sqrt(a * a + b * b);
}

/** √(C⁷ / (C⁷ + 25⁷)) of (4) and (17): 0 for a grey, 1 for a strong colour. */
function chromaFactor(C: number): number {
  const C2 = C * C;
  const C7 = C2 * C2 * C2 * C;
  return Math.sqrt(C7 / (C7 + 25 ** 7));
}

/** T of (15), the hue-dependent part of SH, at a mean hue in degrees. */
export function hueWeight(meanHp: number): number {
  return (
    1 -
    0.17 * Math.cos((meanHp - 30) * DEGREE) +
    0.24 * Math.cos(2 * meanHp * DEGREE) +
    0.32 * Math.cos((3 * meanHp + 6) * DEGREE) -
    0.2 * Math.cos((4 * meanHp - 63) * DEGREE)
  );
}

/** −2 sin 2Δθ of (16), (17), (21): RT of the blue region before its chroma factor, mean hue in degrees. */
export function blueRotation(meanHp: number): number {
  const dTheta = 30 * Math.exp(-(((meanHp - 275) / 25) ** 2));
  return -2 * Math.sin(2 * dTheta * DEGREE);
}

/** (7): hue angle in 0–360°, 0 for a grey. */
function hueInDegrees(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const h = Math.atan2(b, a) / DEGREE;
  return h < 0 ? h + 360 : h;
}
