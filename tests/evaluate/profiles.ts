/**
 * What a chart profile is worth: charts of 24 invented patches and the scenes' own glazes and dabs as flat
 * swatches where the tile lies, through the renderer's cameras, their tone curves and boosts, under its
 * lamps. The chart's reference is stated for D50, as charts come, or for the lamp itself.
 */
import { developerOf } from '../../calibration-samples/render/bench.ts';
import { sensorRgb } from '../../calibration-samples/render/isp.ts';
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import {
  edge,
  labUnder,
  skewedBell,
  spectrumOf,
  type Spectrum,
  type Triple,
} from '../../calibration-samples/render/spectra.ts';
import type { Surface } from '../../calibration-samples/render/scene.ts';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { D50 } from '../../src/colour/illuminants.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { logTriple, type LogTriple } from '../../src/reading/log-window.ts';
import { fitChart, type ChartPatch } from '../../src/reading/profile/fit-chart.ts';
import { labThroughProfile, lightOfEncoded } from '../../src/reading/profile/profile.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import { deltaE00Interval, labDifference } from '../../src/reading/uncertainty.ts';

/** Invented: six greys with a hint of colour, eighteen bells and edges of varied width. */
const PATCHES: readonly Spectrum[] = (() => {
  const random = new Random(77);
  const greys = [0.89, 0.58, 0.36, 0.19, 0.09, 0.035].map((level) => {
    const tilt = random.range(-0.02, 0.02);
    return spectrumOf((nm) => level * (1 + (tilt * (nm - 580)) / 200));
  });
  const colours = Array.from({ length: 18 }, (_, i) => {
    const low = random.range(0.03, 0.12);
    const high = random.range(0.3, 0.75);
    const at = 430 + ((i % 9) / 9) * 220;
    const width = random.range(25, 60);
    if (i % 3 === 0) return spectrumOf((nm) => low + (high - low) * edge(nm, at + 30, width));
    if (i % 3 === 1) return spectrumOf((nm) => low + (high - low) * skewedBell(nm, at, width, 50));
    return spectrumOf((nm) => high - (high - low) * skewedBell(nm, at, width, 45));
  });
  return [...colours, ...greys];
})();

const lab = (power: Spectrum, surface: Spectrum): LabD65 => labD65(...labUnder(power, surface));

interface Errors {
  readonly absolute: number[];
  readonly same: number[];
  readonly leftOut: number[];
  /** Does the difference's 95 % interval hold the truth: dabs of the glaze's own pigments, and of others. */
  readonly covers: { readonly same: boolean[]; readonly other: boolean[] };
  readonly halfWidths: number[];
  refused: number;
}

export function evaluateProfiles(scenes: number, part: Part, firstSeed: number): string {
  const lines = [
    'reference for  absolute mean  95th   same pigments mean  95th   left out  covers same  covers other  half-width  fitted',
  ];
  for (const reference of ['lamp', 'D50'] as const) {
    const errors: Errors = {
      absolute: [],
      same: [],
      leftOut: [],
      covers: { same: [], other: [] },
      halfWidths: [],
      refused: 0,
    };
    for (let seed = firstSeed; seed < firstSeed + scenes; seed++)
      oneCamera(seed, part, reference, errors);
    lines.push(
      [
        reference.padEnd(14),
        mean(errors.absolute).toFixed(2).padEnd(14),
        percentile(errors.absolute, 0.95).toFixed(2).padEnd(6),
        mean(errors.same).toFixed(2).padEnd(19),
        percentile(errors.same, 0.95).toFixed(2).padEnd(6),
        mean(errors.leftOut).toFixed(2).padEnd(9),
        share(errors.covers.same).padEnd(12),
        share(errors.covers.other).padEnd(13),
        percentile(errors.halfWidths, 0.5).toFixed(2).padEnd(11),
        `${String(errors.leftOut.length)} of ${String(errors.leftOut.length + errors.refused)}`,
      ].join(' '),
    );
  }
  lines.push(
    'to reach       1.00           2.00   0.15                0.40             93–97 %      93–97 %',
  );
  return lines.join('\n');
}

function oneCamera(seed: number, part: Part, reference: 'lamp' | 'D50', errors: Errors): void {
  const scene = sampleScene(seed, part, {});
  if (scene.tile === undefined) return;
  const developer = developerOf(scene, new Random(1));
  const { power } = scene.lamp;
  const noise = new Random(seed);
  const codes = (surface: Spectrum): Triple =>
    developer
      .encoded(sensorRgb(scene.camera, power, surface))
      .map((code) => Math.min(255, code + 0.2 * noise.gaussian()) / 255) as unknown as Triple;
  const patches: ChartPatch[] = PATCHES.map((surface, i) => ({
    name: String(i + 1),
    encoded: codes(surface),
    at: { x: ((i % 6) - 2.5) / 3, y: (Math.floor(i / 6) - 1.5) / 2 },
    lab: lab(reference === 'lamp' ? power : (D50.power as Spectrum), surface),
  }));
  const usable = patches.filter(
    ({ encoded }) => Math.max(...encoded) < 0.98 && Math.min(...encoded) > 0.02,
  );
  const fitted = fitChart(usable);
  if (!fitted.ok) {
    errors.refused++;
    return;
  }
  const { tone, colour } = fitted.fit;
  errors.leftOut.push(colour.leftOut.mean);
  const own = ({ steps }: Surface) => steps[(steps.length - 1) / 2]!;
  const tile = own(scene.things[scene.tile]!.surface);
  const light = (surface: Spectrum) =>
    codes(surface).map((code, k) => lightOfEncoded(tone[k]!, code)) as unknown as Triple;
  const white = light(tile);
  const read = (surface: Spectrum): LabD65 => {
    const relative = light(surface).map((v, k) => v / white[k]!) as unknown as Triple;
    return labThroughProfile(colour, relative, lab(power, tile));
  };
  const logOf = (surface: Spectrum) => {
    const [r, g, b] = light(surface).map((v, k) => v / white[k]!) as unknown as Triple;
    return logTriple(r, g, b);
  };
  const surfaces = [scene.things[scene.piece]!.surface, scene.dab.surface].map(own);
  const [glaze, dab] = surfaces.map((surface) => read(surface));
  const [trueGlaze, trueDab] = surfaces.map((surface) => lab(power, surface));
  errors.absolute.push(deltaE00(glaze!, trueGlaze!), deltaE00(dab!, trueDab!));
  const [glazeLog, dabLog] = surfaces.map((surface) => logOf(surface)) as [LogTriple, LogTriple];
  const difference = labDifference(
    {
      glaze: glazeLog,
      step: [dabLog[0] - glazeLog[0], dabLog[1] - glazeLog[1], dabLog[2] - glazeLog[2]],
      covariances: { shading: CODE_NOISE },
      // Flat swatches in the tile's own light.
      turn: 0,
    },
    { lab: lab(power, tile), standardUncertainty: DEFAULT_SETTINGS.tileColour.standardUncertainty },
    { name: '', camera: '', madeOn: '', ...fitted.fit },
  );
  const [low, high] = deltaE00Interval(difference).interval95;
  const truth = deltaE00(trueGlaze!, trueDab!);
  errors.covers[scene.traits.pigments === 'same' ? 'same' : 'other'].push(
    truth >= low && truth <= high,
  );
  errors.halfWidths.push((high - low) / 2);
  if (scene.traits.pigments === 'same') {
    errors.same.push(Math.abs(deltaE00(glaze!, dab!) - deltaE00(trueGlaze!, trueDab!)));
  }
}

/** Of the step: 0.2 of 255 codes on either side, in ln of light about the middle of the range. */
const CODE_NOISE = [
  [1e-5, 0, 0],
  [0, 2e-5, 0],
  [0, 0, 2e-5],
] as const;

const share = (all: readonly boolean[]): string =>
  `${((100 * all.filter(Boolean).length) / all.length).toFixed(0)} % of ${String(all.length)}`;
const mean = (values: readonly number[]): number =>
  values.reduce((sum, v) => sum + v, 0) / values.length;
function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((p, q) => p - q);
  return sorted[Math.floor(share * (sorted.length - 1))] ?? NaN;
}
