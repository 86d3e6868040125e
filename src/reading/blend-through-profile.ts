/** ΔE₀₀ of the pixels of a blend map by what is known of the camera: through its colour transform. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labFromXyzD65, xyzD65FromLab } from '../colour/cielab.ts';
import { deltaE00OfPixels } from '../colour/delta-e-kernel.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { xyzD65 } from '../colour/spaces.ts';
import { linearSrgbFromXyzD65 } from '../colour/srgb.ts';
import { encodedBytes } from './blend-pixels.ts';
import type { LinearGrid } from './picture.ts';
import { relativeXyz, type ColourTransform } from './profile/profile.ts';

export interface SeenThrough {
  readonly colour: ColourTransform;
  /** The tile's light in the camera's linear channels. */
  readonly tileLinearRgb: readonly [number, number, number];
  readonly tileLab: LabD65;
}

/** Light of the tile among the codes: room above it for what is brighter, and enough codes below. */
const TILE_AT = 0.8;

/**
 * The camera's light is brought to linear sRGB first, so that the bulk kernel serves here too. Both
 * methods scale with exposure, so light on a pixel may be taken away after the transform. What lies
 * outside sRGB is computed pixel by pixel.
 * @param shading light on each pixel relative to the centre; NaN comes out where it is not > 0
 */
export function deltaE00ThroughProfile(
  pixels: LinearGrid,
  { colour, tileLinearRgb, tileLab }: SeenThrough,
  shading: Float32Array,
  glazeLab: LabD65,
): Float32Array {
  const tileXyz = xyzD65FromLab(tileLab);
  const count = shading.length;
  const [r, g, b] = [new Float32Array(count), new Float32Array(count), new Float32Array(count)];
  const outside: number[] = [];
  const xyzOf = (i: number) => {
    const [x, y, z] = relativeXyz(colour, [
      pixels.r[i]! / tileLinearRgb[0],
      pixels.g[i]! / tileLinearRgb[1],
      pixels.b[i]! / tileLinearRgb[2],
    ]);
    return xyzD65(x * tileXyz[0], y * tileXyz[1], z * tileXyz[2]);
  };
  for (let i = 0; i < count; i++) {
    if (!(shading[i]! > 0)) continue;
    const linear = linearSrgbFromXyzD65(xyzOf(i));
    if (Math.min(...linear) < 0 || TILE_AT * Math.max(...linear) > 1) outside.push(i);
    r[i] = inRange(TILE_AT * linear[0]);
    g[i] = inRange(TILE_AT * linear[1]);
    b[i] = inRange(TILE_AT * linear[2]);
  }
  const gain = 1 / TILE_AT;
  const rgba = encodedBytes({ ...pixels, r, g, b });
  const differences = deltaE00OfPixels({ rgba, shading, gain: [gain, gain, gain], glazeLab });
  for (const i of outside) {
    const [x, y, z] = xyzOf(i);
    const light = shading[i]!;
    const seen = labFromXyzD65(xyzD65(x / light, y / light, z / light));
    differences[i] = deltaE00(seen, glazeLab);
  }
  return differences;
}

const inRange = (v: number): number => Math.min(1, Math.max(0, v));
