/**
 * A pair of glaze and dab under two lamps, as a camera would read it under each: true spectra, lamps,
 * sensors and tone curves of the generator; flat swatches beside the tile; each reading with its own
 * error, as curved ware, noise and codec leave it.
 */
import { Developer } from '../../calibration-samples/render/develop.ts';
import { camerasOf } from '../../calibration-samples/render/cameras.ts';
import { differenceE00 } from '../../calibration-samples/render/difference.ts';
import { sensorRgb, TONE_STYLES, type Tone } from '../../calibration-samples/render/isp.ts';
import { lampsOf, type Lamp, type Part } from '../../calibration-samples/render/lamps.ts';
import { inventPair } from '../../calibration-samples/render/pairs.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import {
  labUnder,
  labOfXyz,
  D65_WHITE,
  spectrumOf,
  xyzUnder,
  type Spectrum,
  type Triple,
} from '../../calibration-samples/render/spectra.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { D50 } from '../../src/colour/illuminants.ts';
import type { Matrix3 } from '../../src/reading/types.ts';
import type { UnderLamp } from '../../src/reading/across-lamps.ts';
import { logTriple, type LogTriple } from '../../src/reading/log-window.ts';
import { fitChart } from '../../src/reading/profile/fit-chart.ts';
import {
  lightOfEncoded,
  profileOf,
  SRGB_CURVE,
  type CameraProfile,
} from '../../src/reading/profile/profile.ts';
import { DEFAULT_THRESHOLDS, verdict } from '../../src/reading/verdict.ts';
import {
  deltaE00Interval,
  labDifference,
  uncertaintyShares,
} from '../../src/reading/uncertainty.ts';
import { CHARTS } from './profile-charts.ts';

/**
 * Standard deviation of the step of a reading in ln light, ln R/G and ln B/G at a surface of
 * reflectance 0.4: about 0.2 in L*, a* and b*. Darker ones have more, as photons have it.
 */
const STEP_ERROR = [0.005, 0.0014, 0.0014] as const;

export interface TwoLampScene {
  readonly seed: number;
  readonly pigments: 'same' | 'other';
  readonly lamps: readonly [string, string];
  /** True special metamerism index, ΔE₀₀, multiplicative correction, by the generator's own sums. */
  readonly trueIndex: number;
  /** The same as a vector, corrected dab minus glaze under the second lamp: ΔL*, Δa*, Δb*. */
  readonly trueChange: Triple;
  /** True ΔE₀₀ of the pair under each lamp. */
  readonly trueDeltaE00: readonly [number, number];
  readonly readings: readonly [UnderLamp, UnderLamp];
}

/** @param profiled the camera has a profile for each lamp, from a chart whose values are stated for D50 */
export function twoLampScene(seed: number, part: Part, profiled: boolean): TwoLampScene {
  const random = new Random(seed + 31_000_000);
  const lamps = lampsOf(part);
  const first = random.pick(lamps);
  const second = random.pick(lamps.filter((lamp) => lamp !== first));
  const camera = random.pick(camerasOf(part));
  const tone: Tone = { style: random.pick(TONE_STYLES), strength: random.uniform() };
  // Paint is mixed until it is near under the first lamp; that is when one looks under the second.
  const pair = inventPair(
    part,
    first.power,
    {
      kind: random.chance(0.3) ? 'same' : 'other',
      deltaE00: random.range(0, 3),
      lightness: random.pick([
        [20, 50],
        [50, 80],
        [75, 97],
      ] as const),
    },
    random,
  );
  const level = random.range(0.75, 0.9);
  const tile = spectrumOf(() => 0.84);
  const read = (lamp: Lamp): UnderLamp => {
    const developer = new Developer(
      camera,
      lamp,
      tone,
      sensorRgb(camera, lamp.power, tile),
      level,
      random.fork(),
    );
    const codes = (surface: Spectrum) =>
      developer
        .encoded(sensorRgb(camera, lamp.power, surface))
        .map((code) => Math.min(1, Math.max(0, code / 255))) as unknown as Triple;
    const profile = profiled ? profileUnder(codes) : undefined;
    const through = (surface: Spectrum) =>
      codes(surface).map((code, k) => lightOfEncoded(profile?.tone[k] ?? SRGB_CURVE, code));
    const white = through(tile);
    const logOf = (surface: Spectrum) => {
      const [r, g, b] = through(surface).map((v, i) => v / white[i]!);
      return logTriple(r!, g!, b!);
    };
    const glaze = logOf(pair.glaze);
    const dark = Math.sqrt(0.4 / Math.max(0.02, xyzUnder(lamp.power, pair.dab)[1]));
    const sigma = STEP_ERROR.map((v) => v * dark);
    const step = logOf(pair.dab).map(
      (v, k) => v - glaze[k]! + sigma[k]! * random.gaussian(),
    ) as unknown as LogTriple;
    const noise = [0, 1, 2].map((i) => [0, 1, 2].map((j) => (i === j ? sigma[i]! ** 2 : 0)));
    const difference = labDifference(
      { glaze, step, covariances: { noise: noise as unknown as Matrix3 }, turn: 0.05 },
      { lab: labD65(...labUnder(lamp.power, tile)), standardUncertainty: [0.3, 0.15, 0.2] },
      profile,
    );
    const { deltaE00, atMost } = deltaE00Interval(difference);
    const { glazeLab, dabLab, lab, covariance } = difference;
    return {
      lamp: lamp.id,
      glazeLab,
      dabLab,
      difference: { lab, deltaE00, covariance },
      verdict: { acceptable: verdict(atMost(DEFAULT_THRESHOLDS.acceptable)) },
      uncertainty: { shares: uncertaintyShares(difference) },
    };
  };
  return {
    seed,
    pigments: pair.kind,
    lamps: [first.id, second.id],
    ...indexOf(pair.glaze, pair.dab, first.power, second.power),
    trueDeltaE00: [first, second].map(({ power }) =>
      differenceE00(labUnder(power, pair.glaze), labUnder(power, pair.dab)),
    ) as [number, number],
    readings: [read(first), read(second)],
  };
}

/** Undefined where too few patches can be read. */
function profileUnder(codes: (surface: Spectrum) => Triple): CameraProfile | undefined {
  const patches = CHARTS[1]!.patches.map((surface, i) => ({
    name: String(i + 1),
    encoded: codes(surface),
    at: { x: 0, y: 0 },
    lab: labD65(...labUnder(D50.power as Spectrum, surface)),
  }));
  const fitted = fitChart(
    patches.filter(({ encoded }) => Math.max(...encoded) < 0.98 && Math.min(...encoded) > 0.02),
  );
  return fitted.ok ? profileOf(fitted.fit, { name: '', camera: '', madeOn: '' }) : undefined;
}

/** The CIE's index by the generator's own sums: X, Y, Z over each lamp's white. */
function indexOf(
  glaze: Spectrum,
  dab: Spectrum,
  reference: Spectrum,
  test: Spectrum,
): Pick<TwoLampScene, 'trueIndex' | 'trueChange'> {
  const relative = (lamp: Spectrum, surface: Spectrum): Triple => {
    const white = xyzUnder(
      lamp,
      spectrumOf(() => 1),
    );
    return xyzUnder(lamp, surface).map(
      (v, k) => (v / white[k]!) * D65_WHITE[k]!,
    ) as unknown as Triple;
  };
  const [glazeRef, dabRef] = [relative(reference, glaze), relative(reference, dab)];
  const dabTest = relative(test, dab);
  const corrected = dabTest.map((v, k) => (v * glazeRef[k]!) / dabRef[k]!) as unknown as Triple;
  const [from, to] = [labOfXyz(relative(test, glaze)), labOfXyz(corrected)];
  return {
    trueIndex: differenceE00(from, to),
    trueChange: [to[0] - from[0], to[1] - from[1], to[2] - from[2]],
  };
}
