/**
 * Small benches of known colour: flat fields in linear light, a lamp, a little noise, sRGB codes. They
 * share no code with the reader: Lab becomes light by colorjs.io, light becomes codes by the formula of
 * IEC 61966-2-1.
 */
import Color from 'colorjs.io';
import type { EncodedPicture, PixelPoint } from '../../src/reading/types.ts';

export type Triple = readonly [number, number, number];

/** Linear sRGB of a surface, CIELAB D65/2°. */
export function linearOf(lab: Triple): Triple {
  return new Color('lab-d65', [...lab]).to('srgb-linear').coords as unknown as Triple;
}

/** ΔE₀₀ by colorjs.io. Its own mode `lab` keeps it from adapting to D50 first. */
export function deltaE2000(first: Triple, second: Triple): number {
  return new Color('lab', [...first]).deltaE(new Color('lab', [...second]), '2000');
}

/** Lab `share` of the way from the first colour to the second. */
export const between = (first: Triple, second: Triple, share: number): Triple => [
  first[0] + (second[0] - first[0]) * share,
  first[1] + (second[1] - first[1]) * share,
  first[2] + (second[2] - first[2]) * share,
];

/** What stands on the bench: later things cover earlier ones. */
export interface Thing {
  readonly lab: Triple;
  /** How much of the pixel it covers, 0–1. */
  readonly cover: (x: number, y: number) => number;
  /** Light on it relative to the light on the tile; 1 everywhere when absent. */
  readonly light?: (x: number, y: number) => number;
}

/** A disc with an edge `soft` px wide. */
export function disc(x: number, y: number, radius: number, soft = 2): Thing['cover'] {
  return (px, py) => clamp(0.5 + (radius - Math.hypot(px - x, py - y)) / soft);
}

/** A convex polygon, corners clockwise on the screen, with an edge `soft` px wide. */
export function polygon(corners: readonly PixelPoint[], soft = 1.5): Thing['cover'] {
  const sides = corners.map((p, i) => {
    const q = corners[(i + 1) % corners.length]!;
    const length = Math.hypot(q.x - p.x, q.y - p.y);
    return { x: p.x, y: p.y, nx: -(q.y - p.y) / length, ny: (q.x - p.x) / length };
  });
  return (px, py) => {
    let depth = Infinity;
    for (const s of sides) depth = Math.min(depth, (px - s.x) * s.nx + (py - s.y) * s.ny);
    return clamp(0.5 + depth / soft);
  };
}

/** Corners of a rectangle turned by `degrees` and seen tilted: its far side `taper` shorter. */
export function turnedRectangle(
  centre: PixelPoint,
  width: number,
  height: number,
  degrees = 0,
  taper = 0,
): PixelPoint[] {
  const turn = (degrees * Math.PI) / 180;
  const far = (width / 2) * (1 - taper);
  const near = width / 2;
  return (
    [
      [-far, -height / 2],
      [far, -height / 2],
      [near, height / 2],
      [-near, height / 2],
    ] as const
  ).map(([x, y]) => ({
    x: centre.x + x * Math.cos(turn) - y * Math.sin(turn),
    y: centre.y + x * Math.sin(turn) + y * Math.cos(turn),
  }));
}

export interface Shot {
  readonly width?: number;
  readonly height?: number;
  readonly things: readonly Thing[];
  readonly backgroundLab?: Triple;
  /** Factor from reflectance to linear light in each channel: exposure and the lamp's colour. */
  readonly gain?: Triple;
  /** Standard deviation of the noise, codes of 255. */
  readonly noise?: number;
  readonly seed?: number;
  readonly maxCode?: EncodedPicture['maxCode'];
  /** Light that comes on top: the lamp mirrored, of the lamp's colour. */
  readonly glare?: (x: number, y: number) => number;
}

/** Linear light of the shot, three numbers a pixel. */
export function linearLight({
  width = 480,
  height = 360,
  things,
  backgroundLab = [30, 0, 0],
  gain = [0.8, 0.8, 0.8],
  glare,
}: Shot): Float64Array {
  const colours = things.map((t) => linearOf(t.lab));
  const background = linearOf(backgroundLab);
  const light = new Float64Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const pixel: [number, number, number] = [...background];
      things.forEach((thing, i) => {
        const cover = thing.cover(x + 0.5, y + 0.5);
        if (cover === 0) return;
        const shade = thing.light?.(x + 0.5, y + 0.5) ?? 1;
        for (let k = 0; k < 3; k++) {
          pixel[k] = pixel[k]! * (1 - cover) + colours[i]![k]! * shade * cover;
        }
      });
      const mirrored = glare?.(x + 0.5, y + 0.5) ?? 0;
      for (let k = 0; k < 3; k++) {
        light[(y * width + x) * 3 + k] = (pixel[k]! + mirrored) * gain[k]!;
      }
    }
  }
  return light;
}

export function shoot(shot: Shot): EncodedPicture {
  const { width = 480, height = 360, noise = 1, seed = 1, maxCode = 255 } = shot;
  const light = linearLight(shot);
  // One long row of noise, begun anew at a shift that no row of pixels repeats: fast, and even enough.
  const normal = normals(seed);
  const row = Float64Array.from({ length: 40_009 }, () => (noise * normal() * maxCode) / 255);
  const rgba =
    maxCode === 255 ? new Uint8Array(width * height * 4) : new Uint16Array(width * height * 4);
  for (let i = 0; i < width * height; i++) {
    for (let k = 0; k < 3; k++) {
      const code = maxCode * encoded(light[3 * i + k]!) + row[(3 * i + k) % row.length]!;
      rgba[4 * i + k] = Math.round(Math.min(maxCode, Math.max(0, code)));
    }
    rgba[4 * i + 3] = maxCode;
  }
  return { width, height, rgba, maxCode, frames: 1 };
}

/** IEC 61966-2-1, the encoding of linear values. */
function encoded(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/** Uniform numbers in 0–1 from a seed: Marsaglia’s xorshift (2003, J. Stat. Softw. 8). */
export function uniforms(seed: number): () => number {
  let state = (seed * 2654435761) >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state >>>= 0;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return (state + 0.5) / 2 ** 32;
  };
}

/** Normal numbers by Box and Muller (1958). */
export function normals(seed: number): () => number {
  const uniform = uniforms(seed);
  for (let i = 0; i < 20; i++) uniform();
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

/** Φ by Abramowitz and Stegun 1964, 7.1.26: within 1.5e-7. */
export function normalDistribution(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const series =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - series * Math.exp(-x * x);
  return z < 0 ? (1 - erf) / 2 : (1 + erf) / 2;
}

const clamp = (v: number): number => Math.max(0, Math.min(1, v));

/** The plain bench of most tests: a flat piece on the left with a dab, a tile on the right. */
export const TILE_LAB: Triple = [93, -0.6, 1.5];
export const GLAZE_LAB: Triple = [68, -6, 14];
export const TILE_CORNERS = turnedRectangle({ x: 380, y: 110 }, 120, 110, 8);
export const PIECE_CORNERS = turnedRectangle({ x: 150, y: 180 }, 260, 300);
export const GLAZE_CIRCLE = { x: 150, y: 280, radius: 14 } as const;
export const DAB_CIRCLE = { x: 150, y: 180, radius: 26 } as const;
export const REGIONS = {
  glaze: GLAZE_CIRCLE,
  dab: DAB_CIRCLE,
  dabOn: 'piece',
} as const;

export interface BenchWish {
  readonly glazeLab?: Triple;
  readonly dabLab?: Triple;
  readonly light?: Thing['light'];
  readonly tile?: readonly PixelPoint[] | 'none';
  readonly dabRadius?: number;
}

export function benchThings({
  glazeLab = GLAZE_LAB,
  dabLab = glazeLab,
  light,
  tile = TILE_CORNERS,
  dabRadius = DAB_CIRCLE.radius,
}: BenchWish): Thing[] {
  const lit = light ? { light } : {};
  return [
    { lab: glazeLab, cover: polygon(PIECE_CORNERS), ...lit },
    { lab: dabLab, cover: disc(DAB_CIRCLE.x, DAB_CIRCLE.y, dabRadius), ...lit },
    ...(tile === 'none' ? [] : [{ lab: TILE_LAB, cover: polygon(tile) }]),
  ];
}
