/**
 * Cameras: invented spectral sensitivities with the faults of measured ones (overlaps, shoulders,
 * second lobes, infrared tails behind a cut filter), noise, and habits of their processing.
 */
import type { Part } from './lamps.ts';
import { Random } from './random.ts';
import { edge, skewedBell, spectrumOf, type Spectrum } from './spectra.ts';

export interface Camera {
  readonly id: string;
  readonly part: Part;
  /** Sensitivity of red, green, blue, arbitrary common scale. */
  readonly sensitivity: readonly [Spectrum, Spectrum, Spectrum];
  /** What its colour matrix was fitted under: the lamp itself, or the nearer of two presets. */
  readonly matrixFor: 'lamp' | 'preset';
  /** Electrons at the level of a white surface exposed to full range. */
  readonly fullWell: number;
  /** Read noise, electrons. */
  readonly readNoise: number;
  /** How much of one pixel's noise is shared with its neighbours by demosaicing, 0–0.5. */
  readonly noiseSpread: number;
  /** Blur of lens and demosaicing, standard deviation in pixels. */
  readonly blur: number;
  /** Unsharp mask on encoded luma, 0 none. */
  readonly sharpening: number;
  /** Log error of the automatic white balance: red and blue gain against green. */
  readonly balanceError: readonly [number, number];
  /** Share of the lamp's cast that the automatic white balance leaves in the picture, 0–0.16. */
  readonly castLeft: number;
  /** Stray light in the lens: share of the picture's mean spread over all of it. */
  readonly flare: number;
}

function inventCamera(id: string, part: Part, random: Random): Camera {
  const r = (low: number, high: number) => random.range(low, high);
  const uvCut = r(398, 422);
  const irCut = r(645, 690);
  const filter = (nm: number) => edge(nm, uvCut, r0) * (1 - edge(nm, irCut, irWidth)) + leak;
  const r0 = r(6, 16);
  const irWidth = r(12, 30);
  const leak = random.chance(0.4) ? r(0, 0.006) : 0;
  type Lobe = readonly [number, number, number, number];
  const channel = (lobes: readonly Lobe[]): Spectrum =>
    spectrumOf(
      (nm) =>
        filter(nm) * lobes.reduce((sum, [p, a, b, h]) => sum + h * skewedBell(nm, p, a, b), 0),
    );
  const red = channel([
    [r(592, 618), r(18, 32), r(38, 70), 1],
    [r(640, 690), r(20, 40), r(25, 50), r(0, 0.35)],
    [r(520, 550), r(25, 40), r(20, 35), r(0.04, 0.22)],
    [r(425, 465), r(15, 30), r(15, 35), r(0, 0.16)],
  ]);
  const green = channel([
    [r(520, 543), r(28, 42), r(30, 46), r(0.95, 1.25)],
    [r(480, 500), r(12, 26), r(12, 24), r(0, 0.22)],
    [r(595, 625), r(15, 30), r(25, 50), r(0.02, 0.18)],
    [r(430, 460), r(15, 30), r(15, 30), r(0.01, 0.12)],
    [r(700, 740), 30, 40, r(0, 0.2)],
  ]);
  const blue = channel([
    [r(446, 470), r(20, 32), r(22, 38), r(0.75, 1)],
    [r(495, 525), r(12, 25), r(14, 32), r(0.03, 0.28)],
    [r(580, 640), r(20, 40), r(20, 50), r(0, 0.05)],
    [r(720, 760), 40, 40, r(0, 0.25)],
  ]);
  return {
    id,
    part,
    sensitivity: [red, green, blue],
    matrixFor: random.chance(0.5) ? 'lamp' : 'preset',
    fullWell: random.logRange(2500, 22000),
    readNoise: r(1.5, 7),
    noiseSpread: r(0.1, 0.45),
    blur: r(0.35, 1),
    sharpening: random.chance(0.5) ? r(0.15, 0.7) : 0,
    balanceError: [0.035 * random.gaussian(), 0.045 * random.gaussian()],
    castLeft: random.chance(0.5) ? r(0, 0.16) : 0,
    flare: r(0, 0.006),
  };
}

const partOf = (part: Part, seed: number): readonly Camera[] => {
  const random = new Random(seed);
  return Array.from({ length: 12 }, (_, i) =>
    inventCamera(`${part}-camera-${i + 1}`, part, random),
  );
};

export const CAMERAS: readonly Camera[] = [...partOf('tune', 4101), ...partOf('judge', 9203)];

export const camerasOf = (part: Part): readonly Camera[] =>
  CAMERAS.filter((camera) => camera.part === part);
