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
import type { Camera } from './cameras.ts';
import { mixed } from './colourants.ts';
import { DEMO_GLAZE, DEMO_PIGMENTS, potMix } from './demo-paints.ts';
import type { Developer } from './develop.ts';
import {
  add,
  FlatBody,
  frameOf,
  Meeting,
  RoundBody,
  times,
  View,
  type Vector,
} from './geometry.ts';
import { lampById } from './lamps.ts';
import { blur, linearImage, type LinearImage } from './linear-image.ts';
import { brownish, dabSurface, glazeSurface, greyish, MATT } from './materials.ts';
import { Random } from './random.ts';
import type { BenchScene, Dab, Surface, Thing } from './scene.ts';
import { Shader } from './shade.ts';
import {
  labOfXyz,
  labUnder,
  linearSrgbOf,
  skewedBell,
  spectrumOf,
  xyzD65Under,
  xyzOfLinearSrgb,
  type Spectrum,
  type Triple,
} from './spectra.ts';
import { clouds } from './textures.ts';
import { sensorRgb } from './isp.ts';
import { differenceE00 } from './difference.ts';

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

const LAMP = lampById('led-high-fidelity-4500');
/** How long the bench shakes after a hand has laid a dab, ms. */
const SETTLE_MS = 900;

const CAMERA: Camera = {
  id: 'demo-camera',
  part: 'tune',
  sensitivity: [
    spectrumOf((nm) => skewedBell(nm, 604, 26, 42) + 0.09 * skewedBell(nm, 535, 28, 26) + 0.05 * skewedBell(nm, 445, 20, 25)),
    spectrumOf((nm) => skewedBell(nm, 533, 34, 38) + 0.06 * skewedBell(nm, 450, 20, 20)),
    spectrumOf((nm) => 0.86 * skewedBell(nm, 458, 25, 29) + 0.07 * skewedBell(nm, 510, 20, 22)),
  ],
  matrixFor: 'lamp',
  fullWell: 9000,
  readNoise: 3,
  noiseSpread: 0.3,
  blur: 0.6,
  sharpening: 0,
  balanceError: [0.02, -0.03],
  castLeft: 0.08,
  flare: 0,
}; // prettier-ignore

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
  } {
    const { tile, glaze, dab } = this.firstTruth.regions;
    return { tile: tile ?? [], glaze, dab };
  }

  /**
   * Wipes the dab off and lays a touch of this mix, grams by pigment id; an empty pot leaves none.
   * @throws RangeError for an unknown pigment or a mass that is not a number ≥ 0
   */
  setPot(pot: Pot): void {
    for (const [id, grams] of Object.entries(pot)) {
      if (!DEMO_PIGMENTS.some((pigment) => pigment.id === id)) {
        throw new RangeError(`the demo bench has no pigment "${id}"`);
      }
      if (!(Number.isFinite(grams) && grams >= 0)) {
        throw new RangeError(`the mass of "${id}" is ${grams} g; it must be 0 or more`);
      }
    }
    const mix = potMix(pot);
    this.touches++;
    this.laidAt = this.lastTime;
    this.dabLab = mix && labUnder(LAMP.power, mixed(mix));
    this.shader.lay(mix && touch(this.scene.dab, mix, this.touches));
    this.repaint();
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
      this.developer.encoded(sensorRgb(CAMERA, LAMP.power, surface)).map(decoded);
    const [seen, reference] = [through(reflectance), through(tile)];
    const wanted = linearSrgbOf(xyzD65Under(LAMP.power, tile));
    const linear = [0, 1, 2].map((i) => (seen[i]! / reference[i]!) * wanted[i]!);
    return labOfXyz(xyzOfLinearSrgb(linear as unknown as Triple));
  }

  /** Renders the pixels round the dab anew. */
  private repaint(): void {
    const { width, height } = this;
    const { dab } = this.firstTruth.regions;
    const reach = Math.ceil(1.9 * dab.radius + 8);
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
    blur(patch, w, h, CAMERA.blur);
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

/** A fresh touch in the same place: another outline, another mix. */
function touch(place: Dab, mix: Parameters<typeof mixed>[0], count: number): Dab {
  const random = new Random(900 + count);
  return {
    ...place,
    aspect: random.range(1, 1.3),
    outline: [2, 3, 4, 5].map(
      (waves) => [random.range(0.03, 0.2) / waves, waves, random.range(0, 6.28)] as const,
    ),
    surface: dabSurface(mix, 'gloss', place.radius, random),
  };
}

/** A covered butter dish under a soft-box, on grey card, with a tile, a brush and a lid of paint. */
function layOut(width: number, height: number): BenchScene {
  const random = new Random(2024);
  const view = viewOf(width, height);
  const glaze: Surface = glazeSurface(DEMO_GLAZE, 'mottled', 0.02, random);
  const domeFrame = frameOf([0.05, -0.06, 1], 0.35);
  const domeAt: Vector = [-42, 4, 4];
  const dome = new RoundBody(domeAt, domeFrame, [96, 72, 50], 'ellipsoid');
  const tile = new FlatBody([103, -14, 6], frameOf([0.02, -0.05, 1], 0.22), 31, 31, 1.6);
  const plain = (reflectance: Spectrum, roughness = MATT): Surface => ({
    steps: [reflectance],
    roughness,
  });
  const things: Thing[] = [
    {
      name: 'bench',
      body: new FlatBody([0, 0, 0], frameOf([0, 0, 1]), 1e5, 1e5, 0),
      surface: {
        steps: [greyish(0.2, 0.01), greyish(0.21, 0.01), greyish(0.22, 0.01)],
        roughness: MATT,
        mottle: { field: clouds(64, random), repeat: [60, 60], depth: 1 },
      },
    },
    {
      name: 'brush',
      body: new FlatBody([92, 66, 3], frameOf([0, 0, 1], 0.28), 62, 2.6, 2.5),
      surface: plain(brownish(0.5, 0.9), 0.12),
    },
    {
      name: 'ferrule',
      body: new FlatBody([44, 52.2, 3.4], frameOf([0, 0, 1], 0.28), 9, 2.2, 2),
      surface: plain(greyish(0.45, 0), 0.1),
    },
    {
      name: 'paint lid',
      body: new FlatBody([118, -68, 2], frameOf([0, 0, 1]), 15, 15, 14.9),
      surface: plain(mixed(potMix({ white: 1, blue: 0.7 })!), 0.12),
    },
    {
      name: 'plate',
      body: new FlatBody([-42, 4, 3], frameOf([0, 0, 1], 0.35), 112, 86, 80),
      // Its well is left matt, as kiln furniture leaves it.
      surface: { ...glaze, roughness: MATT },
    },
    { name: 'dome', body: dome, surface: glaze },
    {
      name: 'knob',
      body: new RoundBody(
        add(domeAt, times(domeFrame.z, 56)),
        domeFrame,
        [15, 15, 12],
        'ellipsoid',
      ),
      surface: glaze,
      clear: true,
    },
    {
      name: 'tile',
      body: tile,
      surface: plain(
        spectrumOf(
          (nm) =>
            0.82 * (1 - 0.35 / (1 + Math.exp((nm - 402) / 9))) * (1 + (0.012 * (nm - 560)) / 180),
        ),
        0.03,
      ),
    },
  ];
  const piece = things.findIndex(({ name }) => name === 'dome');
  const dabAt = { x: 0.405 * width, y: 0.665 * height };
  const dabSeen = meet(view, dome, dabAt.x, dabAt.y);
  const glazeSeen = meet(view, dome, dabAt.x - 0.09 * width, dabAt.y - 0.01 * height);
  const radius = 10.5;
  const dab: Dab = touch(
    {
      on: piece,
      centre: dabSeen.point,
      frame: frameOf(dabSeen.normal, 0.4),
      radius,
      aspect: 1.1,
      outline: [],
      softness: 0.7,
      surface: glaze,
      dome: 0.02,
    },
    DEMO_GLAZE,
    0,
  );
  const cobalt = mixed(potMix({ white: 1, blue: 2.2, black: 0.05 })!);
  const ring = (height: number, halfWidth: number) => ({
    kind: 'ring' as const,
    centre: domeAt,
    axis: domeFrame.z,
    height,
    halfWidth,
    surface: { steps: [cobalt], roughness: glaze.roughness },
  });
  return {
    seed: 0,
    view,
    lamp: LAMP,
    lampBody: {
      kind: 'softbox',
      position: [45, 150, 620],
      aim: [0, 0, 0],
      half: [95, 55],
      turn: 0.5,
    },
    camera: CAMERA,
    tone: { style: 'srgb', strength: 0 },
    level: 0.84,
    ambient: { share: 0.08, reflectance: greyish(0.8, 0.03) },
    things,
    piece,
    tile: things.length - 1,
    dab: { ...dab, frame: frameOf(dabSeen.normal) },
    bands: [ring(7, 1.1), ring(10.5, 0.35), ring(45.5, 0.5)],
    glazePoint: glazeSeen.point,
    traits: {
      shape: 'covered dish',
      glazeName: 'bluish grey',
      pigments: 'other',
      wanted: 'none',
      fault: undefined,
      dabOn: 'piece',
      band: true,
      texture: 'mottled',
      dabFinish: 'gloss',
    },
  };
}

function viewOf(width: number, height: number): View {
  const eye: Vector = [10, -250, 560];
  const target: Vector = [12, 0, 12];
  const away = Math.hypot(eye[0] - target[0], eye[1] - target[1], eye[2] - target[2]);
  return new View(eye, target, (width * away) / 310, width, height);
}

function meet(view: View, body: RoundBody, x: number, y: number) {
  const meeting = new Meeting();
  const d = view.direction(x, y);
  if (!body.meet(...view.eye, ...d, meeting)) throw new Error('the dab misses the dish');
  const normal: Vector = [meeting.nx, meeting.ny, meeting.nz];
  return { point: add(view.eye, times(d, meeting.distance)), normal };
}
