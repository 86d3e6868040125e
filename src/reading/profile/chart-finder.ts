/**
 * Where a chart of 4 × 6 patches lies in a picture: even four-sided fields of like size that stand on a
 * grid. Which way round it lies is for its colours to say.
 */
import type { Mat, OpenCv } from '../opencv.ts';
import { polygonArea, polygonCentre, signedArea } from '../picture.ts';
import type { EncodedPicture, PixelPoint, PixelPolygon } from '../types.ts';
import { CHART_COLUMNS, CHART_PATCHES, CHART_ROWS } from './cgats.ts';
import { homography, type Pair } from './homography.ts';

/** The longer side of the reduced picture, px. */
const REDUCED_SIDE = 960;
/** Change of code over two pixels, codes of 255, from which there is an edge. */
const EDGES = [4, 7, 12, 20, 34];
/** Area of a patch as a share of the picture. */
const LEAST_AREA = 0.0003;
const LARGEST_AREA = 0.04;
/** Patches of a chart are alike in area within this factor of each other's neighbours. */
const ALIKE = 2;
/** A neighbour's middle lies this many patch sides away, and this far from where it is expected. */
const LEAST_PITCH = 0.95;
const LARGEST_PITCH = 1.9;
const ASIDE = 0.25;
/** Of 24 patches, how many must be seen as fields; the grid says where the others are. */
const LEAST_SEEN = 14;
/** Distance of a seen patch from the grid, in patches, beyond which it is no grid. */
const OFF_GRID = 0.12;

interface Field {
  readonly centre: PixelPoint;
  readonly area: number;
  readonly corners: PixelPolygon;
}

/**
 * @returns the outer corners of the field of patches, px, clockwise as seen, one of its long sides
 *   first; undefined where no whole chart is seen: a row or a column of it may be hidden
 */
export function findChart(cv: OpenCv, picture: EncodedPicture): PixelPolygon | undefined {
  const fields = evenFields(cv, picture);
  let best: Laid | undefined;
  for (const seed of fields) {
    const laid = gridFrom(seed, fields);
    if (laid && (best === undefined || laid.seen > best.seen)) best = laid;
    if (best?.seen === CHART_PATCHES) break;
  }
  return best?.corners;
}

interface Laid {
  readonly seen: number;
  readonly corners: PixelPolygon;
}

/** Walks from patch to patch, each time with the sides of the one it stands on. */
function gridFrom(seed: Field, fields: readonly Field[]): Laid | undefined {
  const at = new Map<Field, readonly [number, number]>([[seed, [0, 0]]]);
  const queue = [seed];
  const [alongSeed, downSeed] = sides(seed);
  for (let from = queue.shift(); from; from = queue.shift()) {
    const [i, j] = at.get(from)!;
    const [along, down] = orderedLike(sides(from), alongSeed, downSeed);
    for (const other of fields) {
      if (at.has(other) || !alike(from, other)) continue;
      const [s, t] = inBasis(minus(other.centre, from.centre), along, down);
      const step = neighbourStep(s, t);
      if (!step) continue;
      const place = [i + step[0], j + step[1]] as const;
      if ([...at.values()].some(([p, q]) => p === place[0] && q === place[1])) continue;
      at.set(other, place);
      queue.push(other);
    }
  }
  return laidOn(at);
}

function laidOn(at: ReadonlyMap<Field, readonly [number, number]>): Laid | undefined {
  if (at.size < LEAST_SEEN) return undefined;
  const places = [...at.values()];
  const least = [0, 1].map((k) => Math.min(...places.map((p) => p[k]!)));
  const [columns, rows] = [0, 1].map((k) => Math.max(...places.map((p) => p[k]!)) - least[k]! + 1);
  const lying = columns === CHART_COLUMNS && rows === CHART_ROWS;
  const standing = columns === CHART_ROWS && rows === CHART_COLUMNS;
  if (!lying && !standing) return undefined;
  const pairs: Pair[] = [...at].map(([field, [i, j]]) => ({
    u: i - least[0]!,
    v: j - least[1]!,
    to: field.centre,
  }));
  const place = homography(pairs);
  const pitch = Math.hypot(place(1, 1).x - place(0, 0).x, place(1, 1).y - place(0, 0).y);
  const off = pairs.map(({ u, v, to }) => Math.hypot(place(u, v).x - to.x, place(u, v).y - to.y));
  if (Math.max(...off) > OFF_GRID * pitch) return undefined;
  const [right, bottom] = [columns - 0.5, rows - 0.5];
  const round = [place(-0.5, -0.5), place(right, -0.5), place(right, bottom), place(-0.5, bottom)];
  const longFirst = lying ? round : [...round.slice(1), round[0]!];
  return { seen: at.size, corners: signedArea(longFirst) > 0 ? longFirst : swapped(longFirst) };
}

/** The same corners the other way round, with the same side first. */
const swapped = ([p, q, r, s]: PixelPolygon): PixelPolygon => [q!, p!, s!, r!];

const alike = (p: Field, q: Field): boolean => p.area < ALIKE * q.area && q.area < ALIKE * p.area;

/** One patch further along one side, or none. */
function neighbourStep(s: number, t: number): readonly [number, number] | undefined {
  const isPitch = (v: number) => Math.abs(v) > LEAST_PITCH && Math.abs(v) < LARGEST_PITCH;
  if (isPitch(s) && Math.abs(t) < ASIDE) return [Math.sign(s), 0];
  if (isPitch(t) && Math.abs(s) < ASIDE) return [0, Math.sign(t)];
  return undefined;
}

/** The two sides of a field as vectors, mean of opposite ones. */
function sides({ corners }: Field): readonly [PixelPoint, PixelPoint] {
  const [p, q, r, s] = corners as [PixelPoint, PixelPoint, PixelPoint, PixelPoint];
  const mean = (u: PixelPoint, v: PixelPoint) => ({ x: (u.x + v.x) / 2, y: (u.y + v.y) / 2 });
  return [mean(minus(q, p), minus(r, s)), mean(minus(s, p), minus(r, q))];
}

/** Contours begin at any corner: the sides named and directed as the first patch's are. */
function orderedLike(
  [p, q]: readonly [PixelPoint, PixelPoint],
  along: PixelPoint,
  down: PixelPoint,
): readonly [PixelPoint, PixelPoint] {
  const turned = Math.abs(dot(p, along)) < Math.abs(dot(q, along));
  const [a, d] = turned ? [q, p] : [p, q];
  const directed = (v: PixelPoint, like: PixelPoint) =>
    dot(v, like) < 0 ? { x: -v.x, y: -v.y } : v;
  return [directed(a, along), directed(d, down)];
}

const minus = (p: PixelPoint, q: PixelPoint): PixelPoint => ({ x: p.x - q.x, y: p.y - q.y });
const dot = (p: PixelPoint, q: PixelPoint): number => p.x * q.x + p.y * q.y;

function inBasis(v: PixelPoint, a: PixelPoint, b: PixelPoint): readonly [number, number] {
  const area = a.x * b.y - a.y * b.x;
  return [(v.x * b.y - v.y * b.x) / area, (a.x * v.y - a.y * v.x) / area];
}

/** Four-sided fields without an edge in them, each once, in pixels of the picture. */
function evenFields(cv: OpenCv, picture: EncodedPicture): readonly Field[] {
  const { width, height, change, scale } = changeOf(cv, picture);
  const found: Field[] = [];
  const even = new cv.Mat(height, width, cv.CV_8UC1);
  const kernel = cv.getStructuringElement(cv.MORPH_RECT, { width: 3, height: 3 });
  try {
    for (const edge of EDGES) {
      even.data.set(change.map((v) => (v < edge ? 255 : 0)));
      cv.morphologyEx(even, even, cv.MORPH_OPEN, kernel);
      for (const corners of quadsOf(cv, even)) {
        const area = polygonArea(corners);
        if (area < LEAST_AREA * width * height || area > LARGEST_AREA * width * height) continue;
        const inPicture = corners.map(({ x, y }) => ({
          x: (x + 0.5) * scale,
          y: (y + 0.5) * scale,
        }));
        const centre = polygonCentre(inPicture);
        const side = Math.sqrt(area) * scale;
        const known = found.some(
          (other) => Math.hypot(other.centre.x - centre.x, other.centre.y - centre.y) < 0.4 * side,
        );
        if (!known) found.push({ centre, area: area * scale * scale, corners: inPicture });
      }
    }
  } finally {
    kernel.delete();
    even.delete();
  }
  return found;
}

/** Greatest change of any channel over two pixels, on a reduced picture, in codes of 255. */
function changeOf(cv: OpenCv, picture: EncodedPicture) {
  const { rgba, maxCode } = picture;
  const scale = Math.max(1, Math.max(picture.width, picture.height) / REDUCED_SIDE);
  const width = Math.floor(picture.width / scale);
  const height = Math.floor(picture.height / scale);
  const whole = new cv.Mat(picture.height, picture.width, cv.CV_8UC4);
  const reduced = new cv.Mat();
  const change = new Uint8Array(width * height);
  try {
    if (maxCode === 255) whole.data.set(rgba);
    else for (let i = 0; i < rgba.length; i++) whole.data[i] = rgba[i]! >> 8;
    cv.resize(whole, reduced, { width, height }, 0, 0, cv.INTER_AREA);
    cv.GaussianBlur(reduced, reduced, { width: 3, height: 3 }, 0);
    const codes = reduced.data;
    for (let y = 1; y < height - 1; y++) {
      for (let x = 1; x < width - 1; x++) {
        const at = (y * width + x) * 4;
        let most = 0;
        for (let k = 0; k < 3; k++) {
          const across = codes[at + 4 + k]! - codes[at - 4 + k]!;
          const down = codes[at + 4 * width + k]! - codes[at - 4 * width + k]!;
          most = Math.max(most, Math.abs(across), Math.abs(down));
        }
        change[y * width + x] = most;
      }
    }
  } finally {
    whole.delete();
    reduced.delete();
  }
  return { width, height, scale, change };
}

function quadsOf(cv: OpenCv, binary: Mat): readonly PixelPolygon[] {
  const contours = new cv.MatVector();
  const hierarchy = new cv.Mat();
  const quads: PixelPolygon[] = [];
  try {
    cv.findContours(binary, contours, hierarchy, cv.RETR_LIST, cv.CHAIN_APPROX_SIMPLE);
    for (let i = 0; i < contours.size(); i++) {
      const contour = contours.get(i);
      const polygon = new cv.Mat();
      try {
        cv.approxPolyDP(contour, polygon, 0.06 * cv.arcLength(contour, true), true);
        if (polygon.rows !== 4 || !cv.isContourConvex(polygon)) continue;
        const v = polygon.data32S;
        quads.push([0, 1, 2, 3].map((k) => ({ x: v[2 * k]!, y: v[2 * k + 1]! })));
      } finally {
        contour.delete();
        polygon.delete();
      }
    }
  } finally {
    contours.delete();
    hierarchy.delete();
  }
  return quads;
}
