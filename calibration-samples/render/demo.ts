/**
 * The demo bench: an invented covered dish with a tile beside it under one lamp, as a camera on a
 * stand would see it, with a dab of whatever is in the pot. Knows nothing of how it will be read.
 */
import {
  developerOf,
  truthOf,
  type BenchTruth,
  type PixelCircle,
  type PixelPoint,
} from './bench.ts';
import { mixed } from './colourants.ts';
import { DEMO_GLAZE, DEMO_PIGMENTS, potMix } from './demo-paints.ts';
import {
  coatOnTile,
  DEMO_CAMERA,
  DEMO_LAMP,
  layOut,
  SPRAYED_RADIUS,
  sprayedPatch,
  touch,
} from './demo-scene.ts';
import type { Developer } from './develop.ts';
import { differenceE00 } from './difference.ts';
import { sensorRgb } from './isp.ts';
import { blur, linearImage, type LinearImage } from './linear-image.ts';
import { Random } from './random.ts';
import type { BenchScene, Dab } from './scene.ts';
import { Shader } from './shade.ts';
import {
  labOfXyz,
  labUnder,
  linearSrgbOf,
  xyzD65Under,
  xyzOfLinearSrgb,
  type Spectrum,
  type Triple,
} from './spectra.ts';

export type Pot = Readonly<Record<string, number>>;

/** A pigment as a restorer knows it: its colours read by this bench's camera, CIELAB D65/2°. */
export interface DemoPaletteEntry {
  readonly id: string;
  readonly name: string;
  readonly colourIndex: string;
  readonly isWhite: boolean;
  readonly masstone: Triple;
  /** In white, 1 : 9 by mass. Absent for the white. */
  readonly tint?: { readonly lab: Triple; readonly pigment: 1; readonly white: 9 };
}

export interface DemoFrame {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray<ArrayBuffer>;
}

/** A first mix that is in sight of the glaze but does not blend. */
export const DEMO_POT: Pot = { white: 5, blue: 0.02 };

/** How long the bench shakes after a hand has laid a dab, ms. */
const SETTLE_MS = 900;

export class DemoBench {
  readonly width: number;
  readonly height: number;
  /** The tile's own colour, CIELAB D65/2°: what the tile's owner would have had measured. */
  readonly tileLab: Triple;

  private readonly scene: BenchScene;
  private readonly shader: Shader;
  private readonly image: LinearImage;
  private readonly developer: Developer;
  private readonly random: Random;
  private readonly firstTruth: BenchTruth;
  private touches = 0;
  private laidAt = -Infinity;
  private lastTime = 0;
  private dabLab: Triple | undefined;
  /** What the sprayed patch is made of; undefined while there is none. */
  private patch: Dab | undefined;

  constructor(pot: Pot = DEMO_POT, width = 960, height = 540, seed = 1) {
    this.random = new Random(seed);
    this.width = width;
    this.height = height;
    this.scene = layOut(width, height);
    this.image = linearImage(this.scene);
    this.shader = new Shader(this.scene);
    this.developer = developerOf(this.scene, this.random);
    this.firstTruth = truthOf(
      this.scene,
      this.image,
      this.developer.frame(this.image, this.random),
    );
    this.tileLab = this.firstTruth.tileLab ?? [100, 0, 0];
    this.setPot(pot);
    this.laidAt = -Infinity;
  }

  /** Where things lie, pixels: what a person would point at. */
  get regions(): {
    readonly tile: readonly PixelPoint[];
    readonly glaze: PixelCircle;
    readonly dab: PixelCircle;
    /** Round a patch that `spray` lays, its fading edge included. */
    readonly fill: PixelCircle;
    /** The middle of a coat that `layOnTile` lays. */
    readonly onTile: PixelCircle;
  } {
    const { tile, glaze, dab } = this.firstTruth.regions;
    const pixels = dab.radius / this.scene.dab.radius;
    return {
      tile: tile ?? [],
      glaze,
      dab,
      fill: { ...dab, radius: 1.15 * SPRAYED_RADIUS * pixels },
      onTile: this.circleOf(coatOnTile(this.scene, this.scene.dab, DEMO_GLAZE, 0)),
    };
  }

  /**
   * Wipes off what is there and lays a touch of this mix, grams by pigment id; an empty pot leaves none.
   * @throws RangeError for an unknown pigment or a mass that is not a number ≥ 0
   */
  setPot(pot: Pot): void {
    const mix = this.mixOf(pot);
    this.patch = undefined;
    this.lay(mix, mix && touch(this.scene.dab, mix, this.touches));
  }

  /**
   * Wipes the dab off and sprays this mix over the fill, which lies where the dab lay; an empty pot
   * sprays nothing.
   * @throws RangeError as `setPot`
   */
  spray(pot: Pot): void {
    const mix = this.mixOf(pot);
    this.patch = mix && sprayedPatch(this.scene.dab, mix, this.touches);
    this.lay(mix, this.patch);
  }

  /**
   * Wipes the dab off the piece and lays a coat of this mix on the tile; an empty pot leaves the tile
   * bare.
   * @throws RangeError as `setPot`
   */
  layOnTile(pot: Pot): void {
    const mix = this.mixOf(pot);
    this.patch = undefined;
    this.lay(mix, mix && coatOnTile(this.scene, this.scene.dab, mix, this.touches));
  }

  private circleOf({ centre, radius }: Dab): PixelCircle {
    const { view } = this.scene;
    const { x, y, depth } = view.project(centre);
    return { x, y, radius: (radius * view.focal) / depth };
  }

  private mixOf(pot: Pot): ReturnType<typeof potMix> {
    for (const [id, grams] of Object.entries(pot)) {
      if (!DEMO_PIGMENTS.some((own) => own.id === id || own.colourIndex === id)) {
        throw new RangeError(`the demo bench has no pigment "${id}"`);
      }
      if (!(Number.isFinite(grams) && grams >= 0)) {
        throw new RangeError(`the mass of "${id}" is ${grams} g; it must be 0 or more`);
      }
    }
    this.touches++;
    return potMix(pot);
  }

  private lay(mix: ReturnType<typeof potMix>, paint: Dab | undefined): void {
    this.laidAt = this.lastTime;
    this.dabLab = mix && labUnder(DEMO_LAMP.power, mixed(mix));
    this.shader.lay(paint);
    const { fill, onTile } = this.regions;
    this.repaint(fill);
    this.repaint(onTile);
  }

  /** True ΔE₀₀ of the sprayed paint at a place of the picture, px; undefined where there is none. */
  sprayedDifference(x: number, y: number): number | undefined {
    if (!this.patch) return undefined;
    this.shader.look(x, y);
    const { cover, thickness } = this.shader;
    if (cover === 0) return undefined;
    const { steps } = this.patch.surface;
    const at = ((thickness + 1) / 2) * (steps.length - 1);
    const [thin, thick] = [steps[Math.floor(at)]!, steps[Math.ceil(at)]!];
    const glaze = mixed(DEMO_GLAZE);
    const there = glaze.map((v, i) => {
      const paint = thin[i]! + (at - Math.floor(at)) * (thick[i]! - thin[i]!);
      return cover * paint + (1 - cover) * v;
    });
    return differenceE00(this.firstTruth.glazeLab, labUnder(DEMO_LAMP.power, there));
  }

  /** The true colours, CIELAB D65/2° under the lamp; undefined while there is no dab. */
  get truth():
    { readonly glazeLab: Triple; readonly dabLab: Triple; readonly deltaE00: number } | undefined {
    const { glazeLab } = this.firstTruth;
    return (
      this.dabLab && {
        glazeLab,
        dabLab: this.dabLab,
        deltaE00: differenceE00(glazeLab, this.dabLab),
      }
    );
  }

  /** The bench after so many milliseconds: a slight sway, the lamp breathing, a shake after a touch. */
  frame(timeMs: number): DemoFrame {
    this.lastTime = timeMs;
    const s = timeMs / 1000;
    const since = timeMs - this.laidAt;
    const shake = since >= 0 && since < SETTLE_MS ? 5 * (1 - since / SETTLE_MS) ** 2 : 0;
    const motion = {
      dx: 0.09 * Math.sin(1.1 * s) + 0.05 * Math.sin(3.7 * s + 1) + shake * Math.sin(23 * s),
      dy: 0.08 * Math.sin(0.9 * s + 2) + 0.05 * Math.sin(4.3 * s) + shake * Math.cos(19 * s),
      gain:
        1 + 0.003 * Math.sin((2 * Math.PI * s) / 11) + 0.001 * Math.sin((2 * Math.PI * s) / 2.3),
    };
    return {
      width: this.width,
      height: this.height,
      rgba: this.developer.frame(this.image, this.random, motion) as Uint8ClampedArray<ArrayBuffer>,
    };
  }

  /** The palette as this camera reads it against the tile, sRGB assumed, noise averaged out. */
  palette(): readonly DemoPaletteEntry[] {
    const white = DEMO_PIGMENTS.find(({ isWhite }) => isWhite)!.colourant;
    return DEMO_PIGMENTS.map(({ id, name, colourIndex, isWhite, colourant }) => ({
      id,
      name,
      colourIndex,
      isWhite,
      masstone: this.asRead(mixed([[colourant, 1]])),
      ...(isWhite
        ? {}
        : {
            tint: {
              lab: this.asRead(
                mixed([
                  [colourant, 1],
                  [white, 9],
                ]),
              ),
              pigment: 1,
              white: 9,
            },
          }),
    }));
  }

  /** A flat swatch lying where the tile lies, read through the camera against the tile. */
  private asRead(reflectance: Spectrum): Triple {
    const tile = this.scene.things[this.scene.tile!]!.surface.steps[0]!;
    const through = (surface: Spectrum) =>
      this.developer.encoded(sensorRgb(DEMO_CAMERA, DEMO_LAMP.power, surface)).map(decoded);
    const [seen, reference] = [through(reflectance), through(tile)];
    const wanted = linearSrgbOf(xyzD65Under(DEMO_LAMP.power, tile));
    const linear = [0, 1, 2].map((i) => (seen[i]! / reference[i]!) * wanted[i]!);
    return labOfXyz(xyzOfLinearSrgb(linear as unknown as Triple));
  }

  /** Renders the pixels round a place anew: whatever paint was there, and is now. */
  private repaint(dab: PixelCircle): void {
    const { width, height } = this;
    const reach = Math.ceil(1.6 * dab.radius + 8);
    const x0 = Math.max(0, Math.floor(dab.x - reach));
    const y0 = Math.max(0, Math.floor(dab.y - reach));
    const w = Math.min(width, x0 + 2 * reach) - x0;
    const h = Math.min(height, y0 + 2 * reach) - y0;
    const patch = new Float32Array(3 * w * h);
    for (let y = 0, i = 0; y < h; y++) {
      for (let x = 0; x < w; x++, i += 3) {
        this.shader.look(x0 + x + 0.5, y0 + y + 0.5);
        patch[i] = this.shader.r;
        patch[i + 1] = this.shader.g;
        patch[i + 2] = this.shader.b;
      }
    }
    blur(patch, w, h, DEMO_CAMERA.blur);
    for (let y = 3; y < h - 3; y++) {
      this.image.rgb.set(
        patch.subarray(3 * (y * w + 3), 3 * (y * w + w - 3)),
        3 * ((y0 + y) * width + x0 + 3),
      );
    }
  }
}

const decoded = (code: number): number => {
  const v = code / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
};
