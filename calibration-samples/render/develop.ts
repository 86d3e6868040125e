/**
 * From sensor values to an 8-bit picture: photon and read noise, clipping, white balance faults,
 * colour matrix, tone curve, sharpening, rounding.
 */
import type { Camera } from './cameras.ts';
import {
  balanceFault,
  balanceGains,
  chromaBoost,
  colourMatrix,
  toneCurve,
  type Tone,
} from './isp.ts';
import type { Lamp } from './lamps.ts';
import type { LinearImage } from './linear-image.ts';
import type { Random } from './random.ts';
import type { Triple } from './spectra.ts';

const LUT_STEPS = 4096;
/** Linear range of the tone table; what lies above is white. */
const LUT_TOP = 1.3;
const NOISE_SIZE = 1 << 16;

/** Sensor values above this share of full range are clipped, before the matrix. */
const SENSOR_TOP = 1.12;

export interface FrameMotion {
  /** Shift of the picture, pixels. */
  readonly dx: number;
  readonly dy: number;
  /** Factor on the lamp. */
  readonly gain: number;
}
const STILL: FrameMotion = { dx: 0, dy: 0, gain: 1 };

export class Developer {
  private readonly matrix: Float64Array;
  private readonly exposure: number;
  private readonly shot: Triple;
  private readonly read: Triple;
  private readonly tone: Float32Array;
  private readonly boost: number;
  private readonly noise: Float32Array;

  /**
   * Exposed so that the brightest channel of `white` (sensor RGB) comes out at `level` of full range
   * in the encoded picture; a level above 1 clips it accordingly.
   */
  constructor(
    private readonly camera: Camera,
    lamp: Lamp,
    private readonly style: Tone,
    white: Triple,
    level: number,
    random: Random,
  ) {
    const rows = colourMatrix(camera, lamp.power);
    const fault = balanceFault(camera, lamp.power);
    this.matrix = Float64Array.from(rows.flatMap((row) => row.map((v, i) => v * fault[i]!)));
    const m = this.matrix;
    const out = [0, 3, 6].map(
      (i) => m[i]! * white[0] + m[i + 1]! * white[1] + m[i + 2]! * white[2],
    );
    this.exposure = exposureFor(style, Math.max(...out), level);
    const gains = balanceGains(camera, lamp.power);
    const shot = (i: 0 | 1 | 2) => gains[i] / camera.fullWell;
    const read = (i: 0 | 1 | 2) => ((gains[i] * camera.readNoise) / camera.fullWell) ** 2;
    this.shot = [shot(0), shot(1), shot(2)];
    this.read = [read(0), read(1), read(2)];
    this.boost = chromaBoost(style);
    // Indexed by the square root of the linear value, where the curve is nearly straight.
    this.tone = Float32Array.from(
      { length: LUT_STEPS + 1 },
      (_, i) => 255 * Math.min(1.2, toneCurve(style, LUT_TOP * (i / LUT_STEPS) ** 2)),
    );
    this.noise = Float32Array.from({ length: NOISE_SIZE }, () => random.gaussian());
  }

  /** What a sensor value comes out as without noise, sharpening and rounding: codes 0–255. */
  encoded(sensor: Triple): Triple {
    const m = this.matrix;
    const codes = [0, 3, 6].map((i) => {
      const linear =
        m[i]! * sensor[0] * this.exposure +
        m[i + 1]! * sensor[1] * this.exposure +
        m[i + 2]! * sensor[2] * this.exposure;
      return 255 * toneCurve(this.style, linear);
    });
    const luma = 0.299 * codes[0]! + 0.587 * codes[1]! + 0.114 * codes[2]!;
    return codes.map((v) => luma + this.boost * (v - luma)) as unknown as Triple;
  }

  /** One frame with fresh noise. */
  frame(image: LinearImage, random: Random, motion: FrameMotion = STILL): Uint8ClampedArray {
    const { width, height } = image;
    const rgb =
      motion.dx === 0 && motion.dy === 0
        ? image.rgb
        : shifted(image.rgb, width, height, motion.dx, motion.dy);
    const rgba = new Uint8ClampedArray(4 * width * height);
    const m = this.matrix;
    const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = m as unknown as [
      number, number, number, number, number, number, number, number, number,
    ]; // prettier-ignore
    const k = this.exposure * motion.gain;
    const { noise, tone } = this;
    const [s0, s1, s2] = this.shot;
    const [r0, r1, r2] = this.read;
    // Demosaicing shares noise between neighbours: own and the two neighbours to the left and above.
    const spread = this.camera.noiseSpread;
    const own = Math.sqrt(1 - 2 * spread * spread);
    const index = LUT_STEPS / Math.sqrt(LUT_TOP);
    let above = random.bits() & (NOISE_SIZE - 1);
    const sharpen = this.camera.sharpening;
    const luma = sharpen > 0 ? new Float32Array(width * height) : undefined;
    for (let y = 0, i = 0; y < height; y++) {
      const row = random.bits() & (NOISE_SIZE - 1);
      for (let x = 0; x < width; x++, i++) {
        const n = row + 3 * x;
        const a = above + 3 * x;
        let r = k * rgb[3 * i]!;
        let g = k * rgb[3 * i + 1]!;
        let b = k * rgb[3 * i + 2]!;
        const e0 =
          own * noise[n & 0xffff]! + spread * (noise[(n - 3) & 0xffff]! + noise[a & 0xffff]!);
        const e1 =
          own * noise[(n + 1) & 0xffff]! +
          spread * (noise[(n - 2) & 0xffff]! + noise[(a + 1) & 0xffff]!);
        const e2 =
          own * noise[(n + 2) & 0xffff]! +
          spread * (noise[(n - 1) & 0xffff]! + noise[(a + 2) & 0xffff]!);
        r += e0 * Math.sqrt(s0 * r + r0);
        g += e1 * Math.sqrt(s1 * g + r1);
        b += e2 * Math.sqrt(s2 * b + r2);
        if (r > SENSOR_TOP) r = SENSOR_TOP;
        if (g > SENSOR_TOP) g = SENSOR_TOP;
        if (b > SENSOR_TOP) b = SENSOR_TOP;
        const R = m0 * r + m1 * g + m2 * b;
        const G = m3 * r + m4 * g + m5 * b;
        const B = m6 * r + m7 * g + m8 * b;
        let er = R <= 0 ? 0 : tone[R >= LUT_TOP ? LUT_STEPS : (Math.sqrt(R) * index + 0.5) | 0]!;
        let eg = G <= 0 ? 0 : tone[G >= LUT_TOP ? LUT_STEPS : (Math.sqrt(G) * index + 0.5) | 0]!;
        let eb = B <= 0 ? 0 : tone[B >= LUT_TOP ? LUT_STEPS : (Math.sqrt(B) * index + 0.5) | 0]!;
        if (this.boost !== 1) {
          const Y = 0.299 * er + 0.587 * eg + 0.114 * eb;
          er = Y + this.boost * (er - Y);
          eg = Y + this.boost * (eg - Y);
          eb = Y + this.boost * (eb - Y);
        }
        if (luma) luma[i] = 0.299 * er + 0.587 * eg + 0.114 * eb;
        rgba[4 * i] = er;
        rgba[4 * i + 1] = eg;
        rgba[4 * i + 2] = eb;
        rgba[4 * i + 3] = 255;
      }
      above = row;
    }
    if (luma) sharpenLuma(rgba, luma, width, height, sharpen);
    return rgba;
  }
}

/** Unsharp mask over a 3×3 neighbourhood, the same amount to all three channels. */
function sharpenLuma(
  rgba: Uint8ClampedArray,
  luma: Float32Array,
  width: number,
  height: number,
  amount: number,
): void {
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const near =
        (luma[i - 1]! + luma[i + 1]! + luma[i - width]! + luma[i + width]!) * 0.2 +
        (luma[i - width - 1]! +
          luma[i - width + 1]! +
          luma[i + width - 1]! +
          luma[i + width + 1]!) *
          0.05;
      const add = amount * (luma[i]! - near);
      rgba[4 * i] = rgba[4 * i]! + add;
      rgba[4 * i + 1] = rgba[4 * i + 1]! + add;
      rgba[4 * i + 2] = rgba[4 * i + 2]! + add;
    }
  }
}

/** Moves a picture by a part of a pixel, bilinear. */
function shifted(
  rgb: Float32Array,
  width: number,
  height: number,
  dx: number,
  dy: number,
): Float32Array {
  const out = new Float32Array(rgb.length);
  const ix = Math.floor(-dx);
  const iy = Math.floor(-dy);
  const fx = -dx - ix;
  const fy = -dy - iy;
  const [w00, w10, w01, w11] = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy];
  for (let y = 0; y < height; y++) {
    const y0 = Math.min(height - 1, Math.max(0, y + iy)) * width;
    const y1 = Math.min(height - 1, Math.max(0, y + iy + 1)) * width;
    for (let x = 0; x < width; x++) {
      const x0 = Math.min(width - 1, Math.max(0, x + ix));
      const x1 = Math.min(width - 1, Math.max(0, x + ix + 1));
      const [a, b, c, d] = [3 * (y0 + x0), 3 * (y0 + x1), 3 * (y1 + x0), 3 * (y1 + x1)];
      const o = 3 * (y * width + x);
      for (let ch = 0; ch < 3; ch++) {
        out[o + ch] =
          w00 * rgb[a + ch]! + w10 * rgb[b + ch]! + w01 * rgb[c + ch]! + w11 * rgb[d + ch]!;
      }
    }
  }
  return out;
}

/** Exposure that brings a linear value to an encoded level; above 1 as if the curve went on. */
function exposureFor(tone: Tone, value: number, level: number): number {
  const wanted = Math.min(level, 0.985);
  let [low, high] = [0, 40 / value];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (toneCurve(tone, middle * value) < wanted) low = middle;
    else high = middle;
  }
  return level > 0.985 ? low * (level / 0.985) ** 2.2 : low;
}
