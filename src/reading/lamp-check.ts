/**
 * What the picture tells of the lamp: its colour by the tile, flicker, how evenly it lights the field,
 * and about how much light there is. Pure; pictures and moments are handed in.
 */
import { chromaticityOf, ohnoTemperature, type Chromaticity } from '../colour/cct.ts';
import { WHITE_D65, xyzD65FromLab } from '../colour/cielab.ts';
import { linearRgb, xyzD65 } from '../colour/spaces.ts';
import { linearSrgbFromXyzD65, xyzD65FromLinearSrgb } from '../colour/srgb.ts';
import {
  centreX,
  centreY,
  clearCells,
  insidePolygon,
  linearGrid,
  shrunk,
  type LinearGrid,
} from './picture.ts';
import { relativeXyz, type CameraProfile } from './profile/profile.ts';
import { median } from './robust.ts';
import type { EncodedPicture, PixelPolygon, TileColour } from './types.ts';

/** Linear light of the tile as the camera encodes it, 0–1, R, G, B. */
export type TileLight = readonly [number, number, number];

/** Clear of the tile's bevels. */
const MIDDLE = 0.8;

/** The median light of the tile's middle; undefined when it is clipped, black or too small. */
export function tileLight(picture: EncodedPicture, tile: PixelPolygon): TileLight | undefined {
  const { grid, cells } = tileCells(picture, tile);
  if (cells.length < 20) return undefined;
  const of = (channel: Float32Array) => median(cells.map((cell) => channel[cell]!));
  return [of(grid.r), of(grid.g), of(grid.b)];
}

export interface LampColour extends Chromaticity {
  /** Absent further than 0.05 (u, v) from the Planckian locus: it is then no white light. */
  readonly kelvin?: number;
  readonly duv?: number;
}

/**
 * Chromaticity of the lamp from the tile, whose own colour is taken out, if the camera encodes light
 * as sRGB without balancing white. A camera that balances white makes every lamp look like D65: then
 * it says little, and `profile`d cameras are what it is for.
 */
export function lampColour(light: TileLight, tile: TileColour): LampColour {
  const own = linearSrgbFromXyzD65(xyzD65FromLab(tile.lab));
  const lamp = light.map((v, k) => v / Math.max(0.02, own[k]!));
  const at = chromaticityOf(xyzD65FromLinearSrgb(linearRgb(lamp[0]!, lamp[1]!, lamp[2]!)));
  const found = ohnoTemperature(at);
  return { ...at, ...(found && { kelvin: found.kelvin, duv: found.duv }) };
}

/** Under a redder lamp than this the blue channel has too little to tell another lamp by, K. */
const LEAST_PROFILE_KELVIN = 4000;

/**
 * Chromaticity of the lamp through a profile made under a lamp that is known: the tile's light now over
 * white's light then goes through the profile's transform, and what comes out is XYZ over that lamp's.
 * Holds only while the camera's white balance stands as it stood then. On rendered cameras the
 * temperature is 3 to 7 % off (median) and 13 % at most between daylight and LED.
 * @param light the tile's, through the profile's tone response
 * @returns undefined where the profile says no colour, or its lamp is not known or too red
 */
export function lampColourThrough(
  light: TileLight,
  tile: TileColour,
  { colour, lamp, whiteLogRatios: [red, blue] }: CameraProfile,
): LampColour | undefined {
  if (!colour || !lamp || lamp.kelvin < LEAST_PROFILE_KELVIN) return undefined;
  const relative = [light[0] / Math.exp(red), light[1], light[2] / Math.exp(blue)] as const;
  const own = xyzD65FromLab(tile.lab);
  const made = [lamp.x / lamp.y, 1, (1 - lamp.x - lamp.y) / lamp.y];
  const [X, Y, Z] = relativeXyz(colour, [...relative]).map(
    (v, k) => (v * made[k]!) / Math.max(0.02, own[k]! / WHITE_D65[k]!),
  ) as [number, number, number];
  if (!(Math.min(X, Y, Z) > 0)) return undefined;
  const at = chromaticityOf(xyzD65(X, Y, Z));
  const found = ohnoTemperature(at);
  return { ...at, ...(found && { kelvin: found.kelvin, duv: found.duv }) };
}

export interface Flicker {
  /** Standard deviation of the tile's light from frame to frame, as a share of its mean. */
  readonly frameToFrame: number;
  /** Light and dark bands across the tile: half their height as a share of the light, 0 for none. */
  readonly banding: number;
}

/** Above these the lamp is said to flicker: a mean of some frames is then off by as much as 0.1 L*. */
export const FLICKERS = { frameToFrame: 0.01, banding: 0.006 } as const;
const FEWEST_FRAMES = 6;

/**
 * @param frames light of the tile in frames one after the other, nothing moving; six at least
 * @param picture one of them, for bands: a rolling shutter writes a flickering lamp as stripes
 */
export function flickerOf(
  frames: readonly TileLight[],
  picture: EncodedPicture,
  tile: PixelPolygon,
): Flicker | undefined {
  if (frames.length < FEWEST_FRAMES) return undefined;
  const logs = frames.map(([, g]) => Math.log(g));
  // Differences of neighbours: a slow drift is no flicker.
  const steps = logs.slice(1).map((v, i) => v - logs[i]!);
  const frameToFrame = Math.sqrt(steps.reduce((s, v) => s + v * v, 0) / (2 * steps.length));
  return { frameToFrame, banding: bandingOf(picture, tile) };
}

/** Half the height of the strongest wave along rows or columns of the tile, in ln light. */
function bandingOf(picture: EncodedPicture, tile: PixelPolygon): number {
  const { grid, cells } = tileCells(picture, tile);
  const rest = withoutShading(grid, cells);
  const along = (lineOf: (cell: number) => number): number => {
    const lines = new Map<number, number[]>();
    cells.forEach((cell, i) => {
      const line = lines.get(lineOf(cell)) ?? [];
      line.push(rest[i]!);
      lines.set(lineOf(cell), line);
    });
    const profile = [...lines]
      .filter(([, values]) => values.length >= FEWEST_IN_LINE)
      .sort(([p], [q]) => p - q)
      .map(([, values]) => median(values));
    return strongestWave(profile);
  };
  return Math.max(
    along((cell) => Math.floor(cell / grid.cols)),
    along((cell) => cell % grid.cols),
  );
}

const FEWEST_IN_LINE = 8;
/** Shading of the tile: a cubic in x and y, which three and more bands across it are not. */
const SHADING: readonly ((x: number, y: number) => number)[] = [
  () => 1,
  (x) => x,
  (_, y) => y,
  (x) => x * x,
  (x, y) => x * y,
  (_, y) => y * y,
  (x) => x ** 3,
  (x, y) => x * x * y,
  (x, y) => x * y * y,
  (_, y) => y ** 3,
];

/** ln light of the cells less its best fit of `SHADING`, by Gram and Schmidt. */
function withoutShading(grid: LinearGrid, cells: readonly number[]): Float64Array {
  const rest = Float64Array.from(cells, (cell) => Math.log(grid.g[cell]!));
  const units: Float64Array[] = [];
  const takeOff = (from: Float64Array, unit: Float64Array) => {
    const by = from.reduce((sum, v, i) => sum + v * unit[i]!, 0);
    from.forEach((v, i) => (from[i] = v - by * unit[i]!));
  };
  for (const term of SHADING) {
    const column = Float64Array.from(cells, (cell) =>
      term(
        (2 * (cell % grid.cols)) / grid.cols - 1,
        (2 * Math.floor(cell / grid.cols)) / grid.rows - 1,
      ),
    );
    for (const unit of units) takeOff(column, unit);
    const length = Math.sqrt(column.reduce((sum, v) => sum + v * v, 0));
    if (length < 1e-9) continue;
    units.push(column.map((v) => v / length));
    takeOff(rest, units.at(-1)!);
  }
  return rest;
}

/** Amplitude of the strongest of the waves that fit three to n/4 times into the profile (DFT). */
function strongestWave(profile: readonly number[]): number {
  const n = profile.length;
  let most = 0;
  for (let waves = 3; waves <= n / 4; waves++) {
    let [re, im] = [0, 0];
    profile.forEach((v, i) => {
      re += v * Math.cos((2 * Math.PI * waves * i) / n);
      im += v * Math.sin((2 * Math.PI * waves * i) / n);
    });
    most = Math.max(most, (2 * Math.hypot(re, im)) / n);
  }
  return most;
}

/** Light over the field against its middle, row by row. */
export interface EvennessMap {
  readonly columns: number;
  readonly rows: number;
  /** 1 in the middle; NaN where a field cannot be told. */
  readonly share: readonly number[];
  /** ΔE*ab-like shift of colour against the middle: the larger change of ln R/G and ln B/G. */
  readonly colourShift: readonly number[];
}

/**
 * Light over the whole picture, for an even card that fills it: `columns` × `rows` fields, each the
 * median of its cells.
 */
export function evennessOf(picture: EncodedPicture, columns = 6, rows = 4): EvennessMap {
  const step = Math.max(
    1,
    Math.floor(Math.min(picture.width / columns, picture.height / rows) / 16),
  );
  const grid = linearGrid(picture, 0, 0, picture.width, picture.height, step);
  const fields = Array.from({ length: columns * rows }, (): number[] => []);
  for (const cell of clearCells(grid)) {
    const column = Math.min(
      columns - 1,
      Math.floor((centreX(grid, cell) / picture.width) * columns),
    );
    const row = Math.min(rows - 1, Math.floor((centreY(grid, cell) / picture.height) * rows));
    fields[row * columns + column]!.push(cell);
  }
  const whole = (of: (cell: number) => number) =>
    fields.map((cells) => (cells.length < 8 ? NaN : median(cells.map(of))));
  const light = whole((cell) => Math.log(grid.g[cell]!));
  const red = whole((cell) => Math.log(grid.r[cell]! / grid.g[cell]!));
  const blue = whole((cell) => Math.log(grid.b[cell]! / grid.g[cell]!));
  const middle = (values: readonly number[]) => {
    const four = [rows / 2 - 1, rows / 2].flatMap((row) =>
      [columns / 2 - 1, columns / 2].map((column) => values[row * columns + column]!),
    );
    const known = four.filter(Number.isFinite);
    return known.reduce((s, v) => s + v, 0) / known.length;
  };
  const [l0, r0, b0] = [middle(light), middle(red), middle(blue)];
  return {
    columns,
    rows,
    share: light.map((v) => Math.exp(v - l0)),
    colourShift: red.map((v, i) => Math.max(Math.abs(v - r0), Math.abs(blue[i]! - b0))),
  };
}

/** Viewing conditions of ISO 3668: 1000 to 4000 lx on the specimens. */
export const LEAST_LUX = 1000;
export const MOST_LUX = 4000;
/** A phone's lens, when the browser does not say: f/1.8, most lie between 1.5 and 2.4. */
const PHONE_F_NUMBER = 1.8;
/** What f-number, vignetting and maker's ISO leave open, as a factor either way. */
export const LUX_FACTOR = 2;

export interface Exposure {
  /** s. */
  readonly seconds: number;
  /** ISO speed as the camera states it. */
  readonly iso: number;
  readonly fNumber?: number;
}

/**
 * Illuminance on the tile, lx, to a factor of two: ISO 12232 has full range at an exposure of
 * 78/S lx·s, and an exposure of 0.65·L·t/N² from a luminance L, which is E·ρ/π on a matt tile.
 * @param linear the tile's light in the picture, 0–1 of full range
 * @param reflectance of the tile, luminous, 0–1
 */
export function illuminanceOf(
  { seconds, iso, fNumber = PHONE_F_NUMBER }: Exposure,
  linear: number,
  reflectance: number,
): number {
  const luminance = (linear * 78 * fNumber ** 2) / (0.65 * iso * seconds);
  return (Math.PI * luminance) / reflectance;
}

function tileCells(picture: EncodedPicture, tile: PixelPolygon) {
  const middle = shrunk(tile, MIDDLE);
  const xs = middle.map(({ x }) => x);
  const ys = middle.map(({ y }) => y);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const step = Math.max(1, Math.floor(Math.max(right - left, bottom - top) / 96));
  const grid = linearGrid(picture, left, top, right, bottom, step);
  const cells = clearCells(grid).filter((cell) =>
    insidePolygon(middle, centreX(grid, cell), centreY(grid, cell)),
  );
  return { grid, cells };
}
