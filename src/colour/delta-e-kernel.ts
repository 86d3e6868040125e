/**
 * ΔE₀₀ of many pixels from one constant colour, for the blend map: 8-bit sRGB-encoded pixels in, ΔE₀₀
 * out, one thread, no allocation but the result.
 *
 * The same equations as ciede2000.ts (Sharma, Wu, Dalal 2005), rearranged so that no angle is ever
 * computed. With unit hue vectors e₁, e₂: |ΔH′| = √(C1′C2′)·|e₂ − e₁| (eq. 11), and e₁ + e₂ points to
 * the mean hue (eq. 14), whose direction looks up T (15) and the blue rotation (16) in a table of
 * 2048 steps with straight lines between. Cube roots by iteration. All in WebAssembly, four pixels
 * at a time in single precision, from delta-e-kernel.as; any browser that has WebAssembly SIMD.
 *
 * Within 0.005 of the scalar formula (held by a test). Where single precision does not do, on the
 * seam of opposite hues, where the formula jumps, and at a chroma below 0.01, whose hue is unsure, the
 * few pixels are handed to the scalar formula; a chroma below 0.0005 counts as grey.
 */
import { blueRotation, deltaE00, hueWeight } from './ciede2000.ts';
import { labFromXyzD65, WHITE_D65 } from './cielab.ts';
import { KERNEL_CODE } from './delta-e-kernel-code.ts';
import { linearRgb, type LabD65 } from './spaces.ts';
import { LINEAR_OF_CODE, XYZ_FROM_LINEAR_SRGB, xyzD65FromLinearSrgb } from './srgb.ts';

export interface PixelDifferenceRequest {
  /** sRGB-encoded R, G, B, A of each pixel, one byte each; A is not looked at. */
  readonly rgba: Uint8Array | Uint8ClampedArray;
  /**
   * Light on each pixel relative to the light `gain` stands for; linear RGB is divided by it. One
   * number a pixel, > 0; where it is not, the difference is NaN. Absent: 1 everywhere.
   */
  readonly shading?: Float32Array;
  /** Factor of linear R, G, B, > 0: what takes the tile to its own colour. Absent: 1, 1, 1. */
  readonly gain?: readonly [number, number, number];
  /** The colour all pixels are held against, CIELAB D65/2°: the glaze. */
  readonly glazeLab: LabD65;
}

/**
 * ΔE₀₀ of each pixel, in the order of the pixels, ≥ 0. Writes into `into` when given (one number a
 * pixel) and returns it. Throws a RangeError when lengths do not agree, a gain is not above zero or
 * the glaze is not a colour.
 */
export function deltaE00OfPixels(
  request: PixelDifferenceRequest,
  into: Float32Array = new Float32Array(request.rgba.length / 4),
): Float32Array {
  const { rgba, shading, glazeLab } = request;
  const gain = request.gain ?? [1, 1, 1];
  check(request, gain, into);
  kernel ??= startKernel();
  const { views, differ } = kernel;
  const chunk = views.differences.length;
  views.constants.set(
    XYZ_FROM_LINEAR_SRGB.map((m, i) => (m * gain[i % 3]!) / WHITE_D65[Math.floor(i / 3)]!),
  );
  views.constants.set([...glazeLab, Math.hypot(glazeLab[1], glazeLab[2])], 9);
  if (!shading) views.shading.fill(1);
  for (let start = 0; start < into.length; start += chunk) {
    const count = Math.min(chunk, into.length - start);
    views.rgba.set(rgba.subarray(4 * start, 4 * (start + count)));
    if (shading) views.shading.set(shading.subarray(start, start + count));
    const anyUnsure = differ(count) !== 0;
    into.set(views.differences.subarray(0, count), start);
    if (anyUnsure) {
      for (let i = start; i < start + count; i++) {
        if (into[i] === UNSURE) into[i] = scalarDifference(request, gain, i);
      }
    }
  }
  return into;
}

/** What the kernel puts where single precision does not do. */
const UNSURE = -1;

/** ΔE₀₀ of one pixel by the scalar formulas, in double precision. */
function scalarDifference(
  { rgba, shading, glazeLab }: PixelDifferenceRequest,
  gain: readonly [number, number, number],
  pixel: number,
): number {
  const light = shading ? shading[pixel]! : 1;
  const linear = (channel: 0 | 1 | 2) =>
    (LINEAR_OF_CODE[rgba[4 * pixel + channel]!]! * gain[channel]) / light;
  const colour = linearRgb(linear(0), linear(1), linear(2));
  return deltaE00(glazeLab, labFromXyzD65(xyzD65FromLinearSrgb(colour)));
}

function check(
  { rgba, shading, glazeLab }: PixelDifferenceRequest,
  gain: readonly number[],
  into: Float32Array,
): void {
  if (rgba.length % 4 !== 0) {
    throw new RangeError(
      `RGBA pixels have four bytes each; ${rgba.length} bytes are not whole pixels`,
    );
  }
  const pixels = rgba.length / 4;
  if (shading && shading.length !== pixels) {
    throw new RangeError(`${pixels} pixels need ${pixels} shading values, not ${shading.length}`);
  }
  if (into.length !== pixels) {
    throw new RangeError(
      `${pixels} pixels need room for ${pixels} differences, not ${into.length}`,
    );
  }
  if (!gain.every((factor) => factor > 0 && factor < Infinity)) {
    throw new RangeError(`gains must be above zero, not ${gain.join(', ')}`);
  }
  if (!glazeLab.every(Number.isFinite)) {
    throw new RangeError(`the glaze needs three finite numbers, not [${glazeLab.join(', ')}]`);
  }
}

/** The part of the WebAssembly interface used here: the core knows no browser and no Node. */
declare const WebAssembly: {
  readonly Module: new (code: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: unknown };
};

/** What delta-e-kernel.as exports: places in its memory, and its one function. */
interface KernelExports {
  readonly memory: { readonly buffer: ArrayBuffer };
  readonly differ: (count: number) => number;
  readonly CHUNK: { readonly value: number };
  readonly QUADRANT: { readonly value: number };
  readonly rgba: { readonly value: number };
  readonly shading: { readonly value: number };
  readonly differences: { readonly value: number };
  readonly linearOfCode: { readonly value: number };
  readonly constants: { readonly value: number };
  readonly hueTable: { readonly value: number };
}

interface Kernel {
  readonly differ: KernelExports['differ'];
  readonly views: {
    readonly rgba: Uint8Array;
    readonly shading: Float32Array;
    readonly differences: Float32Array;
    readonly constants: Float32Array;
  };
}

// One for all calls: 128 KB, started when first asked for, with nothing kept between calls.
let kernel: Kernel | undefined;

function startKernel(): Kernel {
  const code = Uint8Array.from(KERNEL_CODE.match(/../g)!, (byte) => Number.parseInt(byte, 16));
  const exported = new WebAssembly.Instance(new WebAssembly.Module(code)).exports as KernelExports;
  const floats = (at: { readonly value: number }, length: number) =>
    new Float32Array(exported.memory.buffer, at.value, length);
  const chunk = exported.CHUNK.value;
  const quadrant = exported.QUADRANT.value;
  floats(exported.linearOfCode, 256).set(LINEAR_OF_CODE);
  floats(exported.hueTable, 16 * quadrant).set(hueTable(quadrant));
  return {
    differ: exported.differ,
    views: {
      rgba: new Uint8Array(exported.memory.buffer, exported.rgba.value, 4 * chunk),
      shading: floats(exported.shading, chunk),
      differences: floats(exported.differences, chunk),
      constants: floats(exported.constants, 13),
    },
  };
}

/** For each step round the circle: T, its rise to the next step, the blue rotation, its rise. */
function hueTable(quadrant: number): number[] {
  const hueAt = (step: number) => {
    // Along the straight edges of a diamond, which the kernel can walk without an angle.
    const side = Math.floor(step / quadrant) % 4;
    const along = (step % quadrant) / quadrant;
    const radians = Math.atan2(along, 1 - along) + (side * Math.PI) / 2;
    return (radians * 180) / Math.PI;
  };
  return Array.from({ length: 4 * quadrant }, (_, step) => {
    const [here, next] = [hueAt(step), hueAt(step + 1)];
    const T = hueWeight(here);
    const R = blueRotation(here);
    return [T, hueWeight(next) - T, R, blueRotation(next) - R];
  }).flat();
}
