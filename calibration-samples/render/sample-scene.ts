/** Draws a bench from a seed: what a restorer's picture may look like, within stated wishes. */
import { drawDraft, type Draft, type SceneWish } from './draft.ts';
import { add, dot, frameOf, minus, times, unit } from './geometry.ts';
import type { Part } from './lamps.ts';
import { dabSurface, glazeSurface, greyish } from './materials.ts';
import { inventGlaze } from './pairs.ts';
import { pickGlaze, placeDab, placeLamp } from './placing.ts';
import { Random } from './random.ts';
import type { Band, BenchScene, Dab, Reflected, Surface } from './scene.ts';
import { edge, skewedBell, spectrumOf, xyzUnder } from './spectra.ts';
import { setStage, type Seen } from './stage.ts';

export type { SceneWish, Shape } from './draft.ts';

/** Some drafts (a wide dab, a band and a highlight on a small bowl) hold no layout, and are drawn anew. */
const REDRAWS = 40;

/**
 * The scene that a seed names.
 * @throws Error when the wishes contradict each other so that no layout holds them
 */
export function sampleScene(seed: number, part: Part, wish: SceneWish = {}): BenchScene {
  const random = new Random(seed);
  for (let redraw = 0; redraw < REDRAWS; redraw++) {
    const draft = drawDraft(part, wish, random.fork());
    for (let attempt = 0; attempt < 500; attempt++) {
      const scene = drawScene(seed, part, wish, draft, random.fork());
      if (scene) return scene;
    }
  }
  throw new Error(`seed ${seed} gives no scene for ${JSON.stringify(wish)}`);
}

/** One layout; undefined when it does not hold what the draft asks for. */
function drawScene(
  seed: number,
  part: Part,
  wish: SceneWish,
  draft: Draft,
  random: Random,
): BenchScene | undefined {
  const { lamp, dabOn, finish, pair } = draft;
  const stage = setStage(draft, wish, random);
  if (!stage) return undefined;
  const { view, things, piece, tile } = stage;
  const on = dabOn === 'piece' ? piece : (stage.card ?? tile);
  const place = placeDab(stage, on, draft.diameter / 2, random);
  if (!place) return undefined;

  const pieceSurface = glazeSurface(pair.glazeMix, draft.texture, random.uniform() ** 2, random);
  const facing = -dot(place.normal, place.sight);
  const pixelsPerMm = view.focal / dot(minus(place.point, view.eye), view.forward);
  const radius = draft.diameter / 2 / pixelsPerMm / Math.sqrt(facing);
  const dab: Dab = {
    on,
    centre: place.point,
    frame: frameOf(place.normal, random.range(0, Math.PI)),
    radius,
    aspect: random.range(1, 1.45),
    outline: [2, 3, 4, 5, 7].map(
      (count) => [random.range(0, 0.26) / count, count, random.range(0, 6.28)] as const,
    ),
    softness: (wish.edgePixels ?? random.range(1, 4)) / pixelsPerMm,
    surface: dabSurface(pair.dabMix, finish, radius, random),
    dome: random.range(0, 0.06),
  };
  const bands = draft.band ? drawBands(part, dab, lamp.power, random) : [];
  const own = { dab: green(lamp.power, dab.surface), glaze: green(lamp.power, pieceSurface) };
  const lampBody = placeLamp(stage, place, dab, pieceSurface, own, draft, wish.fault, random);
  if (!lampBody) return undefined;
  const glazePoint = pickGlaze(
    stage,
    place,
    dab,
    bands,
    lampBody,
    pieceSurface,
    own.glaze,
    wish.fault === 'dab-clipped',
    random,
  );
  if (!glazePoint) return undefined;

  const withGlaze = things.map((thing, i) =>
    i === piece ? { ...thing, surface: pieceSurface } : thing,
  );
  const missing = wish.fault === 'tile-missing';
  const { reflection } = draft;
  return {
    seed,
    view,
    lamp,
    lampBody,
    camera: draft.camera,
    tone: draft.tone,
    level: draft.level,
    ambient: {
      share: random.range(0.02, 0.18),
      reflectance: greyish(0.8, random.range(-0.12, 0.12)),
    },
    ...(reflection === 'none' ? {} : { reflected: drawReflected(place, reflection, random) }),
    // The tile is last, so that leaving it out moves nobody.
    things: missing ? withGlaze.filter((_, i) => i !== tile) : withGlaze,
    piece,
    tile: missing ? undefined : tile,
    dab,
    bands,
    glazePoint,
    traits: {
      shape: draft.shape,
      glazeName: pair.glazeName,
      pigments: pair.kind,
      wanted: draft.highlight,
      fault: wish.fault,
      dabOn,
      band: bands.length > 0,
      texture: draft.texture,
      dabFinish: finish,
    },
  };
}

const green = (lamp: Float64Array, surface: Surface): number =>
  xyzUnder(lamp, surface.steps[(surface.steps.length - 1) / 2]!)[1];

/** A stripe beside the dab, in a quarter of the scenes. */
function drawBands(part: Part, dab: Dab, lamp: Float64Array, random: Random): readonly Band[] {
  const { mix } = inventGlaze(part, lamp, [6, 60], random);
  const halfWidth = random.range(0.12, 0.6) * dab.radius;
  return [
    {
      kind: 'stripe',
      angle: random.range(0, 2 * Math.PI),
      offset: random.range(1.4, 2.1) * dab.radius * Math.sqrt(dab.aspect) + halfWidth,
      halfWidth,
      bend: random.range(0, 0.25) / (dab.radius * 4),
      surface: { ...glazeSurface(mix, 'plain', 0, random) },
    },
  ];
}

/** A coloured thing near enough to be mirrored: cloth, a book, a cutting mat. */
function drawReflected(place: Seen, strength: 'mild' | 'strong', random: Random): Reflected {
  const at = random.range(480, 640);
  const reflectance = random.pick([
    spectrumOf((nm) => 0.05 + 0.75 * edge(nm, at, 22)),
    spectrumOf((nm) => 0.04 + 0.6 * skewedBell(nm, at, 35, 45)),
  ]);
  const d = place.sight;
  const mirror = minus(d, times(place.normal, 2 * dot(d, place.normal)));
  // A strong one is near and its edge crosses the glaze round the dab; a mild one is anywhere.
  const half = strength === 'strong' ? random.range(0.08, 0.2) : random.range(0.2, 0.45);
  const off =
    strength === 'strong' ? half * random.range(0.6, 1.05) : Math.abs(0.5 * random.gaussian());
  const turn = random.range(0, 2 * Math.PI);
  const sideways = frameOf(mirror, turn).x;
  return {
    reflectance,
    towards: unit(add(times(mirror, Math.cos(off)), times(sideways, Math.sin(off)))),
    cosine: Math.cos(half),
    softness: Math.sin(half) * (strength === 'strong' ? random.range(0.01, 0.05) : 0.2),
    radiance: strength === 'strong' ? random.range(0.8, 1.6) : random.range(0.05, 0.3),
  };
}
