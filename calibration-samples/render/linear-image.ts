/**
 * The noiseless picture on the sensor: every pixel looked through once, silhouettes nine times, then
 * lens blur and stray light. Made once per scene; motion, noise and encoding come after.
 */
import { Shader } from './shade.ts';
import type { BenchScene } from './scene.ts';

export interface LinearImage {
  readonly width: number;
  readonly height: number;
  /** Sensor RGB, interleaved; the tile's lamp white at its middle is 1, 1, 1. */
  readonly rgb: Float32Array;
  /** Body of each pixel, as its place in the scene's list; −1 none. */
  readonly bodies: Int8Array;
  /** Pixels wholly on the dab, as indices. */
  readonly dabCore: Uint32Array;
  readonly dab: DabSeen;
  /** Largest share of a mirrored highlight among the tile's pixels, and how many have one. */
  readonly tileHighlightShare: number;
}

/** The dab as it came to lie in the picture. */
export interface DabSeen {
  readonly x: number;
  readonly y: number;
  /** Radius of the disc of equal area, pixels. */
  readonly radius: number;
  /** Share of its core with a mirrored highlight above 3 % of its own light. */
  readonly highlightShare: number;
  /** Mean mirrored light over its core as a share of its own light. */
  readonly mirrorShare: number;
  /** The same for coloured reflections. */
  readonly tintShare: number;
  /** The same over the glaze within two radii of its centre. */
  readonly ringTintShare: number;
  /** Mean thickness step of its core, −1…1. */
  readonly thickness: number;
}

export function linearImage(scene: BenchScene): LinearImage {
  const { width, height } = scene.view;
  const shader = new Shader(scene);
  const rgb = new Float32Array(3 * width * height);
  const ids = new Int8Array(width * height);
  let area = 0;
  let mx = 0;
  let my = 0;
  const core: number[] = [];
  let lit = 0;
  let mirror = 0;
  let tint = 0;
  let diffuse = 0;
  let thickness = 0;
  let ringTint = 0;
  let ringDiffuse = 0;
  const middle = scene.view.project(scene.dab.centre);
  const twoRadii = (2 * scene.dab.radius * scene.view.focal) / middle.depth;
  let tilePixels = 0;
  let tileLit = 0;
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      shader.look(x + 0.5, y + 0.5);
      rgb[3 * i] = shader.r;
      rgb[3 * i + 1] = shader.g;
      rgb[3 * i + 2] = shader.b;
      ids[i] = shader.id;
      if (shader.id === scene.tile) {
        tilePixels++;
        if (shader.mirror > 0.03) tileLit++;
      }
      const c = shader.cover;
      if (c === 0 && shader.id === scene.piece) {
        if (Math.hypot(x - middle.x, y - middle.y) < twoRadii) {
          ringTint += shader.tint;
          ringDiffuse += shader.diffuse;
        }
      }
      if (c > 0) {
        area += c;
        mx += c * (x + 0.5);
        my += c * (y + 0.5);
        if (c === 1) {
          core.push(i);
          mirror += shader.mirror;
          tint += shader.tint;
          diffuse += shader.diffuse;
          thickness += shader.thickness;
          if (shader.mirror > 0.03 * shader.diffuse) lit++;
        }
      }
    }
  }
  smoothSilhouettes(shader, rgb, ids);
  if (scene.camera.blur > 0) blur(rgb, width, height, scene.camera.blur);
  if (scene.camera.flare > 0) addFlare(rgb, scene.camera.flare);
  return {
    width,
    height,
    rgb,
    bodies: ids,
    dabCore: Uint32Array.from(core),
    tileHighlightShare: tileLit / Math.max(1, tilePixels),
    dab: {
      x: mx / Math.max(1e-9, area),
      y: my / Math.max(1e-9, area),
      radius: Math.sqrt(area / Math.PI),
      highlightShare: lit / Math.max(1, core.length),
      mirrorShare: mirror / Math.max(1e-9, diffuse),
      tintShare: tint / Math.max(1e-9, diffuse),
      ringTintShare: ringTint / Math.max(1e-9, ringDiffuse),
      thickness: thickness / Math.max(1, core.length),
    },
  };
}

/** Where one body ends and another begins, nine looks a pixel. */
function smoothSilhouettes(shader: Shader, rgb: Float32Array, ids: Int8Array): void {
  const { width, height } = shader.scene.view;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const id = ids[i];
      const alone =
        (x === 0 || ids[i - 1] === id) &&
        (x === width - 1 || ids[i + 1] === id) &&
        (y === 0 || ids[i - width] === id) &&
        (y === height - 1 || ids[i + width] === id);
      if (alone) continue;
      let r = 0;
      let g = 0;
      let b = 0;
      for (let k = 0; k < 9; k++) {
        shader.look(x + ((k % 3) + 0.5) / 3, y + (Math.floor(k / 3) + 0.5) / 3);
        r += shader.r;
        g += shader.g;
        b += shader.b;
      }
      rgb[3 * i] = r / 9;
      rgb[3 * i + 1] = g / 9;
      rgb[3 * i + 2] = b / 9;
    }
  }
}

/** Gaussian, five taps each way (a deviation below about 1.1 pixels). */
export function blur(rgb: Float32Array, width: number, height: number, deviation: number): void {
  const k1 = Math.exp(-0.5 / deviation ** 2);
  const k2 = Math.exp(-2 / deviation ** 2);
  const sum = 1 + 2 * k1 + 2 * k2;
  const [c0, c1, c2] = [1 / sum, k1 / sum, k2 / sum];
  const stride = 3 * width;
  const between = new Float32Array(rgb.length);
  for (let y = 0; y < height; y++) {
    const end = (y + 1) * stride;
    for (let i = y * stride; i < end; i++) {
      between[i] =
        i < end - stride + 6 || i >= end - 6
          ? rgb[i]!
          : c0 * rgb[i]! + c1 * (rgb[i - 3]! + rgb[i + 3]!) + c2 * (rgb[i - 6]! + rgb[i + 6]!);
    }
  }
  const twice = 2 * stride;
  for (let i = twice; i < rgb.length - twice; i++) {
    rgb[i] =
      c0 * between[i]! +
      c1 * (between[i - stride]! + between[i + stride]!) +
      c2 * (between[i - twice]! + between[i + twice]!);
  }
}

/** Stray light: a share of the picture's mean everywhere. Burnt-out highlights count as 2. */
function addFlare(rgb: Float32Array, share: number): void {
  let [r, g, b] = [0, 0, 0];
  for (let i = 0; i < rgb.length; i += 3) {
    r += Math.min(2, rgb[i]!);
    g += Math.min(2, rgb[i + 1]!);
    b += Math.min(2, rgb[i + 2]!);
  }
  const k = (3 * share) / rgb.length;
  r *= k;
  g *= k;
  b *= k;
  for (let i = 0; i < rgb.length; i += 3) {
    rgb[i] = rgb[i]! + r;
    rgb[i + 1] = rgb[i + 1]! + g;
    rgb[i + 2] = rgb[i + 2]! + b;
  }
}
