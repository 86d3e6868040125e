/** Where dab, lamp and pointing finger go, so that the scene shows what its draft asks for. */
import type { Draft } from './draft.ts';
import type { FlatBody } from './geometry.ts';
import { add, dot, Meeting, minus, times, unit, type Vector } from './geometry.ts';
import { Light, type LampBody } from './lighting.ts';
import type { Random } from './random.ts';
import { acrossStripe, type Band, type Dab, type Fault, type Surface } from './scene.ts';
import { see, type Seen, type Stage } from './stage.ts';

const meeting = new Meeting();

/** A place for a dab of the given radius in pixels, with glaze round it and turned to the eye enough. */
export function placeDab(
  stage: Stage,
  on: number,
  radius: number,
  random: Random,
): Seen | undefined {
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

export function placeLamp(
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

/** Where a person would say the glaze is sound: free of glare, band and dab. */
export function pickGlaze(
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
