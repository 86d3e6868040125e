/**
 * Finds the white tile by itself: the bright, even, four-sided field that stands out from its
 * surround at the widest range of thresholds. Works on a reduced picture; a few milliseconds.
 */
import type { OpenCv } from './opencv.ts';
import { insidePolygon, linearOfCode, polygonArea, polygonCentre, shrunk } from './picture.ts';
import { hasSharpSides, onSteepestEdges, type LightPlane } from './quad-edges.ts';
import { median, robustSigma } from './robust.ts';
import type { EncodedPicture, PixelCircle, PixelPoint, PixelPolygon } from './types.ts';

/** The longer side of the reduced picture, px. */
const REDUCED_SIDE = 480;
/** Least and largest area of a tile as a share of the picture. */
const LEAST_AREA = 0.002;
const LARGEST_AREA = 0.6;
/** Shares of the brightest level at which the picture is cut. */
const CUTS = [0.96, 0.92, 0.88, 0.84, 0.8, 0.76, 0.72, 0.67, 0.62, 0.57, 0.52, 0.46, 0.4, 0.34];

/** Multiples of the level round about at which it is cut. */
const LOCAL_CUTS = [1.06, 1.12, 1.2, 1.3];

interface Reduced {
  readonly width: number;
  readonly height: number;
  readonly scale: number;
  /** Smallest channel, encoded 0–255: white is high in all three. */
  readonly smallest: Uint8Array;
  readonly r: Float32Array;
  readonly g: Float32Array;
  readonly b: Float32Array;
}

interface Candidate {
  readonly polygon: PixelPolygon;
  readonly area: number;
  cuts: number;
}

/**
 * Corners of the tile in picture pixels, in order round it from the one nearest the top-left
 * corner; undefined when nothing in the picture looks like a tile.
 * @param notOn places known to lie on the piece, the sound glaze last: a field that holds one of them
 *   is not the tile, nor is one that the same glaze surrounds.
 */
export function findTile(
  cv: OpenCv,
  picture: EncodedPicture,
  notOn: readonly PixelCircle[] = [],
): PixelPolygon | undefined {
  const reduced = reduce(picture);
  if (reduced.width < 24 || reduced.height < 24) return undefined;
  const onPiece = notOn.flatMap((c) => edgePoints(c, 1 / reduced.scale));
  const sound = notOn.at(-1);
  const glaze = sound && logInCircle(reduced, sound);
  const candidates: Candidate[] = [];
  const top = brightest(reduced.smallest);
  const around = localMean(cv, reduced);
  const cuts = [
    ...CUTS.map((cut) => reduced.smallest.map((v) => (v > top * cut ? 255 : 0))),
    ...LOCAL_CUTS.map((cut) => reduced.smallest.map((v, i) => (v > around[i]! * cut ? 255 : 0))),
  ];
  for (const binary of cuts) {
    for (const polygon of quadsIn(cv, reduced, binary)) {
      if (onPiece.some((p) => insidePolygon(polygon, p.x, p.y))) continue;
      const area = polygonArea(polygon);
      const known = candidates.find((c) => sameField(c, polygon, area));
      if (known) known.cuts++;
      else candidates.push({ polygon, area, cuts: 1 });
    }
  }
  candidates.sort((p, q) => q.cuts * Math.sqrt(q.area) - p.cuts * Math.sqrt(p.area));
  const plane = logGreen(reduced);
  const refined = candidates
    .slice(0, REFINED)
    .flatMap((rough) => {
      const polygon = onSteepestEdges(plane, fromTopLeft(rough.polygon));
      // A polygon on the steepest edges is the better one, unless following them led astray.
      return [
        { ...rough, trust: 0.5 },
        { ...rough, polygon, area: polygonArea(polygon), trust: 1 },
      ];
    })
    .filter(
      (c) => wellShaped(c.polygon) && !onPiece.some((p) => insidePolygon(c.polygon, p.x, p.y)),
    )
    .map((c) => ({ ...c, score: c.trust * score(reduced, c, glaze) }))
    .filter((c) => c.score > 0 && hasSharpSides(plane, c.polygon))
    .sort((p, q) => q.score - p.score);
  return refined[0]?.polygon.map((p) => ({
    x: (p.x + 0.5) * reduced.scale,
    y: (p.y + 0.5) * reduced.scale,
  }));
}
/** Candidates whose edges are followed before the best is chosen. */
const REFINED = 8;

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

/** Mean level of a wide neighbourhood: a tile on a bright bench stands out against that. */
function localMean(cv: OpenCv, { smallest, width, height }: Reduced): Uint8Array {
  const mat = cv.matFromArray(height, width, cv.CV_8UC1, smallest);
  try {
    const side = 2 * Math.floor(width / 6) + 1;
    cv.blur(mat, mat, { width: side, height: side });
    return Uint8Array.from(mat.data);
  } finally {
    mat.delete();
  }
}

const logGreen = ({ width, height, g }: Reduced): LightPlane => ({
  width,
  height,
  log: g.map((v) => Math.log(Math.max(2e-3, v))),
});

function reduce(picture: EncodedPicture): Reduced {
  const { rgba, maxCode } = picture;
  const scale = Math.max(1, Math.ceil(Math.max(picture.width, picture.height) / REDUCED_SIDE));
  const width = Math.floor(picture.width / scale);
  const height = Math.floor(picture.height / scale);
  const smallest = new Uint8Array(width * height);
  const r = new Float32Array(width * height);
  const g = new Float32Array(width * height);
  const b = new Float32Array(width * height);
  const linear = linearOfCode(maxCode);
  const to8 = 255 / maxCode / (scale * scale);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sumR = 0;
      let sumG = 0;
      let sumB = 0;
      for (let dy = 0; dy < scale; dy++) {
        let at = ((y * scale + dy) * picture.width + x * scale) * 4;
        for (let dx = 0; dx < scale; dx++, at += 4) {
          sumR += rgba[at]!;
          sumG += rgba[at + 1]!;
          sumB += rgba[at + 2]!;
        }
      }
      const i = y * width + x;
      smallest[i] = Math.min(sumR, sumG, sumB) * to8;
      const code = 1 / (scale * scale);
      r[i] = linear[Math.round(sumR * code)]!;
      g[i] = linear[Math.round(sumG * code)]!;
      b[i] = linear[Math.round(sumB * code)]!;
    }
  }
  return { width, height, scale, smallest, r, g, b };
}

/** The level that one pixel in two hundred exceeds: highlights do not set it. */
function brightest(values: Uint8Array): number {
  const counts = new Uint32Array(256);
  for (const v of values) counts[v]!++;
  let left = values.length / 200;
  for (let level = 255; level > 0; level--) {
    left -= counts[level]!;
    if (left < 0) return level;
  }
  return 0;
}

/** Four-sided outlines of what is white in the binary picture. */
function quadsIn(cv: OpenCv, reduced: Reduced, white: Uint8Array): PixelPolygon[] {
  const binary = cv.matFromArray(reduced.height, reduced.width, cv.CV_8UC1, white);
  const kernel = cv.getStructuringElement(cv.MORPH_RECT, { width: 3, height: 3 });
  const contours = new cv.MatVector();
  const hierarchy = new cv.Mat();
  const found: PixelPolygon[] = [];
  try {
    cv.morphologyEx(binary, binary, cv.MORPH_OPEN, kernel);
    cv.findContours(binary, contours, hierarchy, cv.RETR_EXTERNAL, cv.CHAIN_APPROX_SIMPLE);
    const whole = reduced.width * reduced.height;
    for (let i = 0; i < contours.size(); i++) {
      const contour = contours.get(i);
      try {
        const area = cv.contourArea(contour);
        if (area < LEAST_AREA * whole || area > LARGEST_AREA * whole) continue;
        const quad = asQuad(cv, contour, area);
        if (quad) found.push(quad);
      } finally {
        contour.delete();
      }
    }
  } finally {
    for (const m of [binary, kernel, contours, hierarchy]) m.delete();
  }
  return found;
}

/** The contour as a convex quadrilateral, when it fills one: corners may be a little rounded. */
function asQuad(
  cv: OpenCv,
  contour: InstanceType<OpenCv['Mat']>,
  area: number,
): PixelPolygon | undefined {
  const hull = new cv.Mat();
  const polygon = new cv.Mat();
  try {
    cv.convexHull(contour, hull);
    const around = cv.arcLength(hull, true);
    for (const tolerance of [0.015, 0.025, 0.04, 0.06]) {
      cv.approxPolyDP(hull, polygon, tolerance * around, true);
      if (polygon.rows < 4) return undefined;
      if (polygon.rows > 4) continue;
      const at = polygon.data32S;
      const quad = [0, 1, 2, 3].map((i) => ({ x: at[2 * i]!, y: at[2 * i + 1]! }));
      const fill = area / polygonArea(quad);
      return fill > 0.86 && fill < 1.12 && wellShaped(quad) ? quad : undefined;
    }
    return undefined;
  } finally {
    hull.delete();
    polygon.delete();
  }
}

/** No needle and no sliver: sides within 1 : 3.5, corners between 50° and 130°. */
function wellShaped(quad: PixelPolygon): boolean {
  const sides: number[] = [];
  for (let i = 0; i < 4; i++) {
    const before = quad[(i + 3) % 4]!;
    const p = quad[i]!;
    const after = quad[(i + 1) % 4]!;
    const ux = before.x - p.x;
    const uy = before.y - p.y;
    const vx = after.x - p.x;
    const vy = after.y - p.y;
    const cosine = (ux * vx + uy * vy) / (Math.hypot(ux, uy) * Math.hypot(vx, vy));
    if (Math.abs(cosine) > Math.cos((50 * Math.PI) / 180)) return false;
    sides.push(Math.hypot(vx, vy));
  }
  return Math.max(...sides) < 3.5 * Math.min(...sides);
}

function sameField(known: Candidate, polygon: PixelPolygon, area: number): boolean {
  if (area < 0.8 * known.area || area > 1.25 * known.area) return false;
  const p = polygonCentre(polygon);
  const q = polygonCentre(known.polygon);
  return Math.hypot(p.x - q.x, p.y - q.y) < 0.12 * Math.sqrt(known.area);
}

/** How much like a tile: stands out on all sides, even, near white, at many cuts. ≤ 0: not one. */
function score(reduced: Reduced, candidate: Candidate, glaze: Log | undefined): number {
  const { polygon } = candidate;
  const inner = shrunk(polygon, 0.82);
  const outer = shrunk(polygon, 1.3);
  const lightness: number[] = [];
  const redness: number[] = [];
  const blueness: number[] = [];
  const sideOutside: Log[][] = [[], [], [], []];
  const sideInside: number[][] = [[], [], [], []];
  const middle = shrunk(polygon, 0.6);
  let clipped = 0;
  const xs = outer.map((p) => p.x);
  const ys = outer.map((p) => p.y);
  const left = Math.max(0, Math.floor(Math.min(...xs)));
  const right = Math.min(reduced.width - 1, Math.ceil(Math.max(...xs)));
  const bottom = Math.min(reduced.height - 1, Math.ceil(Math.max(...ys)));
  const justOutside = shrunk(polygon, 1.12);
  for (let y = Math.max(0, Math.floor(Math.min(...ys))); y <= bottom; y++) {
    for (let x = left; x <= right; x++) {
      const i = y * reduced.width + x;
      const log = logAt(reduced, i);
      if (insidePolygon(inner, x, y)) {
        lightness.push(log[0]);
        redness.push(log[1]);
        blueness.push(log[2]);
        if (reduced.smallest[i]! > 252) clipped++;
        if (!insidePolygon(middle, x, y)) {
          sideInside[nearestSide(polygon, x, y)]!.push(log[0]);
        }
      } else if (!insidePolygon(justOutside, x, y) && insidePolygon(outer, x, y)) {
        sideOutside[nearestSide(polygon, x, y)]!.push(log);
      }
    }
  }
  if (lightness.length < 20) return 0;
  const level = median(lightness);
  const unevenness = robustSigma(lightness, level);
  const tint = Math.hypot(median(redness), median(blueness));
  const tintSpread = robustSigma(redness) + robustSigma(blueness);
  const contrasts = sideOutside
    .map((s, i) => (s.length > 3 ? median(sideInside[i]!) - median(s.map((log) => log[0])) : NaN))
    .filter((c) => !Number.isNaN(c));
  if (contrasts.length < 3) return 0;
  const leastContrast = Math.min(...contrasts);
  if (leastContrast < 0.05) return 0;
  return (
    [1, 0.25, 0, 0, 0][cornersOnBorder(reduced, polygon)]! *
    (glaze && liesOnGlaze(sideOutside, glaze) ? 0.1 : 1) *
    Math.min(1, leastContrast / 0.4) *
    Math.exp(-unevenness / 0.12) *
    Math.exp(-((tint / 0.5) ** 2)) *
    Math.exp(-tintSpread / 0.08) *
    (clipped > 0.5 * lightness.length ? 0.5 : 1) *
    (candidate.area / (reduced.width * reduced.height)) ** 0.3 *
    candidate.cuts ** 0.6 *
    Math.exp(level) ** 0.6
  );
}

/** A tile lies whole in the picture; what runs out of it is more likely paper or the piece. */
function cornersOnBorder({ width, height }: Reduced, polygon: PixelPolygon): number {
  return polygon.filter((p) => p.x < 2 || p.y < 2 || p.x > width - 4 || p.y > height - 4).length;
}

/** Log light and log ratios of a place, as LogTriple holds them. */
type Log = readonly [green: number, redToGreen: number, blueToGreen: number];

/** What glaze surrounds on all sides is the lamp mirrored in it, not a tile. */
function liesOnGlaze(outside: readonly (readonly Log[])[], glaze: Log): boolean {
  return outside.every((side) => {
    if (side.length < 4) return false;
    const [green, red, blue] = [0, 1, 2].map((k) => median(side.map((log) => log[k]!)));
    return (
      Math.hypot(red! - glaze[1], blue! - glaze[2]) < 0.06 && Math.abs(green! - glaze[0]) < 0.5
    );
  });
}

function logAt({ r, g, b }: Reduced, i: number): Log {
  const green = Math.log(Math.max(1e-4, g[i]!));
  return [green, Math.log(Math.max(1e-4, r[i]!)) - green, Math.log(Math.max(1e-4, b[i]!)) - green];
}

/** Median colour inside a circle of the picture. */
function logInCircle(reduced: Reduced, circle: PixelCircle): Log | undefined {
  const { width, height, scale } = reduced;
  const [cx, cy, radius] = [circle.x / scale, circle.y / scale, circle.radius / scale + 0.5];
  const logs: Log[] = [];
  for (let y = Math.max(0, Math.floor(cy - radius)); y < Math.min(height, cy + radius); y++) {
    for (let x = Math.max(0, Math.floor(cx - radius)); x < Math.min(width, cx + radius); x++) {
      if (Math.hypot(x - cx, y - cy) <= radius) logs.push(logAt(reduced, y * width + x));
    }
  }
  if (logs.length === 0) return undefined;
  return [0, 1, 2].map((k) => median(logs.map((log) => log[k]!))) as unknown as Log;
}

function nearestSide(polygon: PixelPolygon, x: number, y: number): number {
  let best = 0;
  let least = Infinity;
  for (let i = 0; i < 4; i++) {
    const p = polygon[i]!;
    const q = polygon[(i + 1) % 4]!;
    const length = Math.hypot(q.x - p.x, q.y - p.y);
    const distance = Math.abs((q.x - p.x) * (y - p.y) - (q.y - p.y) * (x - p.x)) / length;
    if (distance < least) {
      least = distance;
      best = i;
    }
  }
  return best;
}

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
