/** Renders one planned scene, reads it, and says how the reading compares with the truth. */
import { renderBench, type RenderedBench } from '../../calibration-samples/render/bench.ts';
import { differenceE00 } from '../../calibration-samples/render/difference.ts';
import type { Part } from '../../calibration-samples/render/lamps.ts';
import type { Triple } from '../../calibration-samples/render/spectra.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';
import type { ReadingResult, RefusalReason, Verdict } from '../../src/reading/types.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { cameraOnlyDifference, toldDifference } from './camera-floor.ts';
import { coded } from './codec.ts';
import { patchMeanReading } from './patch-mean.ts';
import { given, planned, type Given, type PlannedScene } from './plan.ts';

/** Strata by name: the value a scene has of each. */
export type Strata = Readonly<Record<string, string>>;

export interface SceneOutcome {
  readonly seed: number;
  readonly strata: Strata;
  readonly fault: string | undefined;
  readonly kind: SceneKind;
  readonly pigments: 'same' | 'other';
  readonly dabOn: 'piece' | 'tile';
  readonly true: { readonly deltaE00: number; readonly lab: Triple; readonly glazeLab: Triple };
  /** Undefined when refused. */
  readonly answer:
    | {
        readonly deltaE00: number;
        readonly lab: Triple;
        /** ΔE₀₀ between the true dab and the true glaze moved by the difference read. */
        readonly error: number;
        readonly interval95: readonly [number, number];
        /** Mahalanobis distance² of the true difference by the covariance stated. */
        readonly mahalanobis: number;
        readonly verdicts: readonly { readonly threshold: number; readonly verdict: Verdict }[];
        readonly shares: string;
      }
    | undefined;
  readonly refused: readonly RefusalReason[];
  readonly remedies: boolean;
  readonly tileFound: 'right' | 'wrong' | 'none' | 'given';
  readonly baseline: { readonly error: number; readonly deltaE00: number } | undefined;
  /** Error of the camera alone, see `cameraOnlyDifference`. */
  readonly cameraError: number | undefined;
  readonly cameraDeltaE00: number | undefined;
  /** What a reader told all but the noise reads, see `toldDifference`. */
  readonly toldDeltaE00: number | undefined;
  /** The same with the light on the piece, which only geometry tells, as the reading took it to be. */
  readonly toldAtLightReadDeltaE00: number | undefined;
  readonly readMs: number;
}

/**
 * ordinary: dab on the piece, nothing mirrored in it. highlight: a highlight on the dab, where a
 * number must be right or refused. faint: between the two (a weak skirt of a highlight, a coloured
 * reflection), where an honest interval is asked, not the ordinary figures. clipped: exposure too
 * high by chance, where either answer is right if it is honest.
 */
export type SceneKind = 'ordinary' | 'clipped' | 'faint' | 'highlight' | 'beside' | 'fault';

export interface SceneRun {
  readonly plan: PlannedScene;
  readonly bench: RenderedBench;
  readonly given: Given;
  readonly result: ReadingResult;
  readonly outcome: SceneOutcome;
}

export async function runScene(seed: number, part: Part): Promise<SceneRun> {
  const plan = planned(seed, part);
  const fresh = renderBench(plan.scene, plan.random);
  const rgba = await coded(fresh.rgba, fresh.width, fresh.height, plan.codec);
  const bench = { ...fresh, rgba };
  const asked = given(bench.truth, plan.random);
  const before = performance.now();
  const result = read(
    nodeOpenCv(),
    { width: bench.width, height: bench.height, rgba, maxCode: 255, frames: 1 },
    asked.regions,
    asked.settings,
  );
  const readMs = performance.now() - before;
  return {
    plan,
    bench,
    given: asked,
    result,
    outcome: { ...outcomeOf(plan, bench, asked, result), readMs },
  };
}

function kindOf(plan: PlannedScene, { truth }: RenderedBench): SceneKind {
  if (plan.scene.traits.fault) return 'fault';
  const f = truth.flags;
  const { highlightOnDab, mirrorShare } = f;
  if (highlightOnDab < 0.01 && (f.dabClippedShare > 0.01 || f.tileClippedShare > 0.02)) {
    return 'clipped';
  }
  if (truth.regions.dabOn === 'tile') return 'beside';
  if (highlightOnDab > 0.01 || mirrorShare > 0.01) return 'highlight';
  const tint = Math.max(f.tintShare, f.ringTintShare);
  return highlightOnDab > 0.003 || mirrorShare > 0.004 || tint > 0.004 ? 'faint' : 'ordinary';
}

function outcomeOf(
  plan: PlannedScene,
  bench: RenderedBench,
  asked: Given,
  result: ReadingResult,
): Omit<SceneOutcome, 'readMs'> {
  const { truth } = bench;
  const { traits, lamp, tone } = plan.scene;
  const kind = kindOf(plan, bench);
  const moved = (lab: Triple): Triple =>
    [0, 1, 2].map((i) => truth.glazeLab[i]! + lab[i]!) as unknown as Triple;
  const answer = result.ok
    ? {
        deltaE00: result.difference.deltaE00,
        lab: result.difference.lab,
        error: differenceE00(truth.dabLab, moved(result.difference.lab)),
        interval95: result.difference.interval95,
        mahalanobis: mahalanobis(
          [0, 1, 2].map((i) => result.difference.lab[i]! - truth.difference.lab[i]!),
          result.difference.covariance,
        ),
        verdicts: [
          {
            threshold: asked.settings.thresholds.acceptable,
            verdict: result.verdict.acceptable,
          },
          {
            threshold: asked.settings.thresholds.imperceptible,
            verdict: result.verdict.imperceptible,
          },
        ],
        shares: result.uncertainty.shares
          .map(({ source, share }) => `${source} ${Math.round(100 * share)}%`)
          .join(', '),
      }
    : undefined;
  const tile = truth.regions.tile;
  const naive =
    tile &&
    patchMeanReading(
      bench,
      tile,
      labD65(...(truth.tileLab ?? [93, 0, 0])),
      asked.regions.glaze,
      asked.regions.dab,
    );
  const cameraOnly = cameraOnlyDifference(plan.scene);
  const told = toldDifference(plan.scene, bench);
  const L = truth.glazeLab[0];
  const size = 2 * truth.regions.dab.radius;
  return {
    seed: plan.seed,
    fault: traits.fault,
    kind,
    pigments: traits.pigments,
    dabOn: traits.dabOn,
    strata: {
      lamp: lamp.id,
      'camera style': tone.style,
      'glaze lightness': L > 80 ? '80+' : L > 60 ? '60–80' : L > 35 ? '35–60' : 'under 35',
      'dab across': size < 40 ? 'under 40 px' : size < 100 ? '40–100 px' : '100 px and more',
      highlight: kind === 'highlight' ? 'on the dab' : traits.wanted === 'near' ? 'near' : 'none',
      pigments: traits.pigments,
      codec: plan.codec,
      glaze: traits.texture,
      shape: traits.shape,
      band: traits.band ? 'band' : 'no band',
      finish: traits.dabFinish,
      tile: asked.tileKnown ? 'known' : 'default',
      camera: plan.scene.camera.id,
      kind,
    },
    true: {
      deltaE00: truth.difference.deltaE00,
      lab: truth.difference.lab,
      glazeLab: truth.glazeLab,
    },
    answer,
    cameraError: cameraOnly && differenceE00(truth.dabLab, moved(cameraOnly)),
    cameraDeltaE00: cameraOnly && differenceE00(truth.glazeLab, moved(cameraOnly)),
    toldDeltaE00: told && differenceE00(truth.glazeLab, moved(told)),
    toldAtLightReadDeltaE00:
      told && result.ok ? inOtherLight(truth.glazeLab, moved(told), result.glazeLab[0]) : undefined,
    refused: result.ok ? [] : result.refused.map(({ reason }) => reason),
    remedies: result.ok || result.refused.every(({ remedy }) => remedy.length > 10),
    tileFound: tileFound(tile, asked, result),
    baseline: naive && {
      error: differenceE00(truth.dabLab, moved(differenceOf(naive.glazeLab, naive.dabLab))),
      deltaE00: differenceE00(plain(naive.glazeLab), plain(naive.dabLab)),
    },
  };
}

/** ΔE₀₀ of a pair in as much other light as gives the first this lightness: CIELAB's cube roots. */
function inOtherLight(glaze: Triple, dab: Triple, lightness: number): number {
  const by = (lightness + 16) / (glaze[0] + 16);
  const lit = ([L, a, b]: Triple): Triple => [by * (L + 16) - 16, by * a, by * b];
  return differenceE00(lit(glaze), lit(dab));
}

const plain = ([L, a, b]: LabD65): Triple => [L, a, b];
const differenceOf = (from: LabD65, to: LabD65): Triple => [
  to[0] - from[0],
  to[1] - from[1],
  to[2] - from[2],
];

function tileFound(
  tile: readonly { readonly x: number; readonly y: number }[] | undefined,
  asked: Given,
  result: ReadingResult,
): SceneOutcome['tileFound'] {
  if (asked.regions.tile) return 'given';
  const found = result.tile?.polygon;
  if (!found) return 'none';
  if (!tile) return 'wrong';
  const middle = (polygon: readonly { readonly x: number; readonly y: number }[]) => ({
    x: polygon.reduce((sum, p) => sum + p.x, 0) / polygon.length,
    y: polygon.reduce((sum, p) => sum + p.y, 0) / polygon.length,
  });
  const [a, b] = [middle(tile), middle(found)];
  const size = Math.hypot(tile[0]!.x - tile[2]!.x, tile[0]!.y - tile[2]!.y);
  return Math.hypot(a.x - b.x, a.y - b.y) < 0.15 * size ? 'right' : 'wrong';
}

/** d' C⁻¹ d by Cramer. */
function mahalanobis(d: readonly number[], C: readonly (readonly number[])[]): number {
  const det = (m: readonly (readonly number[])[]) =>
    m[0]![0]! * (m[1]![1]! * m[2]![2]! - m[1]![2]! * m[2]![1]!) -
    m[0]![1]! * (m[1]![0]! * m[2]![2]! - m[1]![2]! * m[2]![0]!) +
    m[0]![2]! * (m[1]![0]! * m[2]![1]! - m[1]![1]! * m[2]![0]!);
  const whole = det(C);
  return [0, 1, 2].reduce((sum, i) => {
    const replaced = C.map((row, r) => row.map((v, c) => (c === i ? d[r]! : v)));
    return sum + (d[i]! * det(replaced)) / whole;
  }, 0);
}
