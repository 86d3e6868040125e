/**
 * Four-sided fields of a picture that may be the tile, on a reduced copy of it. A tile is told from
 * what it lies on either by its light, then a cut at some level frees it, or by its outline alone, when
 * it lies on something as white: then it is an even field closed in by edges.
 */
import type { Mat, OpenCv } from './opencv.ts';
import { LINEAR_OF_CODE } from '../colour/srgb.ts';
import { edgeQuads } from './edge-quads.ts';
import { straightEdges } from './straight-edges.ts';
import { linearOfCode, polygonArea, polygonCentre } from './picture.ts';
import type { EncodedPicture, PixelPolygon } from './types.ts';

/** The longer side of the reduced picture, px. */
const REDUCED_SIDE = 480;
/** Least and largest area of a tile as a share of the picture. */
const LEAST_AREA = 0.002;
const LARGEST_AREA = 0.6;
/** Shares of the brightest level at which the picture is cut. */
const CUTS = [0.94, 0.88, 0.82, 0.75, 0.68, 0.6, 0.52, 0.44, 0.36];
/** Multiples of the level round about at which it is cut. */
const LOCAL_CUTS = [1.08, 1.18];
/** Changes of code over two pixels, as a share of the code, from which there is an edge. */
const EDGES = [0.012, 0.022, 0.04, 0.075];
/** More edges than this share of the picture are noise or texture. */
const MOST_EDGES = 0.45;
/** Fields drawn by straight edges that are kept. */
const MOST_BY_EDGES = 24;

export interface ReducedPicture {
  readonly width: number;
  readonly height: number;
  /** Pixels of the picture to one of these, in each direction. */
  readonly scale: number;
  /** Smallest channel, encoded 0–255: white is high in all three. */
  readonly smallest: Float32Array;
  /** Change of `smallest` over two pixels, as a share of itself. */
  readonly change: Float32Array;
  /** The same along x and along y. */
  readonly alongX: Float32Array;
  readonly alongY: Float32Array;
  /** Linear light that one pixel in two hundred exceeds in its smallest channel. */
  readonly top: number;
  /** Linear light, 0–1. */
  readonly r: Float32Array;
  readonly g: Float32Array;
  readonly b: Float32Array;
}

export interface Candidate {
  /** In reduced pixels. */
  readonly polygon: PixelPolygon;
  readonly area: number;
  /** How many cuts and edge levels show it. */
  shown: number;
}

export interface Candidates {
  /** Freed by a cut at some level, or closed in by edges; those that show most often first. */
  readonly byLight: readonly Candidate[];
  /** Drawn by straight edges: their sides lie on them. The best drawn first. */
  readonly byEdges: readonly Candidate[];
}

export function reducedPicture(cv: OpenCv, picture: EncodedPicture): ReducedPicture {
  const { rgba, maxCode } = picture;
  const scale = Math.max(1, Math.ceil(Math.max(picture.width, picture.height) / REDUCED_SIDE));
  const width = Math.floor(picture.width / scale);
  const height = Math.floor(picture.height / scale);
  const smallest = new Float32Array(width * height);
  const r = new Float32Array(width * height);
  const g = new Float32Array(width * height);
  const b = new Float32Array(width * height);
  const linear = linearOfCode(maxCode);
  // Of a large picture every second pixel is enough.
  const stride = scale >= 4 ? 2 : 1;
  const taken = Math.ceil(scale / stride) ** 2;
  const to8 = 255 / maxCode / taken;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sumR = 0;
      let sumG = 0;
      let sumB = 0;
      for (let dy = 0; dy < scale; dy += stride) {
        let at = ((y * scale + dy) * picture.width + x * scale) * 4;
        for (let dx = 0; dx < scale; dx += stride, at += 4 * stride) {
          sumR += rgba[at]!;
          sumG += rgba[at + 1]!;
          sumB += rgba[at + 2]!;
        }
      }
      const i = y * width + x;
      smallest[i] = Math.min(sumR, sumG, sumB) * to8;
      r[i] = linear[Math.round(sumR / taken)]!;
      g[i] = linear[Math.round(sumG / taken)]!;
      b[i] = linear[Math.round(sumB / taken)]!;
    }
  }
  const changes = changesOver(cv, smallest, width, height);
  const top = LINEAR_OF_CODE[brightest(smallest)]! + 1e-4;
  return { width, height, scale, smallest, ...changes, top, r, g, b };
}

function changesOver(cv: OpenCv, codes: Float32Array, width: number, height: number) {
  const mat = cv.matFromArray(height, width, cv.CV_32FC1, codes);
  const [change, alongX, alongY] = [0, 1, 2].map(() => new Float32Array(width * height)) as [
    Float32Array,
    Float32Array,
    Float32Array,
  ];
  try {
    cv.blur(mat, mat, { width: 3, height: 3 });
    const smooth = mat.data32F;
    for (let y = 1; y < height - 1; y++) {
      for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
        const share = 1 / (smooth[i]! + 4);
        const dx = share * (smooth[i + 1]! - smooth[i - 1]!);
        const dy = share * (smooth[i + width]! - smooth[i - width]!);
        alongX[i] = dx;
        alongY[i] = dy;
        change[i] = Math.sqrt(dx * dx + dy * dy);
      }
    }
  } finally {
    mat.delete();
  }
  return { change, alongX, alongY };
}

/** All that look like a tile in outline. */
export function tileCandidates(cv: OpenCv, reduced: ReducedPicture): Candidates {
  const byLight = candidatesByLight(cv, reduced);
  const byEdges = candidatesByEdges(reduced, byLight);
  byLight.sort((p, q) => q.shown * Math.sqrt(q.area) - p.shown * Math.sqrt(p.area));
  return { byLight, byEdges };
}

function candidatesByLight(cv: OpenCv, reduced: ReducedPicture): Candidate[] {
  const { smallest, change, width, height } = reduced;
  const n = width * height;
  const candidates: Candidate[] = [];
  const white = new Uint8Array(n);
  const binary = new cv.Mat(height, width, cv.CV_8UC1);
  const kernel = cv.getStructuringElement(cv.MORPH_RECT, { width: 3, height: 3 });
  const look = () => {
    binary.data.set(white);
    cv.morphologyEx(binary, binary, cv.MORPH_OPEN, kernel);
    quadsIn(cv, binary, n, (polygon) => {
      const area = polygonArea(polygon);
      const known = candidates.find((c) => sameField(c, polygon, area));
      if (known) known.shown++;
      else candidates.push({ polygon, area, shown: 1 });
    });
  };
  try {
    const top = brightest(smallest);
    for (const cut of CUTS) {
      for (let i = 0; i < n; i++) white[i] = smallest[i]! > top * cut ? 255 : 0;
      look();
    }
    const around = localMean(cv, reduced);
    for (const cut of LOCAL_CUTS) {
      for (let i = 0; i < n; i++) white[i] = smallest[i]! > around[i]! * cut ? 255 : 0;
      look();
    }
    for (const edge of EDGES) {
      let edges = 0;
      for (let i = 0; i < n; i++) {
        const isEdge = change[i]! > edge;
        white[i] = isEdge ? 0 : 255;
        if (isEdge) edges++;
      }
      if (edges < MOST_EDGES * n) look();
    }
  } finally {
    binary.delete();
    kernel.delete();
  }
  return candidates;
}

/** A field that cuts show as well is shown as often. */
function candidatesByEdges(reduced: ReducedPicture, byLight: readonly Candidate[]): Candidate[] {
  const n = reduced.width * reduced.height;
  const drawn: Candidate[] = [];
  const isWanted = (polygon: PixelPolygon) => {
    const area = polygonArea(polygon);
    return area > LEAST_AREA * n && area < LARGEST_AREA * n && wellShaped(polygon);
  };
  for (const { polygon, area } of edgeQuads(straightEdges(reduced), isWanted)) {
    if (drawn.some((c) => nearlySame(c, polygon))) continue;
    const known = byLight.find((c) => sameField(c, polygon, area));
    drawn.push({ polygon, area, shown: known?.shown ?? 1 });
    if (drawn.length >= MOST_BY_EDGES) break;
  }
  return drawn;
}

/** The level that one pixel in two hundred exceeds: highlights do not set it. */
function brightest(values: Float32Array): number {
  const counts = new Uint32Array(256);
  for (const v of values) counts[v | 0]!++;
  let left = values.length / 200;
  for (let level = 255; level > 0; level--) {
    left -= counts[level]!;
    if (left < 0) return level;
  }
  return 0;
}

/** Mean level of a wide neighbourhood: a tile on a bright bench stands out against that. */
function localMean(cv: OpenCv, { smallest, width, height }: ReducedPicture): Float32Array {
  const mat = cv.matFromArray(height, width, cv.CV_32FC1, smallest);
  try {
    const side = 2 * Math.floor(width / 6) + 1;
    cv.blur(mat, mat, { width: side, height: side });
    return Float32Array.from(mat.data32F);
  } finally {
    mat.delete();
  }
}

/** Four-sided outlines of what is on in the binary picture, holes in it included. */
function quadsIn(cv: OpenCv, binary: Mat, whole: number, found: (quad: PixelPolygon) => void) {
  const contours = new cv.MatVector();
  const hierarchy = new cv.Mat();
  try {
    cv.findContours(binary, contours, hierarchy, cv.RETR_LIST, cv.CHAIN_APPROX_SIMPLE);
    for (let i = 0; i < contours.size(); i++) {
      const contour = contours.get(i);
      try {
        const area = cv.contourArea(contour);
        if (area < LEAST_AREA * whole || area > LARGEST_AREA * whole) continue;
        const quad = asQuad(cv, contour, area);
        if (quad) found(quad);
      } finally {
        contour.delete();
      }
    }
  } finally {
    contours.delete();
    hierarchy.delete();
  }
}

/** The contour as a convex quadrilateral, when it fills one: corners may be a little rounded. */
function asQuad(cv: OpenCv, contour: Mat, area: number): PixelPolygon | undefined {
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

/** Tiles are up to twice as long as wide, more when tilted: sides within 1 : 2.6, corners between 50° and 130°. */
export function wellShaped(quad: PixelPolygon): boolean {
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
  return Math.max(...sides) < 2.6 * Math.min(...sides);
}

/** Corners within two pixels, or 2 % of the side. */
function nearlySame(known: Candidate, polygon: PixelPolygon): boolean {
  const near = Math.max(2, 0.02 * Math.sqrt(known.area));
  return polygon.every((p) => known.polygon.some((q) => Math.hypot(p.x - q.x, p.y - q.y) < near));
}

function sameField(known: Candidate, polygon: PixelPolygon, area: number): boolean {
  if (area < 0.8 * known.area || area > 1.25 * known.area) return false;
  const p = polygonCentre(polygon);
  const q = polygonCentre(known.polygon);
  return Math.hypot(p.x - q.x, p.y - q.y) < 0.12 * Math.sqrt(known.area);
}
