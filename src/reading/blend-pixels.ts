/** The pixels of a blend map made ready: which can be judged, in what light they lie, freed of noise. */
import { encodedFromLinear } from '../colour/srgb.ts';
import type { GlazeRound } from './glaze-round.ts';
import { isBodyPlusLamp } from './highlights.ts';
import { logTriple, relativeRgb, type LogTriple } from './log-window.ts';
import type { LinearGrid } from './picture.ts';
import { meanOverSquares } from './pixel-means.ts';
import { robustSigma } from './robust.ts';
import type { PixelPoint } from './types.ts';

/** Linear light under which noise and quantisation rule: code 4 of 255. */
const BLACK = 1.2e-3;
/**
 * By how much a highlight outshines the glaze at the least: ln of light, and light over the tile's, which
 * in a dark colour is little. Much more than paint may.
 */
const GLARE = 0.35;
const GLARE_LIGHT = 0.1;
/** Its glow is left out as far as this share of the ring's reach, and of its own half width. */
const GLOW = 0.03;
const GLOW_OF_OWN = 0.8;
/** The field is believed a little beyond the ring. */
const BEYOND = 1.05;
/** Nodes of the field from the centre outwards; between them it is taken for straight. */
const NODES = 32;
/** Deviation of ln light, of a mean of pixels, that may be left as noise. */
const NOISE_LEFT = 0.005;

/** Light on each pixel relative to the light at the area's centre; 0 where it is not known. */
export function shadingOver(pixels: LinearGrid, round: GlazeRound): Float32Array {
  const { cols, rows } = pixels;
  const pitch = Math.max(2, round.reach / NODES);
  const across = Math.ceil(cols / pitch) + 2;
  const down = Math.ceil(rows / pitch) + 2;
  const nodes = Float64Array.from({ length: across * down }, (_, i) =>
    Math.exp(
      round.logShading(
        pixels.x0 + (i % across) * pitch,
        pixels.y0 + Math.floor(i / across) * pitch,
      ),
    ),
  );
  const shading = new Float32Array(cols * rows);
  const within = (BEYOND * round.reach) ** 2;
  for (let y = 0, pixel = 0; y < rows; y++) {
    const row = (y + 0.5) / pitch;
    const fy = row - Math.floor(row);
    const nodesFrom = Math.floor(row) * across;
    const offY = (pixels.y0 + y + 0.5 - round.centre.y) ** 2;
    for (let x = 0; x < cols; x++, pixel++) {
      if ((pixels.x0 + x + 0.5 - round.centre.x) ** 2 + offY > within) continue;
      const col = (x + 0.5) / pitch;
      const at = nodesFrom + Math.floor(col);
      const fx = col - Math.floor(col);
      shading[pixel] =
        (1 - fy) * ((1 - fx) * nodes[at]! + fx * nodes[at + 1]!) +
        fy * ((1 - fx) * nodes[at + across]! + fx * nodes[at + across + 1]!);
    }
  }
  return shading;
}

export const isTooDark = ({ r, g, b }: LinearGrid, pixel: number): boolean =>
  Math.max(r[pixel]!, g[pixel]!, b[pixel]!) < BLACK;

/**
 * 1 for each pixel that can be judged: its light is known, it is neither clipped nor black, and the lamp
 * is not mirrored in it, nor just beside it.
 * @param glaze log colour of the glaze at the area's centre, relative to the tile
 */
export function judgeablePixels(
  pixels: LinearGrid,
  shading: Float32Array,
  glaze: LogTriple,
  tileLinearRgb: readonly [number, number, number],
  reach: number,
): Uint8Array {
  const { r, g, b, cols, rows, clipped } = pixels;
  const judgeable = new Uint8Array(shading.length);
  const glare = new Float32Array(shading.length);
  const all = new Uint8Array(shading.length).fill(1);
  // Three logarithms a pixel are dear: what is not brighter than the glaze needs none.
  const brighter = Math.exp(3 * (glaze[0] + GLARE)) * tileLinearRgb.reduce((p, v) => p * v, 1);
  for (let i = 0; i < shading.length; i++) {
    const light = shading[i]!;
    judgeable[i] = light > 0 && !isTooDark(pixels, i) ? 1 : 0;
    if (clipped[i]) glare[i] = 1;
    else if (judgeable[i] && r[i]! * g[i]! * b[i]! > brighter * light ** 3) {
      const seen = logTriple(
        Math.max(BLACK, r[i]!) / tileLinearRgb[0],
        Math.max(BLACK, g[i]!) / tileLinearRgb[1],
        Math.max(BLACK, b[i]!) / tileLinearRgb[2],
      );
      const body: LogTriple = [glaze[0] + Math.log(shading[i]!), glaze[1], glaze[2]];
      if (seen[0] - body[0] > GLARE && added(seen, body) > GLARE_LIGHT) {
        if (isBodyPlusLamp(seen, body)) glare[i] = 1;
      }
    }
  }
  if (!glare.includes(1)) return judgeable;
  // A lone pixel is noise; what is left of it after a mean over nine is not enough for a highlight.
  meanOverSquares([glare], all, cols, rows, 1);
  for (let i = 0; i < glare.length; i++) glare[i] = glare[i]! > 0.4 || clipped[i] ? 1 : 0;
  const halfWidth = Math.sqrt(glare.reduce((sum, v) => sum + v, 0) / Math.PI);
  const glow = Math.max(2, Math.round(GLOW * reach), Math.round(GLOW_OF_OWN * halfWidth));
  meanOverSquares([glare], all, cols, rows, glow);
  for (let i = 0; i < glare.length; i++) if (glare[i]! > 1e-6) judgeable[i] = 0;
  return judgeable;
}

/** Light that the lamp's image adds to all channels, over the tile's. */
function added(seen: LogTriple, body: LogTriple): number {
  const own = relativeRgb(body);
  return Math.min(...relativeRgb(seen).map((v, k) => v - own[k]!));
}

/**
 * Takes for each pixel the mean of a square round it, in linear light, just as large as the noise asks
 * for: noise makes differences of its own, and only ever adds to ΔE₀₀.
 * @param largest most pixels the square may reach to each side
 */
export function quieten(pixels: LinearGrid, judgeable: Uint8Array, largest: number): void {
  const planes = [pixels.r, pixels.g, pixels.b];
  const noise = Math.max(...planes.map((plane) => noiseOf(plane, judgeable, pixels.cols)));
  const by = Math.min(Math.floor(largest), Math.ceil((noise / NOISE_LEFT - 1) / 2));
  if (by > 0) meanOverSquares(planes, judgeable, pixels.cols, pixels.rows, by);
}

/**
 * Mean linear light of the pixels round a place, each in the light of the area's centre.
 * @param counts 1 for each pixel that counts; @param reach px to each side
 */
export function meanLightRound(
  { x0, y0, cols, rows, r, g, b }: LinearGrid,
  counts: Uint8Array,
  shading: Float32Array,
  { x, y }: PixelPoint,
  reach: number,
): readonly [number, number, number] {
  const [col, row] = [Math.floor(x - x0), Math.floor(y - y0)];
  const sum: [number, number, number] = [0, 0, 0];
  let count = 0;
  for (let v = Math.max(0, row - reach); v <= Math.min(rows - 1, row + reach); v++) {
    for (let u = Math.max(0, col - reach); u <= Math.min(cols - 1, col + reach); u++) {
      const i = v * cols + u;
      if (!counts[i]) continue;
      sum[0] += r[i]! / shading[i]!;
      sum[1] += g[i]! / shading[i]!;
      sum[2] += b[i]! / shading[i]!;
      count++;
    }
  }
  return [sum[0] / count, sum[1] / count, sum[2] / count];
}

/** Deviation of ln light from pixel to pixel, by second differences: a slope of light is not noise. */
function noiseOf(plane: Float32Array, judgeable: Uint8Array, cols: number): number {
  const differences: number[] = [];
  const every = Math.max(1, Math.floor(plane.length / 20_000));
  for (let i = 1; i < plane.length - 1; i += every) {
    if (i % cols === 0 || (i + 1) % cols === 0) continue;
    if (!judgeable[i - 1] || !judgeable[i] || !judgeable[i + 1]) continue;
    const [p, q, r] = [plane[i - 1]!, plane[i]!, plane[i + 1]!];
    if (Math.min(p, q, r) < BLACK / 4) continue;
    differences.push((Math.log(p) - 2 * Math.log(q) + Math.log(r)) / Math.sqrt(6));
  }
  return differences.length < 20 ? 0 : robustSigma(differences, 0);
}

/** sRGB-encoded RGBA, one byte each; light above 1, which a camera's own curve may give, counts as 1. */
export function encodedBytes({ r, g, b }: LinearGrid): Uint8Array {
  codeOfLight ??= Uint8Array.from({ length: 65536 }, (_, light) =>
    Math.round(255 * encodedFromLinear(light / 65535)),
  );
  const rgba = new Uint8Array(4 * r.length).fill(255);
  for (let i = 0; i < r.length; i++) {
    rgba[4 * i] = codeOfLight[Math.round(65535 * Math.min(1, r[i]!))]!;
    rgba[4 * i + 1] = codeOfLight[Math.round(65535 * Math.min(1, g[i]!))]!;
    rgba[4 * i + 2] = codeOfLight[Math.round(65535 * Math.min(1, b[i]!))]!;
  }
  return rgba;
}
let codeOfLight: Uint8Array | undefined;
