/** A scene rendered to a picture, or to frames, with its truth. */
import { Developer, type FrameMotion } from './develop.ts';
import { differenceE00 } from './difference.ts';
import { FlatBody, type Vector } from './geometry.ts';
import { sensorRgb } from './isp.ts';
import { linearImage, type LinearImage } from './linear-image.ts';
import type { Random } from './random.ts';
import type { BenchScene } from './scene.ts';
import { labUnder, type Spectrum, type Triple } from './spectra.ts';

export interface PixelPoint {
  readonly x: number;
  readonly y: number;
}
export interface PixelCircle extends PixelPoint {
  readonly radius: number;
}

/** What a scene really holds. Positions in pixels, colours CIELAB D65/2° under the scene's lamp. */
export interface BenchTruth {
  readonly regions: {
    readonly tile: readonly PixelPoint[] | undefined;
    readonly glaze: PixelCircle;
    readonly dab: PixelCircle;
    readonly dabOn: 'piece' | 'tile';
  };
  readonly tileLab: Triple | undefined;
  readonly glazeLab: Triple;
  readonly dabLab: Triple;
  /** Dab minus glaze. */
  readonly difference: { readonly lab: Triple; readonly deltaE00: number };
  readonly flags: {
    /** Share of the dab with a visible mirrored highlight, 0–1. */
    readonly highlightOnDab: number;
    /** Mean mirrored light over the dab as a share of its own. */
    readonly mirrorShare: number;
    /** Mean coloured reflection over the dab as a share of its own light. */
    readonly tintShare: number;
    /** The same over the glaze round the dab. */
    readonly ringTintShare: number;
    readonly tileHighlightShare: number;
    /** Share of the tile, and of the dab's core, with a channel at the top of its range. */
    readonly tileClippedShare: number;
    readonly dabClippedShare: number;
    /** Mean encoded level of the tile's brightest channel, 0–1; NaN without a tile. */
    readonly tileLevel: number;
  };
}

export interface RenderedBench {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray;
  readonly truth: BenchTruth;
  /** What lay on the sensor before noise and development. */
  readonly image: LinearImage;
}

/** One photograph of the scene. */
export function renderBench(scene: BenchScene, random: Random): RenderedBench {
  const image = linearImage(scene);
  const developer = developerOf(scene, random);
  const { width, height } = image;
  const rgba = developer.frame(image, random);
  return { width, height, rgba, truth: truthOf(scene, image, rgba), image };
}

/** The same scene as frames with fresh noise each, the costly part made once. */
export class BenchFilm {
  readonly truth: BenchTruth;
  readonly width: number;
  readonly height: number;
  private readonly image: LinearImage;
  private readonly developer: Developer;

  constructor(
    scene: BenchScene,
    private readonly random: Random,
  ) {
    this.image = linearImage(scene);
    this.developer = developerOf(scene, random);
    this.truth = truthOf(scene, this.image, this.frame());
    this.width = this.image.width;
    this.height = this.image.height;
  }

  frame(motion?: FrameMotion): Uint8ClampedArray {
    return this.developer.frame(this.image, this.random, motion);
  }
}

const middle = (steps: readonly Spectrum[]): Spectrum => steps[(steps.length - 1) / 2]!;

/** Reflectance between two steps, as the picture shows it. */
function atStep(steps: readonly Spectrum[], step: number): Spectrum {
  const at = ((step + 1) / 2) * (steps.length - 1);
  const i = Math.min(steps.length - 1, Math.max(0, Math.floor(at)));
  const j = Math.min(steps.length - 1, i + 1);
  return steps[i]!.map((v, band) => v + (at - i) * (steps[j]![band]! - v));
}

export function developerOf(scene: BenchScene, random: Random): Developer {
  const { camera, lamp, things, tile, tone, level } = scene;
  const white: Triple =
    tile === undefined
      ? [1, 1, 1]
      : sensorRgb(camera, lamp.power, middle(things[tile]!.surface.steps));
  return new Developer(camera, lamp, tone, white, level, random);
}

/** `rgba` is one picture of the scene: it tells what clips. */
export function truthOf(
  scene: BenchScene,
  image: LinearImage,
  rgba: Uint8ClampedArray,
): BenchTruth {
  const { lamp, things, view, dab } = scene;
  const tile = scene.tile === undefined ? undefined : things[scene.tile];
  const labOf = (s: Spectrum) => labUnder(lamp.power, s);
  const glazeLab = labOf(middle(things[scene.piece]!.surface.steps));
  const dabLab = labOf(atStep(dab.surface.steps, image.dab.thickness));
  const point = (v: Vector): PixelPoint => {
    const { x, y } = view.project(v);
    return { x, y };
  };
  const body = tile?.body;
  const d = image.dab;
  return {
    regions: {
      tile: body instanceof FlatBody ? body.corners().map(point) : undefined,
      glaze: { ...point(scene.glazePoint), radius: Math.max(6, 0.45 * d.radius) },
      dab: { x: d.x, y: d.y, radius: d.radius },
      dabOn: scene.traits.dabOn,
    },
    tileLab: tile && labOf(middle(tile.surface.steps)),
    glazeLab,
    dabLab,
    difference: {
      lab: [0, 1, 2].map((i) => dabLab[i]! - glazeLab[i]!) as unknown as Triple,
      deltaE00: differenceE00(glazeLab, dabLab),
    },
    flags: {
      highlightOnDab: d.highlightShare,
      mirrorShare: d.mirrorShare,
      tintShare: d.tintShare,
      ringTintShare: d.ringTintShare,
      tileHighlightShare: image.tileHighlightShare,
      ...levels(scene, image, rgba),
    },
  };
}

/** How full the picture's range is where it matters. */
function levels(
  scene: BenchScene,
  { bodies, dabCore }: LinearImage,
  rgba: Uint8ClampedArray,
): {
  readonly tileClippedShare: number;
  readonly dabClippedShare: number;
  readonly tileLevel: number;
} {
  const top = (i: number) => Math.max(rgba[4 * i]!, rgba[4 * i + 1]!, rgba[4 * i + 2]!);
  const sums = [0, 0, 0];
  let tile = 0;
  let tileClipped = 0;
  for (let i = 0; i < bodies.length; i++) {
    if (bodies[i] !== scene.tile) continue;
    tile++;
    if (top(i) >= 254) tileClipped++;
    for (let c = 0; c < 3; c++) sums[c] = sums[c]! + rgba[4 * i + c]!;
  }
  const dabClipped = dabCore.reduce((sum, i) => sum + (top(i) >= 254 ? 1 : 0), 0);
  return {
    tileClippedShare: tileClipped / Math.max(1, tile),
    dabClippedShare: dabClipped / Math.max(1, dabCore.length),
    tileLevel: Math.max(...sums) / tile / 255,
  };
}
