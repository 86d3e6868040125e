/** Charts for judging profiles: invented spectra of 24 patches, six of them greys with a hint of colour. */
import { Random } from '../../calibration-samples/render/random.ts';
import {
  edge,
  skewedBell,
  spectrumOf,
  type Spectrum,
} from '../../calibration-samples/render/spectra.ts';

export interface InventedChart {
  readonly name: string;
  /** Row by row, 4 × 6; the greys last. */
  readonly patches: readonly Spectrum[];
}

const greys = (random: Random): Spectrum[] =>
  [0.89, 0.58, 0.36, 0.19, 0.09, 0.035].map((level) => {
    const tilt = random.range(-0.02, 0.02);
    return spectrumOf((nm) => level * (1 + (tilt * (nm - 580)) / 200));
  });

/** Eighteen bells and edges of varied width, evenly over the spectrum; none chosen by its colour. */
const even: InventedChart = (() => {
  const random = new Random(77);
  const grey = greys(random);
  const colours = Array.from({ length: 18 }, (_, i) => {
    const low = random.range(0.03, 0.12);
    const high = random.range(0.3, 0.75);
    const at = 430 + ((i % 9) / 9) * 220;
    const width = random.range(25, 60);
    if (i % 3 === 0) return spectrumOf((nm) => low + (high - low) * edge(nm, at + 30, width));
    if (i % 3 === 1) return spectrumOf((nm) => low + (high - low) * skewedBell(nm, at, width, 50));
    return spectrumOf((nm) => high - (high - low) * skewedBell(nm, at, width, 45));
  });
  return { name: 'even', patches: [...colours, ...grey] };
})();

/**
 * As charts are commonly laid out (common practice, no source): light and dark earths as of skin, sky and
 * leaf, pale and strong primaries all round the hue circle. Every figure invented.
 */
const spread: InventedChart = (() => {
  const rise = (low: number, high: number, at: number, width: number) =>
    spectrumOf((nm) => low + (high - low) * edge(nm, at, width));
  const hump = (low: number, high: number, at: number, left: number, right: number) =>
    spectrumOf((nm) => low + (high - low) * skewedBell(nm, at, left, right));
  const dip = (low: number, high: number, at: number, left: number, right: number) =>
    spectrumOf((nm) => high - (high - low) * skewedBell(nm, at, left, right));
  const patches = [
    rise(0.055, 0.19, 590, 70),
    rise(0.2, 0.58, 575, 80),
    hump(0.13, 0.33, 465, 45, 70),
    hump(0.055, 0.16, 545, 32, 60),
    dip(0.2, 0.44, 570, 70, 65),
    hump(0.24, 0.57, 505, 55, 60),
    rise(0.055, 0.58, 585, 28),
    hump(0.06, 0.36, 455, 30, 38),
    rise(0.1, 0.55, 605, 20),
    dip(0.05, 0.2, 540, 60, 70),
    hump(0.06, 0.44, 545, 40, 85),
    rise(0.06, 0.62, 560, 30),
    hump(0.045, 0.29, 445, 28, 30),
    hump(0.06, 0.31, 530, 32, 38),
    rise(0.045, 0.6, 615, 18),
    rise(0.07, 0.76, 518, 24),
    dip(0.09, 0.66, 525, 70, 55),
    hump(0.07, 0.36, 490, 40, 45),
  ];
  return { name: 'spread', patches: [...patches, ...greys(new Random(78))] };
})();

export const CHARTS: readonly InventedChart[] = [even, spread];
