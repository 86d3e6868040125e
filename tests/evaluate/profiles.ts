/**
 * What a chart profile is worth: charts of 24 invented patches and pairs of glaze and dab as flat swatches
 * where the tile lies, through the renderer's cameras, their tone curves and boosts, under its lamps. The
 * chart's values are stated for the lamp itself, or for D50, as charts come.
 */
import { Developer } from '../../calibration-samples/render/develop.ts';
import { drawDraft, type Draft } from '../../calibration-samples/render/draft.ts';
import { sensorRgb } from '../../calibration-samples/render/isp.ts';
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { tileReflectance } from '../../calibration-samples/render/materials.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import {
  D65_WHITE,
  labUnder,
  xyzD65Under,
  type Spectrum,
  type Triple,
} from '../../calibration-samples/render/spectra.ts';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { D50 } from '../../src/colour/illuminants.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { logTriple, type LogTriple } from '../../src/reading/log-window.ts';
import { fitChart, type ChartPatch } from '../../src/reading/profile/fit-chart.ts';
import { fitTransforms } from '../../src/reading/profile/fit-transform.ts';
import { fixedDraws, plausibleSurface } from '../../src/reading/profile/plausible.ts';
import { labThroughProfile, lightOfEncoded } from '../../src/reading/profile/profile.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import { deltaE00Interval, labDifference } from '../../src/reading/uncertainty.ts';
import { CHARTS, type InventedChart } from './profile-charts.ts';
import { table } from './print.ts';

const lab = (power: Spectrum, surface: Spectrum): LabD65 => labD65(...labUnder(power, surface));

/** Pairs of each kind that are read through one profile, besides the scene's own. */
const PAIRS = 4;
/** Of the readings' scenes a quarter are of other pigments: 205 of 800 judged ones from seeds 2001 and 3001. */
const OF_OTHERS = 0.26;
/** Standard deviation of a swatch's mean code, of 255. */
const NOISE = 0.2;

type Stated = 'for the lamp' | 'for D50';
interface Figures {
  readonly absolute: number[];
  readonly same: number[];
  /** The same without the swatches' own noise: what the profile alone does. */
  readonly sameExact: number[];
  readonly other: number[];
  readonly leftOut: number[];
  readonly covers: { readonly same: boolean[]; readonly other: boolean[] };
  readonly halfWidths: number[];
  refused: number;
}

export function evaluateProfiles(scenes: number, part: Part, firstSeed: number): string {
  const rows: string[][] = [
    ['chart', 'stated', 'absolute', 'same', 'without noise', 'other', 'left out', 'covers, as many others as in readings', 'of same', 'of other', 'half-width', 'fitted'],
  ]; // prettier-ignore
  for (const chart of CHARTS) {
    for (const stated of ['for the lamp', 'for D50'] as const) {
      const figures: Figures = {
        absolute: [],
        same: [],
        sameExact: [],
        other: [],
        leftOut: [],
        covers: { same: [], other: [] },
        halfWidths: [],
        refused: 0,
      };
      for (let seed = firstSeed; seed < firstSeed + scenes; seed++) {
        oneCamera(seed, part, chart, stated, figures);
      }
      rows.push([chart.name, stated, ...cells(figures)]);
    }
  }
  rows.push(floor(scenes, part, firstSeed));
  rows.push(['to reach', '', '1.00 2.00', '0.15 0.40', '', '', '', '93–97 %', '', '', '', '']);
  return `${table(rows)}\n(errors in ΔE₀₀: mean and 95th percentile)`;
}

function cells(figures: Figures) {
  const { absolute, same, sameExact, other, leftOut, covers, halfWidths, refused } = figures;
  return [
    spread(absolute),
    spread(same),
    spread(sameExact),
    spread(other),
    mean(leftOut).toFixed(2),
    `${(100 * ((1 - OF_OTHERS) * shareOf(covers.same) + OF_OTHERS * shareOf(covers.other))).toFixed(1)} %`,
    share(covers.same),
    share(covers.other),
    percentile(halfWidths, 0.5).toFixed(2),
    `${String(leftOut.length)} of ${String(leftOut.length + refused)}`,
  ];
}

function oneCamera(
  seed: number,
  part: Part,
  chart: InventedChart,
  stated: Stated,
  figures: Figures,
): void {
  const random = new Random(seed);
  const draft = drawDraft(part, {}, random.fork());
  const bench = benchOf(draft, seed);
  const { power } = draft.lamp;
  const patches: ChartPatch[] = chart.patches.map((surface, i) => ({
    name: String(i + 1),
    encoded: bench.codes(surface),
    at: { x: ((i % 6) - 2.5) / 3, y: (Math.floor(i / 6) - 1.5) / 2 },
    lab: lab(stated === 'for D50' ? (D50.power as Spectrum) : power, surface),
    statedFor: stated === 'for D50' ? 'D50' : 'lamp',
  }));
  const usable = patches.filter(
    ({ encoded }) => Math.max(...encoded) < 0.98 && Math.min(...encoded) > 0.02,
  );
  const fitted = fitChart(usable);
  if (!fitted.ok) {
    figures.refused++;
    return;
  }
  const { tone, colour } = fitted.fit;
  figures.leftOut.push(colour.leftOut.mean);
  const light = (codes: Triple) =>
    codes.map((code, k) => lightOfEncoded(tone[k]!, code)) as unknown as Triple;
  const white = light(bench.codes(bench.tile));
  const tileLab = lab(power, bench.tile);
  for (const { glaze, dab, kind } of pairsOf(draft, part, random)) {
    const codes = [glaze, dab].map((surface) => bench.codes(surface)) as [Triple, Triple];
    const relative = codes.map((seen) =>
      light(seen).map((v, k) => v / white[k]!),
    ) as unknown as readonly [Triple, Triple];
    const truth = [lab(power, glaze), lab(power, dab)] as const;
    const trueDifference = deltaE00(...truth);
    relative.forEach((seen, i) => {
      figures.absolute.push(deltaE00(labThroughProfile(colour, seen, tileLab), truth[i]!));
    });
    const [glazeLog, dabLog] = relative.map((seen) => logTriple(...seen)) as [LogTriple, LogTriple];
    const difference = labDifference(
      {
        glaze: glazeLog,
        step: dabLog.map((v, k) => v - glazeLog[k]!) as unknown as LogTriple,
        covariances: { noise: noiseOf(codes, (seen) => logTriple(...over(light(seen), white))) },
        // Flat swatches in the tile's own light.
        turn: 0,
      },
      { lab: tileLab, standardUncertainty: DEFAULT_SETTINGS.tileColour.standardUncertainty },
      { name: '', camera: '', madeOn: '', ...fitted.fit },
    );
    const {
      deltaE00: read,
      interval95: [low, high],
    } = deltaE00Interval(difference);
    figures[kind].push(Math.abs(read - trueDifference));
    if (kind === 'same') {
      const [g, d] = [glaze, dab].map((surface) =>
        labThroughProfile(colour, over(light(bench.clean(surface)), white), tileLab),
      ) as [LabD65, LabD65];
      figures.sameExact.push(Math.abs(deltaE00(g, d) - trueDifference));
    }
    figures.covers[kind].push(trueDifference >= low && trueDifference <= high);
    figures.halfWidths.push((high - low) / 2);
  }
}

/**
 * What any transform could reach: sensor light as it is, no noise and no codes, and 1500 surfaces of every
 * kind in place of a chart. What is left is that a camera is no observer.
 */
function floor(scenes: number, part: Part, firstSeed: number): string[] {
  const draw = fixedDraws(2);
  const surfaces = Array.from({ length: 1500 }, () => plausibleSurface(draw));
  const errors = { absolute: [] as number[], same: [] as number[], other: [] as number[] };
  const way = { method: 'root-polynomial', spread: 1e6 } as const;
  for (let seed = firstSeed; seed < firstSeed + scenes; seed++) {
    const random = new Random(seed);
    const draft = drawDraft(part, {}, random.fork());
    const { power } = draft.lamp;
    const seen = (surface: Spectrum) => sensorRgb(draft.camera, power, surface);
    const many = surfaces.map((surface) => ({
      rgb: seen(surface),
      xyz: xyzD65Under(power, surface).map((v, k) => v / D65_WHITE[k]!) as unknown as Triple,
    }));
    const { lamp } = fitTransforms(way, many, 'lamp');
    const read = (surface: Spectrum) => labThroughProfile(lamp, seen(surface), labD65(100, 0, 0));
    for (const { glaze, dab, kind } of pairsOf(draft, part, random)) {
      const found = [read(glaze), read(dab)] as const;
      const truth = [lab(power, glaze), lab(power, dab)] as const;
      found.forEach((one, i) => errors.absolute.push(deltaE00(one, truth[i]!)));
      errors[kind].push(Math.abs(deltaE00(...found) - deltaE00(...truth)));
    }
  }
  return ['camera known in all', '', spread(errors.absolute), '', spread(errors.same), spread(errors.other), '', '', '', '', '', '']; // prettier-ignore
}

/** The tile, and the mean codes of a swatch, 0–1, as the scene's camera gives them, each with its noise. */
function benchOf({ camera, lamp, tone, level }: Draft, seed: number) {
  const tile = tileReflectance(new Random(seed + 1));
  const white = sensorRgb(camera, lamp.power, tile);
  const developer = new Developer(camera, lamp, tone, white, level, new Random(1));
  const noise = new Random(seed);
  const seen = (surface: Spectrum, sigma: number): Triple =>
    developer
      .encoded(sensorRgb(camera, lamp.power, surface))
      .map((v) => Math.min(255, Math.max(0, v + sigma * noise.gaussian())))
      .map((v) => v / 255) as unknown as Triple;
  return {
    tile,
    codes: (surface: Spectrum) => seen(surface, NOISE),
    clean: (surface: Spectrum) => seen(surface, 0),
  };
}

function pairsOf({ lamp, pair }: Draft, part: Part, random: Random) {
  const more = (['same', 'other'] as const).flatMap((pigments) =>
    Array.from(
      { length: PAIRS },
      () => drawDraft(part, { pigments, lampId: lamp.id }, random.fork()).pair,
    ),
  );
  return [pair, ...more];
}

/** Covariance of the step by the codes' noise, by differences. */
function noiseOf(codes: readonly [Triple, Triple], logOf: (codes: Triple) => LogTriple) {
  const along = codes.flatMap((seen) =>
    [0, 1, 2].map((k) => {
      const moved = (by: number) =>
        logOf(seen.map((v, i) => v + (i === k ? by / 255 : 0)) as unknown as Triple);
      const [up, down] = [moved(NOISE), moved(-NOISE)];
      return up.map((v, c) => (v - down[c]!) / 2);
    }),
  );
  const sum = (p: number, q: number) => along.reduce((s, v) => s + v[p]! * v[q]!, 0);
  return [
    [sum(0, 0), sum(0, 1), sum(0, 2)],
    [sum(1, 0), sum(1, 1), sum(1, 2)],
    [sum(2, 0), sum(2, 1), sum(2, 2)],
  ] as const;
}

const over = (light: Triple, white: Triple): Triple => [
  light[0] / white[0],
  light[1] / white[1],
  light[2] / white[2],
];
const spread = (values: readonly number[]): string =>
  `${mean(values).toFixed(2)} ${percentile(values, 0.95).toFixed(2)}`;
const shareOf = (all: readonly boolean[]): number => all.filter(Boolean).length / all.length;
const share = (all: readonly boolean[]): string =>
  `${(100 * shareOf(all)).toFixed(1)} % of ${String(all.length)}`;
const mean = (values: readonly number[]): number =>
  values.reduce((sum, v) => sum + v, 0) / values.length;
function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((p, q) => p - q);
  return sorted[Math.floor(share * (sorted.length - 1))] ?? NaN;
}
