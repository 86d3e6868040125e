/** Which scenes a run holds, and what a person would give with each: all from the seed. */
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene, type SceneWish } from '../../calibration-samples/render/sample-scene.ts';
import type { BenchScene, Fault } from '../../calibration-samples/render/scene.ts';
import type { BenchTruth } from '../../calibration-samples/render/bench.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';
import type { ReadingSettings, Regions } from '../../src/reading/types.ts';

export const FAULTS: readonly Fault[] = [
  'tile-clipped',
  'tile-dark',
  'tile-missing',
  'dab-clipped',
];

/** Fault scenes have seeds of their own, so that a seed alone names a scene. */
const FAULT_STEP = 10_000_000;

export type Codec = 'raw' | 'jpeg-92' | 'jpeg-80' | 'video';

export interface PlannedScene {
  readonly seed: number;
  readonly part: Part;
  readonly scene: BenchScene;
  readonly codec: Codec;
  /** For noise, jitter and everything after the scene itself. */
  readonly random: Random;
}

/** Seeds of a run: `count` general scenes, then some of every fault. */
export function seedsOf(count: number, seed: number): readonly number[] {
  const faults = Math.max(4, Math.round(count / 40));
  return [
    ...Array.from({ length: count }, (_, i) => seed + i),
    ...FAULTS.flatMap((_, kind) =>
      Array.from({ length: faults }, (__, i) => FAULT_STEP * (kind + 1) + seed + i),
    ),
  ];
}

/** Seeds of the live feeds of a run. */
export const filmSeedsOf = (count: number, seed: number): readonly number[] =>
  Array.from({ length: Math.max(2, Math.round(count / 40)) }, (_, i) => 50_000_000 + seed + i);

export function planned(seed: number, part: Part): PlannedScene {
  const kind = Math.floor(seed / FAULT_STEP);
  const random = new Random(seed + 5_000_000);
  const fault = kind > 0 ? FAULTS[kind - 1] : undefined;
  const wish: SceneWish = fault ? { fault } : random.chance(0.06) ? { dabOn: 'tile' } : {};
  const codec = random.weighted<Codec>([
    ['raw', 0.4],
    ['jpeg-92', 0.25],
    ['jpeg-80', 0.15],
    ['video', 0.2],
  ]);
  return { seed, part, scene: sampleScene(seed, part, wish), codec, random };
}

export interface Given {
  readonly regions: Regions;
  readonly settings: ReadingSettings;
  /** The person has measured their tile. */
  readonly tileKnown: boolean;
}

/** Circles drawn by hand, the tile seldom dragged, its colour known in half of the cases. */
export function given(truth: BenchTruth, random: Random): Given {
  const { tile, glaze, dab, dabOn } = truth.regions;
  const near = (by: number) => by * random.gaussian();
  const jitter = Math.min(5, 1 + 0.06 * dab.radius);
  const dragged = tile !== undefined && random.chance(0.15);
  const tileKnown = truth.tileLab !== undefined && random.chance(0.5);
  const lab = truth.tileLab;
  return {
    regions: {
      ...(dragged
        ? { tile: tile.map(({ x, y }) => ({ x: x + near(1.5), y: y + near(1.5) })) }
        : {}),
      glaze: { x: glaze.x + near(2), y: glaze.y + near(2), radius: glaze.radius },
      dab: {
        x: dab.x + near(jitter),
        y: dab.y + near(jitter),
        radius: Math.max(4, dab.radius * random.range(0.6, 1.15)),
      },
      dabOn,
    },
    settings:
      tileKnown && lab
        ? {
            ...DEFAULT_SETTINGS,
            tileColour: {
              lab: labD65(lab[0] + near(0.25), lab[1] + near(0.12), lab[2] + near(0.15)),
              standardUncertainty: [0.3, 0.15, 0.2],
            },
          }
        : DEFAULT_SETTINGS,
    tileKnown,
  };
}
