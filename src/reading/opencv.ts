/**
 * The few parts of OpenCV that the reading uses, typed, and the one way to start it.
 *
 * opencv-wasm is built for Node: its loader hard-codes its Module object and installs process
 * handlers. `opencvFactorySource` turns the file into a factory that takes the Module and sees
 * neither `process` nor `window`; the bench worker gets it through a Vite transform, Node through
 * `new Function`. Both then run `startOpenCv`.
 */

/** A matrix in wasm memory. Must be `delete()`d by whoever made it, in a `finally`. */
export interface Mat {
  readonly rows: number;
  readonly cols: number;
  readonly data: Uint8Array;
  readonly data32S: Int32Array;
  readonly data32F: Float32Array;
  readonly data64F: Float64Array;
  type(): number;
  roi(rect: Rect): Mat;
  copyTo(destination: Mat): void;
  convertTo(destination: Mat, type: number, scale?: number, shift?: number): void;
  delete(): void;
  isDeleted(): boolean;
}
export interface MatVector {
  size(): number;
  /** Gives a new Mat each time: delete it. */
  get(index: number): Mat;
  delete(): void;
}
export interface Rect {
  x: number;
  y: number;
  width: number;
  height: number;
}
export interface Point {
  x: number;
  y: number;
}
export interface Size {
  width: number;
  height: number;
}
export interface RotatedRect {
  center: Point;
  size: Size;
  angle: number;
}

export interface OpenCv {
  readonly Mat: {
    new (): Mat;
    new (rows: number, cols: number, type: number, fill?: number[]): Mat;
    eye(rows: number, cols: number, type: number): Mat;
  };
  readonly MatVector: new () => MatVector;
  matFromArray(rows: number, cols: number, type: number, values: ArrayLike<number>): Mat;
  readonly CV_8UC1: number;
  readonly CV_8UC3: number;
  readonly CV_8UC4: number;
  readonly CV_32FC1: number;
  readonly CV_32SC1: number;
  readonly CV_64FC1: number;
  readonly COLOR_RGBA2GRAY: number;
  readonly INTER_AREA: number;
  readonly INTER_LINEAR: number;
  readonly WARP_INVERSE_MAP: number;
  readonly MOTION_TRANSLATION: number;
  readonly THRESH_BINARY: number;
  readonly THRESH_OTSU: number;
  readonly RETR_EXTERNAL: number;
  readonly RETR_LIST: number;
  readonly CHAIN_APPROX_NONE: number;
  readonly CHAIN_APPROX_SIMPLE: number;
  readonly MORPH_OPEN: number;
  readonly MORPH_CLOSE: number;
  readonly DIST_L2: number;
  readonly MORPH_RECT: number;
  readonly MORPH_ELLIPSE: number;
  readonly BORDER_DEFAULT: number;
  readonly TermCriteria_EPS: number;
  readonly TermCriteria_COUNT: number;
  TermCriteria: new (type: number, count: number, epsilon: number) => unknown;
  cvtColor(source: Mat, destination: Mat, code: number): void;
  resize(source: Mat, destination: Mat, size: Size, fx: number, fy: number, how: number): void;
  GaussianBlur(source: Mat, destination: Mat, kernel: Size, sigma: number): void;
  threshold(source: Mat, destination: Mat, level: number, to: number, kind: number): number;
  findContours(image: Mat, contours: MatVector, hierarchy: Mat, mode: number, method: number): void;
  /** `destination` becomes CV_32FC1: distance of each non-zero pixel to the nearest zero one. */
  distanceTransform(source: Mat, destination: Mat, metric: number, mask: number): void;
  /** `labels` becomes CV_32SC1; answers the number of labels, background included. */
  connectedComponents(image: Mat, labels: Mat, connectivity: number, type: number): number;
  blur(source: Mat, destination: Mat, kernel: Size): void;
  contourArea(contour: Mat): number;
  arcLength(contour: Mat, closed: boolean): number;
  approxPolyDP(contour: Mat, polygon: Mat, epsilon: number, closed: boolean): void;
  isContourConvex(contour: Mat): boolean;
  convexHull(points: Mat, hull: Mat): void;
  minAreaRect(points: Mat): RotatedRect;
  getStructuringElement(shape: number, size: Size): Mat;
  morphologyEx(source: Mat, destination: Mat, operation: number, kernel: Mat): void;
  findTransformECC(
    template: Mat,
    input: Mat,
    warp: Mat,
    motion: number,
    criteria: unknown,
    mask: Mat,
    gaussianSize: number,
  ): number;
  /** An OpenCV error is thrown as a number; this tells what it was. */
  exceptionFromPtr(pointer: number): { msg: string };
}

/** The factory that `opencvFactorySource` makes. */
export type OpenCvFactory = (module: Record<string, unknown>) => OpenCv & { then?: unknown };

/** Body of a function `(Module) => cv`, from the text of `opencv-wasm/opencv.js`. */
export function opencvFactorySource(opencvJs: string): string {
  const hardCodedModule = 'let Module = {};';
  const entry = '}(this, function() {';
  if (!opencvJs.includes(hardCodedModule) || !opencvJs.includes(entry)) {
    throw new Error('opencv-wasm/opencv.js is not the version this loader was written for');
  }
  return [
    'var process, window, document, define, require, module = { exports: {} }, exports = module.exports;',
    'var importScripts = function () {}, self = { location: { href: "" } };',
    opencvJs.replace(hardCodedModule, '').replace(entry, '}({}, function() {'),
    'return module.exports;',
  ].join('\n');
}

/**
 * Starts OpenCV synchronously. The module has a `then` that resolves to itself, so it must never
 * be awaited or returned from an async function before that is removed, as it is here.
 */
export function startOpenCv(factory: OpenCvFactory, compiled: object | Uint8Array): OpenCv {
  const wasmApi = (globalThis as unknown as { WebAssembly: WebAssemblyApi }).WebAssembly;
  const wasm = compiled instanceof Uint8Array ? new wasmApi.Module(compiled) : compiled;
  const cv = factory({
    instantiateWasm(imports: unknown, receive: (instance: object, module: object) => void) {
      const instance = new wasmApi.Instance(wasm, imports);
      receive(instance, wasm);
      return (instance as { exports: object }).exports;
    },
  });
  delete cv.then;
  return cv;
}

/** The two WebAssembly constructors used, declared here because the core is compiled without DOM. */
interface WebAssemblyApi {
  Module: new (bytes: Uint8Array) => object;
  Instance: new (module: object, imports: unknown) => object;
}

/** Says what OpenCV meant by the number it threw; anything else passes through. */
export function opencvError(cv: OpenCv, thrown: unknown): unknown {
  return typeof thrown === 'number' ? new Error(cv.exceptionFromPtr(thrown).msg) : thrown;
}
