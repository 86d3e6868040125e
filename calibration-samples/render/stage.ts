/** The bench laid out: bench top, clutter, piece, perhaps a card, tile; and what a look at it meets. */
import type { Draft, SceneWish, Shape } from './draft.ts';
import {
  add,
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
import { benchSurface, cardSurface, oddSurface, paperSurface, tileSurface } from './materials.ts';
import type { Random } from './random.ts';
import type { Thing } from './scene.ts';

/** A point that a line of sight meets. */
export interface Seen {
  readonly id: number;
  readonly point: Vector;
  readonly normal: Vector;
  readonly sight: Vector;
  readonly distance: number;
}

export interface Stage {
  readonly view: View;
  readonly things: readonly Thing[];
  readonly piece: number;
  readonly tile: number;
  readonly card: number | undefined;
}

/** Bench, clutter, piece, perhaps a card, tile; undefined when the tile does not lie free. */
export function setStage(draft: Draft, wish: SceneWish, random: Random): Stage | undefined {
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

export function see(stage: Pick<Stage, 'view' | 'things'>, x: number, y: number): Seen | undefined {
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
