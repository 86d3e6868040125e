/** Draws a bench from a seed: what a restorer's picture may look like, within stated wishes. */
import { camerasOf, CAMERAS, type Camera } from './cameras.ts';
import {
  add,
  dot,
  FlatBody,
  frameOf,
  length,
  Meeting,
  minus,
  RoundBody,
  times,
  unit,
  View,
  type Vector,
} from './geometry.ts';
import type { Tone } from './isp.ts';
import { lampById, lampsOf, type Lamp, type Part } from './lamps.ts';
import { Light, type LampBody } from './lighting.ts';
import {
  benchSurface,
  cardSurface,
  dabSurface,
  glazeSurface,
  greyish,
  oddSurface,
  paperSurface,
  tileSurface,
} from './materials.ts';
import { inventGlaze, inventPair, type ColourPair, type PigmentKind } from './pairs.ts';
import { Random } from './random.ts';
import {
  acrossStripe,
  type Band,
  type BenchScene,
  type Dab,
  type Fault,
  type HighlightWish,
  type Reflected,
  type SceneTraits,
  type Surface,
  type Thing,
} from './scene.ts';
import { edge, skewedBell, spectrumOf, xyzUnder } from './spectra.ts';

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
  readonly band?: boolean;
  readonly texture?: SceneTraits['texture'];
  readonly bench?: 'grey' | 'wood' | 'cloth' | 'paper';
  readonly clutter?: boolean;
  readonly reflection?: 'none' | 'mild' | 'strong';
  readonly dabFinish?: SceneTraits['dabFinish'];
  readonly level?: number;
}

export type Shape = 'flat' | 'cylinder' | 'bowl';

/** A point that a line of sight meets. */
interface Seen {
  readonly id: number;
  readonly point: Vector;
  readonly normal: Vector;
  readonly sight: Vector;
  readonly distance: number;
}

interface Stage {
  readonly view: View;
  readonly things: readonly Thing[];
  readonly piece: number;
  readonly tile: number;
  readonly card: number | undefined;
}

/** The wishes made whole: drawn once, so that hard ones are not thrown away with a bad layout. */
interface Draft {
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

/**
 * The scene that a seed names.
 * @throws Error when the wishes contradict each other so that no layout holds them
 */
export function sampleScene(seed: number, part: Part, wish: SceneWish = {}): BenchScene {
  const random = new Random(seed);
  for (let redraw = 0; redraw < 4; redraw++) {
    const draft = drawDraft(part, wish, random.fork());
    for (let attempt = 0; attempt < 500; attempt++) {
      const scene = drawScene(seed, part, wish, draft, random.fork());
      if (scene) return scene;
    }
  }
  throw new Error(`seed ${seed} gives no scene for ${JSON.stringify(wish)}`);
}

function drawDraft(part: Part, wish: SceneWish, random: Random): Draft {
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
    softness: random.range(1, 4) / pixelsPerMm,
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

const green = (lamp: Float64Array, surface: Surface): number =>
  xyzUnder(lamp, surface.steps[(surface.steps.length - 1) / 2]!)[1];

/** Bench, clutter, piece, perhaps a card, tile; undefined when the tile does not lie free. */
function setStage(draft: Draft, wish: SceneWish, random: Random): Stage | undefined {
  const { dabOn, shape } = draft;
  const [width, height] = draft.size;
  const across = random.range(190, 400);
  const up = (across * height) / width;
  const away = random.range(430, 850);
  const tilt = (random.range(4, 42) * Math.PI) / 180;
  const target: Vector = [0, 0, 12];
  const eye = add(target, [
    random.range(-0.12, 0.12) * away,
    -Math.sin(tilt) * away,
    Math.cos(tilt) * away,
  ]);
  const view = new View(
    eye,
    target,
    (width * length(minus(eye, target))) / across,
    width,
    height,
    random.range(-0.09, 0.09),
  );

  const side = random.chance(0.5) ? 1 : -1;
  const pieceAt: Vector = [
    -side * random.range(0.08, 0.22) * across,
    random.range(-0.12, 0.12) * up,
    0,
  ];
  const pieceBody = drawPiece(shape, pieceAt, up, random);
  const tileSide = random.range(0.26, 0.42) * up * (dabOn === 'tile' ? 1.15 : 1);
  const tileTilt = random.chance(0.6) ? 0.02 : random.range(0.02, 0.24);
  const lean = random.range(0, 2 * Math.PI);
  const tileNormal = unit([tileTilt * Math.cos(lean), tileTilt * Math.sin(lean), 1]);
  const tileAt: Vector = [
    side * random.range(0.24, 0.4) * across,
    random.range(-0.3, 0.3) * up,
    6 + (tileSide / 2) * Math.SQRT2 * tileTilt,
  ];
  const proportion = random.chance(0.75) ? 1 : random.range(0.6, 0.9);
  const tileBody = new FlatBody(
    tileAt,
    frameOf(tileNormal, random.range(0, Math.PI)),
    tileSide / 2,
    (tileSide / 2) * proportion,
    random.range(0.8, 2.5),
  );
  const blank = paperSurface(random);
  const things: Thing[] = [
    {
      name: 'bench',
      body: new FlatBody([0, 0, 0], frameOf([0, 0, 1]), 1e5, 1e5, 0),
      surface: benchSurface(
        wish.bench ??
          random.weighted([
            ['grey', 0.62],
            ['wood', 0.22],
            ['cloth', 0.11],
            ['paper', 0.05],
          ] as const),
        random,
      ),
    },
  ];
  if (wish.clutter ?? random.chance(0.4)) {
    const inView = (point: Vector) => {
      const { x, y } = view.project(point);
      return x > 0 && y > 0 && x < width && y < height;
    };
    // With the tile missing, no whole sheet may pass for one.
    const allowed = (body: FlatBody) =>
      wish.fault !== 'tile-missing' || !body.corners().every(inView);
    addClutter(things, tileBody, across, up, allowed, random);
  }
  let card: number | undefined;
  if (dabOn === 'tile' && random.chance(0.5)) {
    card = things.length;
    things.push({
      name: 'card',
      body: new FlatBody(
        [side * random.range(0.05, 0.2) * across, random.range(-0.4, 0.4) * up, 1],
        frameOf([0, 0, 1], random.range(0, Math.PI)),
        random.range(0.14, 0.2) * up,
        random.range(0.14, 0.2) * up,
        1,
      ),
      surface: cardSurface(random),
    });
  }
  const piece = things.length;
  things.push({ name: shape, body: pieceBody, surface: blank });
  const tile = things.length;
  things.push({ name: 'tile', body: tileBody, surface: tileSurface(random) });
  const stage: Stage = { view, things, piece, tile, card };

  // The whole tile in the picture, and nothing before it.
  for (const corner of tileBody.corners()) {
    for (const share of [1, 0.6, 0.1]) {
      const point = add(tileAt, times(minus(corner, tileAt), 0.97 * share));
      const { x, y } = view.project(point);
      if (x < 6 || y < 6 || x > width - 6 || y > height - 6) return undefined;
      if (see(stage, x, y)?.id !== tile) return undefined;
    }
  }
  return stage;
}

function drawPiece(shape: Shape, at: Vector, up: number, random: Random): FlatBody | RoundBody {
  const turn = random.range(0, Math.PI);
  if (shape === 'flat') {
    const half = random.range(0.3, 0.44) * up;
    const other = half * random.range(0.75, 1.3);
    const lean = random.range(0, 2 * Math.PI);
    const tilt = random.range(0, 0.2);
    return new FlatBody(
      add(at, [0, 0, 8 + half * tilt]),
      frameOf([tilt * Math.cos(lean), tilt * Math.sin(lean), 1], turn),
      half,
      other,
      random.chance(0.5) ? Math.min(half, other) * 0.999 : random.range(3, 20),
    );
  }
  if (shape === 'cylinder') {
    const radius = random.range(0.26, 0.45) * up;
    const squash = random.range(0.7, 1.15);
    const sunk = random.range(0, 0.9) * radius;
    return new RoundBody(
      add(at, [0, 0, radius * squash - sunk]),
      frameOf([random.range(-0.12, 0.12), random.range(-0.12, 0.12), 1], turn),
      [radius, random.range(0.35, 0.8) * up, radius * squash],
      'cylinder',
    );
  }
  const radius = random.range(0.32, 0.5) * up;
  const rz = radius * random.range(0.55, 1.1);
  return new RoundBody(
    add(at, [0, 0, rz * random.range(-0.35, 0.35)]),
    frameOf([random.range(-0.15, 0.15), random.range(-0.15, 0.15), 1], turn),
    [radius, radius * random.range(0.75, 1.25), rz],
    'ellipsoid',
  );
}

function addClutter(
  things: Thing[],
  tile: FlatBody,
  across: number,
  up: number,
  allowed: (paper: FlatBody) => boolean,
  random: Random,
): void {
  const count = 1 + random.index(4);
  for (let i = 0; i < count; i++) {
    const paper = random.chance(0.5);
    const w = paper ? random.range(0.1, 0.3) * up : random.range(0.02, 0.12) * up;
    const h = paper ? w * random.range(0.6, 1.5) : random.range(0.05, 0.4) * up;
    const round = !paper && random.chance(0.35);
    const at: Vector = [
      random.range(-0.5, 0.5) * across,
      random.range(-0.5, 0.5) * up,
      0.4 + 0.3 * i,
    ];
    const reach = Math.hypot(w, round ? w : h) + Math.hypot(tile.halfWidth, tile.halfHeight);
    if (Math.hypot(at[0] - tile.centre[0], at[1] - tile.centre[1]) < reach + 4) continue;
    const turned = frameOf([0, 0, 1], random.range(0, 3));
    const body = new FlatBody(at, turned, w, round ? w : h, round ? w : 1);
    if (paper && !allowed(body)) continue;
    things.push({
      name: paper ? 'paper' : 'odd',
      body,
      surface: paper ? paperSurface(random) : oddSurface(random),
    });
  }
}

const meeting = new Meeting();

function see(stage: Pick<Stage, 'view' | 'things'>, x: number, y: number): Seen | undefined {
  const { view, things } = stage;
  const d = view.direction(x, y);
  meeting.distance = Infinity;
  let id = -1;
  things.forEach((thing, i) => {
    if (thing.body.meet(...view.eye, ...d, meeting)) id = i;
  });
  if (id < 0) return undefined;
  return {
    id,
    point: add(view.eye, times(d, meeting.distance)),
    normal: [meeting.nx, meeting.ny, meeting.nz],
    sight: d,
    distance: meeting.distance,
  };
}

/** A place for a dab of the given radius in pixels, with glaze round it and turned to the eye enough. */
function placeDab(stage: Stage, on: number, radius: number, random: Random): Seen | undefined {
  const { view } = stage;
  const ownRing = on === stage.piece;
  const least = ownRing ? (random.chance(0.8) ? 0.78 : 0.55) : 0.5;
  const nearEdge = ownRing && random.chance(0.15);
  const margin = (ownRing ? 2 : 1.3) * radius + 3;
  for (let attempt = 0; attempt < 60; attempt++) {
    const x = random.range(margin, view.width - margin);
    const y = random.range(margin, view.height - margin);
    const seen = see(stage, x, y);
    if (seen?.id !== on || -dot(seen.normal, seen.sight) < least) continue;
    const hits = (reach: number) =>
      circle(16).filter(
        ([c, s]) => see(stage, x + reach * c * radius, y + reach * s * radius)?.id === on,
      ).length;
    if (hits(1.35) < 16) continue;
    if (ownRing && hits(2) < (nearEdge ? 9 : 15)) continue;
    return seen;
  }
  return undefined;
}

const circle = (count: number): readonly (readonly [number, number])[] =>
  Array.from({ length: count }, (_, i) => {
    const a = (2 * Math.PI * (i + 0.3)) / count;
    return [Math.cos(a), Math.sin(a)] as const;
  });

/** Points of the picture round a place, as seen on one body. */
function around(stage: Stage, place: Seen, reaches: readonly number[], pixels: number): Seen[] {
  const { x, y } = stage.view.project(place.point);
  return reaches.flatMap((reach) =>
    (reach === 0 ? [[0, 0] as const] : circle(14)).flatMap(([c, s]) => {
      const seen = see(stage, x + c * reach * pixels, y + s * reach * pixels);
      return seen?.id === place.id ? [seen] : [];
    }),
  );
}

/** Mirrored light as a share of a surface's own. */
const glare = (light: Light, at: Seen, roughness: number, own: number): number =>
  light.mirrored(...at.point, ...at.sight, ...at.normal, roughness) /
  Math.max(1e-6, own * light.irradiance(...at.point, ...at.normal));

function placeLamp(
  stage: Stage,
  place: Seen,
  dab: Dab,
  glaze: Surface,
  own: { readonly dab: number; readonly glaze: number },
  draft: Draft,
  fault: Fault | undefined,
  random: Random,
): LampBody | undefined {
  const { view, things, piece, tile } = stage;
  const wanted = draft.highlight;
  const tileBody = things[tile]!.body as FlatBody;
  const pixels = (dab.radius * view.focal) / dot(minus(place.point, view.eye), view.forward);
  const inDab = around(stage, place, [0, 0.35, 0.7, 1.02, 1.25], pixels);
  const inRing = around(stage, place, [1.3, 1.6, 1.9], pixels);
  const pieceBody = things[piece]!.body;
  for (let attempt = 0; attempt < 40; attempt++) {
    const kind = random.chance(0.65) ? 'softbox' : 'bulb';
    const half =
      kind === 'bulb'
        ? ([random.range(16, 38), 0] as const)
        : random.chance(0.25)
          ? ([random.range(120, 180), random.range(9, 18)] as const)
          : ([random.range(60, 170), random.range(30, 90)] as const);
    const away = random.range(320, wanted === 'none' ? 850 : 1100);
    let position: Vector;
    if (wanted === 'none') {
      const azimuth = random.range(0, 2 * Math.PI);
      const height = (random.range(32, 78) * Math.PI) / 180;
      position = [
        away * Math.cos(azimuth) * Math.cos(height),
        away * Math.sin(azimuth) * Math.cos(height),
        away * Math.sin(height),
      ];
    } else {
      const { x, y } = view.project(place.point);
      const angle = random.range(0, 2 * Math.PI);
      const reach = (wanted === 'on' ? random.range(0, 1.1) : random.range(1.2, 3)) * pixels;
      const at = see(stage, x + reach * Math.cos(angle), y + reach * Math.sin(angle));
      if (at?.id !== place.id) continue;
      position = Light.placeForMirror(at.point, at.normal, view.eye, away);
    }
    if (position[2] < 140) continue;
    const shown = view.project(position);
    if (
      shown.depth > 0 &&
      Math.abs(shown.x - view.width / 2) < 0.7 * view.width &&
      Math.abs(shown.y - view.height / 2) < 0.7 * view.height
    ) {
      continue;
    }
    const lampBody: LampBody = {
      kind,
      position,
      aim: [random.range(-40, 40), random.range(-40, 40), 20],
      half,
      turn: random.range(0, Math.PI),
    };
    const light = new Light(lampBody, tileBody.centre, tileBody.frame.z);
    const ratio = light.irradiance(...place.point, ...place.normal);
    const [least, most] = fault === 'dab-clipped' ? [1.75, 2.8] : [0.5, 1.5];
    if (!(ratio > least && ratio < most)) continue;
    // A person would not leave piece or dab far brighter than the tile.
    if (!fault && ratio * Math.max(own.dab, own.glaze) > 0.78) continue;
    // The tile lit evenly enough: neither in the piece's shadow nor full of the lamp's image.
    const corners = tileBody
      .corners()
      .map((c) => add(tileBody.centre, times(minus(c, tileBody.centre), 0.9)));
    const sides = corners.map((c, i) => times(add(c, corners[(i + 1) % 4]!), 0.5));
    const shadowed = [tileBody.centre, ...corners, ...sides].some(
      (point) =>
        light.seenFrom(point, (from, d, reach) => {
          meeting.distance = reach;
          return pieceBody.meet(...from, ...d, meeting);
        }) < 1,
    );
    if (shadowed) continue;
    const tileGlare = gridOnTile(tileBody).map((point) =>
      glare(
        light,
        {
          id: tile,
          point,
          normal: tileBody.frame.z,
          sight: unit(minus(point, view.eye)),
          distance: 0,
        },
        things[tile]!.surface.roughness,
        0.8,
      ),
    );
    if (tileGlare.filter((v) => v > 0.02).length > 0.2 * tileGlare.length) continue;

    const onDab = inDab.map((at) => glare(light, at, dab.surface.roughness, own.dab));
    const highest = Math.max(...onDab);
    const mean = onDab.reduce((sum, v) => sum + v, 0) / onDab.length;
    const ringGlare = inRing.map((at) => glare(light, at, glaze.roughness, own.glaze));
    const ringLit = ringGlare.filter((v) => v > 0.05).length / Math.max(1, ringGlare.length);
    if (wanted === 'on') {
      const lit = onDab.filter((v) => v > 0.05).length / onDab.length;
      if (lit < 0.04 || lit > 0.8) continue;
    } else {
      if (highest > 0.02 || mean > 0.004) continue;
      if (place.id === piece) {
        if (wanted === 'near' && (ringLit < 0.04 || ringLit > 0.5)) continue;
        if (wanted === 'none' && ringLit > 0.03) continue;
      }
    }
    return lampBody;
  }
  return undefined;
}

function gridOnTile(tile: FlatBody): readonly Vector[] {
  const steps = [-0.85, -0.5, -0.17, 0.17, 0.5, 0.85];
  return steps.flatMap((u) =>
    steps.map((v) =>
      add(
        tile.centre,
        add(times(tile.frame.x, u * tile.halfWidth), times(tile.frame.y, v * tile.halfHeight)),
      ),
    ),
  );
}

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

/** Where a person would say the glaze is sound: free of glare, band and dab. */
function pickGlaze(
  stage: Stage,
  place: Seen,
  dab: Dab,
  bands: readonly Band[],
  lampBody: LampBody,
  glaze: Surface,
  own: number,
  clipped: boolean,
  random: Random,
): Vector | undefined {
  const { view, things, piece, tile } = stage;
  const tileBody = things[tile]!.body as FlatBody;
  const light = new Light(lampBody, tileBody.centre, tileBody.frame.z);
  const pixels = (dab.radius * view.focal) / dot(minus(place.point, view.eye), view.forward);
  const { x, y } = view.project(place.point);
  const onPiece = place.id === piece;
  const patch = Math.max(6, 0.45 * pixels);
  for (let attempt = 0; attempt < 60; attempt++) {
    const angle = random.range(0, 2 * Math.PI);
    const reach = onPiece ? random.range(1.75, 2.8) * Math.max(pixels, 14) : 0;
    const px = onPiece ? x + reach * Math.cos(angle) : random.range(patch, view.width - patch);
    const py = onPiece ? y + reach * Math.sin(angle) : random.range(patch, view.height - patch);
    if (px < patch || py < patch || px > view.width - patch || py > view.height - patch) continue;
    const spots = [[0, 0] as const, ...circle(8)].map(([c, s]) =>
      see(stage, px + 1.2 * patch * c, py + 1.2 * patch * s),
    );
    const good = spots.every((spot) => {
      if (spot?.id !== piece) return false;
      if (!onPiece && -dot(spot.normal, spot.sight) < 0.75) return false;
      const lit = light.irradiance(...spot.point, ...spot.normal);
      if (lit < 0.4 || (!clipped && lit * own > 0.8)) return false;
      if (glare(light, spot, glaze.roughness, own) > 0.02) return false;
      const offset = minus(spot.point, dab.centre);
      const u = dot(offset, dab.frame.x);
      const v = dot(offset, dab.frame.y);
      return !bands.some(
        (band) =>
          band.kind === 'stripe' && Math.abs(acrossStripe(band, u, v)) < band.halfWidth + 0.5,
      );
    });
    if (good) return spots[0]!.point;
  }
  return undefined;
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
