/** What stands on the demo bench, and the camera and lamp over it. All invented. */
import type { Camera } from './cameras.ts';
import { mixed } from './colourants.ts';
import { DEMO_GLAZE, potMix } from './demo-paints.ts';
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
import { brownish, dabSurface, glazeSurface, greyish, MATT } from './materials.ts';
import { Random } from './random.ts';
import type { BenchScene, Dab, Surface, Thing } from './scene.ts';
import { skewedBell, spectrumOf, type Spectrum } from './spectra.ts';
import { clouds } from './textures.ts';

export const DEMO_LAMP = lampById('led-high-fidelity-4500');

export const DEMO_CAMERA: Camera = {
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

/** A fresh touch in the same place: another outline, another mix. */
export function touch(place: Dab, mix: Parameters<typeof mixed>[0], count: number): Dab {
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

/** A coat of paint laid on the tile, to the right below its middle, where a hand would lay it. */
export function coatOnTile(
  { things, tile }: BenchScene,
  place: Dab,
  mix: Parameters<typeof mixed>[0],
  count: number,
): Dab {
  const body = things[tile!]!.body as FlatBody;
  const { frame } = body;
  const coat = touch(place, mix, count);
  return {
    ...coat,
    on: tile!,
    centre: add(body.centre, add(times(frame.x, 8), times(frame.y, -7))),
    frame,
    radius: 9,
    // Drawn out flat, as a masstone is: it mirrors what the tile mirrors there, which is not the lamp.
    surface: { steps: [mixed(mix)], roughness: things[tile!]!.surface.roughness },
    dome: 0,
  };
}

/** How far a sprayed patch reaches, mm. */
export const SPRAYED_RADIUS = 15;

/**
 * The same mix sprayed: a larger patch that fades out, over the white of a fill that shows between the
 * droplets where the coat is thin. Its steps are shares covered; the colours of dots and ground add up
 * by area (Murray and Davies 1936, from memory).
 */
export function sprayedPatch(place: Dab, mix: Parameters<typeof mixed>[0], count: number): Dab {
  const random = new Random(1700 + count);
  const paint = mixed(mix);
  const fill = mixed(potMix({ white: 5, 'yellow-earth': 0.03 })!);
  const radius = SPRAYED_RADIUS;
  return {
    ...place,
    radius,
    softness: 5,
    aspect: 1.3,
    outline: [2, 3, 5].map(
      (waves) => [random.range(0.02, 0.12) / waves, waves, random.range(0, 6.28)] as const,
    ),
    surface: {
      // Most of it is covered well, a place or two is not.
      steps: [0.8, 0.92, 0.985, 1, 1].map((covered) =>
        paint.map((v, i) => covered * v + (1 - covered) * fill[i]!),
      ),
      roughness: place.surface.roughness,
      mottle: { field: clouds(8, random, 2), repeat: [5 * radius, 5 * radius], depth: 1.2 },
    },
    dome: 0,
  };
}

/** A covered butter dish under a soft-box, on grey card, with a tile, a brush and a lid of paint. */
export function layOut(width: number, height: number): BenchScene {
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
    lamp: DEMO_LAMP,
    lampBody: {
      kind: 'softbox',
      position: [45, 150, 620],
      aim: [0, 0, 0],
      half: [95, 55],
      turn: 0.5,
    },
    camera: DEMO_CAMERA,
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
