/**
 * Relative spectral power of lights, 380–780 nm at 5 nm. Only ratios within one light mean anything.
 * D65 and A are standards; the F and LED series are the CIE's typical lamps; Planckian and daylight
 * functions give any colour temperature.
 */
import { TABLE_WAVELENGTHS_NM, tableSpectrum, type TableSpectrum } from './grid.ts';

/** A named light. */
export interface Illuminant {
  readonly name: string;
  /** Relative spectral power, arbitrary scale, ≥ 0. */
  readonly power: TableSpectrum;
}

/** CIE standard illuminant D65, ISO/CIE 11664-2:2022; 100 at 560 nm. Figures: Debian colord-data 1.4.6. */
export const D65: Illuminant = {
  name: 'D65',
  power: tableSpectrum([
    49.9755, 52.3118, 54.6482, 68.7015, 82.7549, 87.1204, 91.486, 92.4589, 93.4318, 90.057, 86.6823,
    95.7736, 104.865, 110.936, 117.008, 117.41, 117.812, 116.336, 114.861, 115.392, 115.923,
    112.367, 108.811, 109.082, 109.354, 108.578, 107.802, 106.296, 104.79, 106.239, 107.689,
    106.047, 104.405, 104.225, 104.046, 102.023, 100, 98.1671, 96.3342, 96.0611, 95.788, 92.2368,
    88.6856, 89.3459, 90.0062, 89.8026, 89.5991, 88.6489, 87.6987, 85.4936, 83.2886, 83.4939,
    83.6992, 81.863, 80.0268, 80.1207, 80.2146, 81.2462, 82.2778, 80.281, 78.2842, 74.0027, 69.7213,
    70.6652, 71.6091, 72.979, 74.349, 67.9765, 61.604, 65.7448, 69.8856, 72.4863, 75.087, 69.3398,
    63.5927, 55.0054, 46.4182, 56.6118, 66.8054, 65.0941, 63.3828,
  ]),
};

/** CIE standard illuminant A by its defining equation, ISO/CIE 11664-2:2022; 100 at 560 nm. */
export const A: Illuminant = {
  name: 'A',
  power: spectrumOf(
    (nm) =>
      100 *
      (560 / nm) ** 5 *
      (Math.expm1(1.435e7 / (2848 * 560)) / Math.expm1(1.435e7 / (2848 * nm))),
  ),
};

// CIE illuminants representing typical fluorescent lamps, CIE 15. Figures: Debian colord-data 1.4.6.

/** F2: cool white halophosphate, about 4230 K. */
export const F2: Illuminant = {
  name: 'F2',
  power: tableSpectrum([
    1.18, 1.48, 1.84, 2.15, 3.44, 15.69, 3.85, 3.74, 4.19, 4.62, 5.06, 34.98, 11.81, 6.27, 6.63,
    6.93, 7.19, 7.4, 7.54, 7.62, 7.65, 7.62, 7.62, 7.45, 7.28, 7.15, 7.05, 7.04, 7.16, 7.47, 8.04,
    8.88, 10.01, 24.88, 16.64, 14.59, 16.16, 17.56, 18.62, 21.47, 22.79, 19.29, 18.66, 17.73, 16.54,
    15.21, 13.8, 12.36, 10.95, 9.65, 8.4, 7.32, 6.31, 5.43, 4.68, 4.02, 3.45, 2.96, 2.55, 2.19,
    1.89, 1.64, 1.53, 1.27, 1.1, 0.99, 0.88, 0.76, 0.68, 0.61, 0.56, 0.54, 0.51, 0.47, 0.47, 0.43,
    0.46, 0.47, 0.4, 0.33, 0.27,
  ]),
};
/** F7: broad-band daylight, about 6500 K. */
export const F7: Illuminant = {
  name: 'F7',
  power: tableSpectrum([
    2.56, 3.18, 3.84, 4.53, 6.15, 19.37, 7.37, 7.05, 7.71, 8.41, 9.15, 44.14, 17.52, 11.35, 12,
    12.58, 13.08, 13.45, 13.71, 13.88, 13.95, 13.93, 13.82, 13.64, 13.43, 13.25, 13.08, 12.93,
    12.78, 12.6, 12.44, 12.33, 12.26, 29.52, 17.05, 12.44, 12.58, 12.72, 12.83, 15.46, 16.75, 12.83,
    12.67, 12.45, 12.19, 11.89, 11.6, 11.35, 11.12, 10.95, 10.76, 10.42, 10.11, 10.04, 10.02, 10.11,
    9.87, 8.65, 7.27, 6.44, 5.83, 5.41, 5.04, 4.57, 4.12, 3.77, 3.46, 3.08, 2.73, 2.47, 2.25, 2.06,
    1.9, 1.75, 1.62, 1.54, 1.45, 1.32, 1.17, 0.99, 0.81,
  ]),
};
/** F11: three narrow bands, about 4000 K. */
export const F11: Illuminant = {
  name: 'F11',
  power: tableSpectrum([
    0.91, 0.63, 0.46, 0.37, 1.29, 12.68, 1.59, 1.79, 2.46, 3.33, 4.49, 33.94, 12.13, 6.95, 7.19,
    7.12, 6.72, 6.13, 5.46, 4.79, 5.66, 14.29, 14.96, 8.97, 4.72, 2.33, 1.47, 1.1, 0.89, 0.83, 1.18,
    4.9, 39.59, 72.84, 32.61, 7.52, 2.83, 1.96, 1.67, 4.43, 11.28, 14.76, 12.73, 9.74, 7.33, 9.72,
    55.27, 42.58, 13.18, 13.16, 12.26, 5.11, 2.07, 2.34, 3.58, 3.01, 2.48, 2.14, 1.54, 1.33, 1.46,
    1.94, 2, 1.2, 1.35, 4.1, 5.58, 2.51, 0.57, 0.27, 0.23, 0.21, 0.24, 0.24, 0.2, 0.24, 0.32, 0.26,
    0.16, 0.12, 0.09,
  ]),
};

// CIE illuminants representing typical LED lamps, CIE 015:2018 (data set doi
// 10.25039/CIE.DS.dhcw57sd), all phosphor-converted blue LEDs.

/** LED-B3: 4103 K. */
export const LED_B3: Illuminant = {
  name: 'LED-B3',
  power: tableSpectrum([
    0, 0, 0.01, 0.02, 0.05, 0.11, 0.25, 0.56, 1.2, 2.37, 4.24, 7.17, 12.11, 17.7, 18.87, 14.58, 9.9,
    7.53, 6.02, 5.11, 5.17, 5.82, 6.77, 7.88, 8.94, 9.82, 10.52, 11.06, 11.51, 11.93, 12.37, 12.83,
    13.31, 13.79, 14.26, 14.68, 15.08, 15.42, 15.72, 15.97, 16.18, 16.37, 16.5, 16.55, 16.5, 16.32,
    16, 15.54, 14.96, 14.27, 13.48, 12.62, 11.71, 10.78, 9.85, 8.93, 8.04, 7.2, 6.42, 5.69, 5.02,
    4.42, 3.88, 3.39, 2.95, 2.56, 2.22, 1.92, 1.65, 1.43, 1.23, 1.06, 0.91, 0.78, 0.68, 0.58, 0.5,
    0.43, 0.37, 0.32, 0.28,
  ]),
};
/** LED-B4: 5109 K. */
export const LED_B4: Illuminant = {
  name: 'LED-B4',
  power: tableSpectrum([
    0, 0, 0, 0.01, 0.03, 0.08, 0.21, 0.54, 1.31, 2.75, 5.04, 8.31, 13.37, 20.61, 25.91, 24.12,
    17.47, 11.9, 8.62, 6.34, 4.89, 4.25, 4.19, 4.7, 5.77, 7.27, 8.94, 10.6, 12.11, 13.36, 14.3,
    15.02, 15.54, 15.9, 16.15, 16.33, 16.42, 16.44, 16.36, 16.2, 15.98, 15.7, 15.36, 14.93, 14.44,
    13.86, 13.24, 12.57, 11.84, 11.12, 10.38, 9.65, 8.91, 8.19, 7.51, 6.86, 6.21, 5.6, 5.05, 4.54,
    4.05, 3.62, 3.23, 2.87, 2.53, 2.24, 1.99, 1.76, 1.55, 1.37, 1.21, 1.07, 0.95, 0.85, 0.75, 0.67,
    0.61, 0.55, 0.5, 0.45, 0.42,
  ]),
};
/** LED-B5: 6598 K. */
export const LED_B5: Illuminant = {
  name: 'LED-B5',
  power: tableSpectrum([
    0, 0.01, 0.01, 0.03, 0.07, 0.16, 0.35, 0.78, 1.67, 3.3, 5.94, 9.92, 16.15, 25.15, 32.34, 31.18,
    23.46, 16.39, 12.08, 9.08, 7.21, 6.48, 6.49, 7.05, 8.1, 9.45, 10.88, 12.22, 13.38, 14.29, 14.98,
    15.48, 15.81, 16.01, 16.1, 16.13, 16.1, 15.98, 15.77, 15.5, 15.15, 14.76, 14.31, 13.79, 13.22,
    12.59, 11.91, 11.2, 10.47, 9.73, 9, 8.27, 7.57, 6.9, 6.25, 5.65, 5.08, 4.55, 4.06, 3.61, 3.22,
    2.86, 2.54, 2.26, 2, 1.75, 1.54, 1.36, 1.2, 1.05, 0.93, 0.82, 0.72, 0.64, 0.56, 0.49, 0.44,
    0.39, 0.35, 0.31, 0.27,
  ]),
};

/**
 * A Planckian radiator at `kelvin`, 100 at 560 nm (CIE 15, with c₂ = 1.4388 × 10⁻² m·K, ITS-90).
 * Throws a RangeError unless the temperature is above zero and finite.
 */
export function planckian(kelvin: number): Illuminant {
  if (!(kelvin > 0 && kelvin < Infinity)) {
    throw new RangeError(`a colour temperature must be above 0 K, not ${kelvin}`);
  }
  const exponent = (nm: number) => 1.4388e7 / (kelvin * nm);
  const power = (nm: number) =>
    // exp(a)−1 over exp(b)−1, written so that a cold radiator does not overflow.
    100 *
    (560 / nm) ** 5 *
    Math.exp(exponent(560) - exponent(nm)) *
    (Math.expm1(-exponent(560)) / Math.expm1(-exponent(nm)));
  return { name: `Planckian ${kelvin} K`, power: spectrumOf(power) };
}

/**
 * CIE daylight of correlated colour temperature `kelvin`, 4000–25 000 K, 100 at 560 nm: S₀, S₁ and S₂
 * of CIE 15:2004 table T.2 weighted by M₁ and M₂ (eq. 3.1–3.6), rounded to three decimals as the
 * CIE does for its own tables. A nominal D50 is at 5000 × 1.4388 / 1.4380 K. Throws a RangeError
 * outside the range.
 */
export function daylight(kelvin: number): Illuminant {
  const { x, y } = daylightChromaticity(kelvin);
  const M = 0.0241 + 0.2562 * x - 0.7341 * y;
  const M1 = rounded3((-1.3515 - 1.7703 * x + 5.9114 * y) / M);
  const M2 = rounded3((0.03 - 31.4424 * x + 30.0717 * y) / M);
  const S = (component: readonly number[], nm: number) => {
    const at = (nm - 380) / 10;
    const low = Math.floor(at);
    const left = component[low]!;
    return left + (at - low) * ((component[low + 1] ?? left) - left);
  };
  return {
    name: `daylight ${kelvin} K`,
    power: spectrumOf((nm) => S(S0, nm) + M1 * S(S1, nm) + M2 * S(S2, nm)),
  };
}

/** Chromaticity of CIE daylight, CIE 15:2004 eq. 3.1–3.4. Throws a RangeError outside 4000–25 000 K. */
export function daylightChromaticity(kelvin: number): { readonly x: number; readonly y: number } {
  if (!(kelvin >= 4000 && kelvin <= 25000)) {
    throw new RangeError(`CIE daylight is defined for 4000–25 000 K, not ${kelvin} K`);
  }
  const t = 1000 / kelvin;
  const x =
    kelvin <= 7000
      ? -4.607 * t ** 3 + 2.9678 * t ** 2 + 0.09911 * t + 0.244063
      : -2.0064 * t ** 3 + 1.9018 * t ** 2 + 0.24748 * t + 0.23704;
  return { x, y: -3 * x ** 2 + 2.87 * x - 0.275 };
}

function rounded3(value: number): number {
  return Math.round(value * 1000) / 1000;
}

function spectrumOf(power: (nm: number) => number): TableSpectrum {
  return tableSpectrum(TABLE_WAVELENGTHS_NM.map(power));
}

/**
 * Components of daylight, CIE 15:2004 table T.2, 380–780 nm at 10 nm; between them the CIE
 * interpolates linearly. Figures: Debian colord-data 1.4.6 (CIE-1986-daylight-SPD.cmf).
 */
const S0 = [
  63.4, 65.8, 94.8, 104.8, 105.9, 96.8, 113.9, 125.6, 125.5, 121.3, 121.3, 113.5, 113.1, 110.8,
  106.5, 108.8, 105.3, 104.4, 100, 96, 95.1, 89.1, 90.5, 90.3, 88.4, 84, 85.1, 81.9, 82.6, 84.9,
  81.3, 71.9, 74.3, 76.4, 63.3, 71.7, 77, 65.2, 47.7, 68.6, 65,
];
const S1 = [
  38.5, 35, 43.4, 46.3, 43.9, 37.1, 36.7, 35.9, 32.6, 27.9, 24.3, 20.1, 16.2, 13.2, 8.6, 6.1, 4.2,
  1.9, 0, -1.6, -3.5, -3.5, -5.8, -7.2, -8.6, -9.5, -10.9, -10.7, -12, -14, -13.6, -12, -13.3,
  -12.9, -10.6, -11.6, -12.2, -10.2, -7.8, -11.2, -10.4,
];
const S2 = [
  3, 1.2, -1.1, -0.5, -0.7, -1.2, -2.6, -2.9, -2.8, -2.6, -2.6, -1.8, -1.5, -1.3, -1.2, -1, -0.5,
  -0.3, 0, 0.2, 0.5, 2.1, 3.2, 4.1, 4.7, 5.1, 6.7, 7.3, 8.6, 9.8, 10.2, 8.3, 9.6, 8.5, 7, 7.6, 8,
  6.7, 5.2, 7.4, 6.8,
];

/** CIE illuminant D50, by the daylight equation at 5000 K nominal. */
export const D50: Illuminant = { ...daylight((5000 * 1.4388) / 1.438), name: 'D50' };
