/** What a scene shall be: the caller's wishes made whole by the seed. */
import { camerasOf, CAMERAS, type Camera } from './cameras.ts';
import type { Tone } from './isp.ts';
import { lampById, lampsOf, type Lamp, type Part } from './lamps.ts';
import { inventPair, type ColourPair, type PigmentKind } from './pairs.ts';
import type { Random } from './random.ts';
import type { Fault, HighlightWish, SceneTraits } from './scene.ts';

/** What a caller may ask for; the seed decides the rest. */
export interface SceneWish {
  readonly size?: readonly [number, number];
  readonly pigments?: PigmentKind;
  readonly deltaE00?: number;
  readonly lightness?: readonly [number, number];
  readonly highlight?: HighlightWish;
  readonly fault?: Fault;
  readonly dabOn?: 'piece' | 'tile';
  readonly shape?: Shape;
  readonly lampId?: string;
  readonly cameraId?: string;
  readonly tone?: Tone;
  /** Diameter of the dab, pixels. */
  readonly dabPixels?: number;
  /** Width of the dab's edge, pixels: 1–4 for a touch with a brush, a good part of it for a spray. */
  readonly edgePixels?: number;
  readonly band?: boolean;
  readonly texture?: SceneTraits['texture'];
  readonly bench?: 'grey' | 'wood' | 'cloth' | 'paper';
  readonly clutter?: boolean;
  readonly reflection?: 'none' | 'mild' | 'strong';
  readonly dabFinish?: SceneTraits['dabFinish'];
  readonly level?: number;
}

export type Shape = 'flat' | 'cylinder' | 'bowl';

/** The wishes made whole: drawn once, so that hard ones are not thrown away with a bad layout. */
export interface Draft {
  readonly lamp: Lamp;
  readonly camera: Camera;
  readonly tone: Tone;
  readonly size: readonly [number, number];
  readonly diameter: number;
  readonly dabOn: 'piece' | 'tile';
  readonly pair: ColourPair;
  readonly highlight: HighlightWish;
  readonly shape: Shape;
  readonly finish: SceneTraits['dabFinish'];
  readonly texture: SceneTraits['texture'];
  readonly band: boolean;
  readonly level: number;
  readonly reflection: 'none' | 'mild' | 'strong';
}

export function drawDraft(part: Part, wish: SceneWish, random: Random): Draft {
  const dabOn = wish.dabOn ?? 'piece';
  const size =
    wish.size ??
    random.weighted([
      [[640, 480], 0.2],
      [[960, 720], 0.45],
      [[1280, 720], 0.25],
      [[1920, 1080], 0.1],
    ] as const);
  const diameter = Math.min(
    wish.dabPixels ?? random.logRange(20, 300),
    (dabOn === 'tile' ? 0.11 : 0.3) * size[1],
  );
  const lightness =
    wish.fault === 'dab-clipped'
      ? ([80, 97] as const)
      : (wish.lightness ??
        random.weighted([
          [[80, 97], 0.35],
          [[60, 80], 0.25],
          [[35, 60], 0.22],
          [[6, 35], 0.18],
        ] as const));
  const highlight =
    wish.highlight ??
    (wish.fault || dabOn === 'tile'
      ? 'none'
      : random.weighted([
          ['none', 0.64],
          ['near', 0.21],
          ['on', 0.15],
        ] as const));
  const lamp = wish.lampId ? lampById(wish.lampId) : random.pick(lampsOf(part));
  return {
    lamp,
    camera: wish.cameraId ? cameraById(wish.cameraId) : random.pick(camerasOf(part)),
    tone: wish.tone ?? {
      style: wish.fault?.endsWith('clipped')
        ? random.pick(['srgb', 's-curve'] as const)
        : random.weighted([
            ['srgb', 0.4],
            ['s-curve', 0.22],
            ['s-chroma', 0.2],
            ['roll-off', 0.18],
          ] as const),
      strength: random.uniform(),
    },
    size,
    diameter,
    dabOn,
    pair: inventPair(
      part,
      lamp.power,
      {
        kind: wish.pigments ?? (random.chance(0.68) ? 'same' : 'other'),
        deltaE00: wish.deltaE00 ?? drawDifference(random),
        lightness,
      },
      random,
    ),
    highlight,
    shape:
      wish.shape ??
      random.weighted([
        // A flat piece mirrors the lamp over a wide area or not at all.
        ['flat', highlight === 'none' ? 0.32 : 0.06],
        ['cylinder', 0.37],
        ['bowl', 0.38],
      ] as const),
    finish:
      wish.dabFinish ??
      random.weighted([
        // A matt dab mirrors nothing.
        ['matt', highlight === 'on' ? 0 : 0.35],
        ['satin', 0.25],
        ['gloss', 0.4],
      ] as const),
    texture:
      wish.texture ??
      random.weighted([
        ['plain', 0.45],
        ['mottled', 0.25],
        ['speckled', 0.15],
        ['crackled', 0.15],
      ] as const),
    band: dabOn === 'piece' && (wish.band ?? random.chance(0.22)),
    level: drawLevel(wish, random),
    reflection: wish.reflection ?? (random.chance(0.07) ? 'mild' : 'none'),
  };
}

function cameraById(id: string): Camera {
  const camera = CAMERAS.find((candidate) => candidate.id === id);
  if (!camera) throw new RangeError(`no camera called "${id}"`);
  return camera;
}

/** As dabs go on the way to a match: a fifth equal, half near the two thresholds, few far off. */
function drawDifference(random: Random): number {
  return random.weighted<() => number>([
    [() => 0, 0.18],
    [() => random.range(0.2, 1.2), 0.24],
    [() => random.range(1.2, 2.6), 0.28],
    [() => random.range(2.6, 6), 0.2],
    [() => random.range(6, 12), 0.1],
  ])();
}

function drawLevel(wish: SceneWish, random: Random): number {
  if (wish.level !== undefined) return wish.level;
  if (wish.fault === 'tile-clipped') return random.range(1, 1.25);
  if (wish.fault === 'tile-dark') return random.range(0.1, 0.27);
  if (wish.fault === 'dab-clipped') return random.range(0.83, 0.89);
  return random.chance(0.8) ? random.range(0.75, 0.9) : random.range(0.6, 0.94);
}
