/**
 * Finds the white tile by itself: of the four-sided fields in the picture the one that is most like a
 * plain white tile. Where two fields are as like, or none is, it finds none: the person drags it.
 */
import type { OpenCv } from './opencv.ts';
import { insidePolygon, polygonArea, polygonCentre, shrunk } from './picture.ts';
import {
  onSteepestEdges,
  shadowBeyond,
  sharpSides,
  stripWithin,
  type LightPlane,
} from './quad-edges.ts';
import {
  reducedPicture,
  tileCandidates,
  wellShaped,
  type Candidate,
  type ReducedPicture,
} from './tile-candidates.ts';
import { logInCircle, tileLikeness, type Likeness } from './tile-likeness.ts';
import type { EncodedPicture, PixelCircle, PixelPoint, PixelPolygon } from './types.ts';

/** Candidates whose edges are followed before the best is chosen. */
const REFINED = 10;
/** A field within another one is what lies on it up to this share of its area. */
const LARGEST_HELD = 0.8;
/** … and one in its middle, larger than this share and less like a tile, is the tile's own, drawn too small. */
const LEAST_OWN = 0.5;
const OWN_MIDDLE = 0.1;
/** Least score of a tile. */
const LEAST_SCORE = 0.022;
/** Share of the best score from which it is not clear which of two is the tile. */
const RIVAL = 0.65;
/** Share of the best score down to which a shadow makes another the tile. */
const NOT_FAR = 0.5;
/** ln light by which the shadow beyond one of them must be the deeper. */
const SHADOW = 0.25;
/** ln G, ln R/G, ln B/G: two tiles so alike that either tells the light. */
const SAME = [0.05, 0.02, 0.02];
/** Least share of each side along which light falls sharply. */
const SHARP_SHARE = 0.62;
/** ln light by which a strip beyond a side is darker than all about it: a shadow. */
const CAST = 0.06;
/** ln light by which a strip within a side differs from the face: from here on the side is doubted. */
const WITHIN = 0.4;
/** The same for straight edges: of the many about one tile most are the foot of its edge or its shadow's. */
const WITHIN_EDGES = 0.12;
/** … and the side is none. */
const MOST_WITHIN = 0.6;

/**
 * Corners of the tile in picture pixels, in order round it from the one nearest the top-left
 * corner; undefined when nothing in the picture looks like a tile.
 * @param notOn places known to lie on the piece, the sound glaze last: a field that holds one of them
 *   is not the tile, nor is one that the same glaze surrounds.
 * @param without places that may lie on the tile and are not tile: a dab laid on it
 */
export function findTile(
  cv: OpenCv,
  picture: EncodedPicture,
  notOn: readonly PixelCircle[] = [],
  without?: (x: number, y: number) => boolean,
): PixelPolygon | undefined {
  if (Math.min(picture.width, picture.height) < 24) return undefined;
  const reduced = reducedPicture(cv, picture);
  if (reduced.width < 24 || reduced.height < 24) return undefined;
  const { scale } = reduced;
  const laid = without && ((x: number, y: number) => without((x + 0.5) * scale, (y + 0.5) * scale));
  const onPiece = notOn.flatMap((c) => edgePoints(c, 1 / scale));
  const isOnPiece = (polygon: PixelPolygon) =>
    onPiece.some((p) => insidePolygon(polygon, p.x, p.y));
  const sound = notOn.at(-1);
  const glaze = sound && logInCircle(reduced, sound);
  const plane = logGreen(reduced);
  const rough = tileCandidates(cv, reduced);
  const isOff = ({ polygon }: { readonly polygon: PixelPolygon }) => !isOnPiece(polygon);
  const drawn: readonly Drawn[] = [
    ...rough.byEdges.filter(isOff).map((candidate) => ({
      ...candidate,
      polygon: fromTopLeft(candidate.polygon),
      trust: 0.8,
      doubted: WITHIN_EDGES,
    })),
    ...rough.byLight
      .filter(isOff)
      .slice(0, REFINED)
      .flatMap((candidate) => {
        const polygon = fromTopLeft(candidate.polygon);
        const onEdges = onSteepestEdges(plane, polygon);
        // A polygon on the steepest edges is the better one, unless following them led astray.
        return [
          { ...candidate, polygon, trust: 0.5, doubted: WITHIN },
          { ...candidate, polygon: fromTopLeft(onEdges), trust: 1, doubted: WITHIN },
        ];
      }),
  ];
  const fields = drawn
    .filter((one) => wellShaped(one.polygon) && isOff(one))
    .flatMap((one) => {
      const { polygon, shown } = one;
      const sharp = sharpSides(plane, polygon);
      const strip = stripWithin(plane, polygon);
      if (sharp < SHARP_SHARE || strip > MOST_WITHIN) return [];
      const shadow = shadowBeyond(plane, polygon);
      // What casts a shadow is not mirrored in the glaze, if that is as white as what the tile lies on.
      const mirroredIn = shadow < CAST ? glaze : undefined;
      const likeness = tileLikeness(reduced, polygon, mirroredIn, laid);
      const trust = one.trust / (1 + (strip / one.doubted) ** 2);
      const score = trust * sharp * shown ** 0.5 * likeness.weight;
      return score > LEAST_SCORE ? [{ polygon, likeness, shadow, score }] : [];
    })
    .sort((p, q) => q.score - p.score);
  const alone = fields.filter((field) => !holdsAnother(field, fields));
  return chosen(alone)?.polygon.map((p) => ({
    x: (p.x + 0.5) * scale,
    y: (p.y + 0.5) * scale,
  }));
}

interface Drawn extends Candidate {
  /** How far its outline is believed, 0–1, and the strip within a side, ln light, that halves it. */
  readonly trust: number;
  readonly doubted: number;
}

interface Field {
  readonly polygon: PixelPolygon;
  readonly likeness: Likeness;
  /** How dark a shadow it casts, ln light. */
  readonly shadow: number;
  readonly score: number;
}

/**
 * The best field, or one not far behind it that casts a shadow, as a tile does, where the best lies flat,
 * as paper does. Of rivals that this does not tell apart, none.
 */
function chosen(fields: readonly Field[]): Field | undefined {
  const best = fields[0];
  if (!best) return undefined;
  const others = fields.filter((other) => isAnotherLight(best, other));
  const against = (other: Field) => other.shadow - best.shadow;
  const thicker = others.filter(
    (other) => other.score > NOT_FAR * best.score && against(other) > SHADOW,
  );
  const [thickest] = thicker;
  if (thickest) {
    return thicker.every((other) => isSamePlace(thickest, other, 0.3)) ? thickest : undefined;
  }
  const rivals = others.filter(({ score }) => score > RIVAL * best.score);
  return rivals.every((other) => against(other) < -SHADOW) ? best : undefined;
}

/** A tile lies on other things; on it lies nothing of its kind. The paper under it holds the tile. */
function holdsAnother(field: Field, fields: readonly Field[]): boolean {
  const within = shrunk(field.polygon, 0.97);
  const area = polygonArea(field.polygon);
  return fields.some((other) => {
    const share = polygonArea(other.polygon) / area;
    return (
      share < LARGEST_HELD &&
      other.polygon.every((p) => insidePolygon(within, p.x, p.y)) &&
      !(share > LEAST_OWN && other.score < field.score && isSamePlace(field, other, OWN_MIDDLE))
    );
  });
}

/** Another place, of another light or colour. */
function isAnotherLight(best: Field, other: Field): boolean {
  if (isSamePlace(best, other, 0.3)) return false;
  return best.likeness.log.some((v, k) => Math.abs(v - other.likeness.log[k]!) > SAME[k]!);
}

/** Middles within this share of a side. */
function isSamePlace(one: Field, other: Field, share: number): boolean {
  const [p, q] = [polygonCentre(one.polygon), polygonCentre(other.polygon)];
  return Math.hypot(p.x - q.x, p.y - q.y) < share * Math.sqrt(polygonArea(one.polygon));
}

/** Middle and eight places round a circle on the piece, in reduced pixels. */
function edgePoints({ x, y, radius }: PixelCircle, scale: number): PixelPoint[] {
  const points = [{ x: x * scale, y: y * scale }];
  for (let i = 0; i < 8; i++) {
    const angle = (i / 4) * Math.PI;
    points.push({
      x: (x + 0.8 * radius * Math.cos(angle)) * scale,
      y: (y + 0.8 * radius * Math.sin(angle)) * scale,
    });
  }
  return points;
}

const logGreen = ({ width, height, g }: ReducedPicture): LightPlane => ({
  width,
  height,
  log: g.map((v) => Math.log(Math.max(2e-3, v))),
});

function fromTopLeft(quad: PixelPolygon): PixelPolygon {
  let start = 0;
  quad.forEach((p, i) => {
    if (p.x + p.y < quad[start]!.x + quad[start]!.y) start = i;
  });
  const ordered = quad.map((_, i) => quad[(start + i) % quad.length]!);
  // Clockwise on the screen (y down).
  const [a, b, c] = ordered as [PixelPolygon[0], PixelPolygon[0], PixelPolygon[0]];
  const turn = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
  return turn > 0 ? ordered : [ordered[0]!, ...ordered.slice(1).reverse()];
}
