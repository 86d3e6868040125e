/**
 * A camera raw file of invented make, written by hand after the Digital Negative specification 1.7 and
 * TIFF 6.0; tag numbers are theirs. Uncompressed, 16 bits, a filter array of RGGB.
 */
import { latin } from './bytes.ts';

export interface DngWish {
  readonly width: number;
  readonly height: number;
  /** Light on the sensor at each pixel, R, G, B, 0–1 of what it can hold. */
  readonly light: (x: number, y: number) => readonly [number, number, number];
  /** Channels of a neutral surface under the lamp: AsShotNeutral. */
  readonly neutral?: readonly [number, number, number];
  /** XYZ (of the calibration illuminant) → camera RGB, row by row: ColorMatrix1. */
  readonly matrix?: readonly number[];
  readonly whiteLevel?: number;
  readonly blackLevel?: number;
  /** TIFF 6.0, tag 274. */
  readonly orientation?: number;
}

/** The primaries of ITU-R BT.709 and D65: a camera that sees as sRGB does (IEC 61966-2-1, inverse matrix). */
const SRGB_FROM_XYZ = [3.2406, -1.5372, -0.4986, -0.9689, 1.8758, 0.0415, 0.0557, -0.204, 1.057];

const [BYTE, ASCII, SHORT, LONG, RATIONAL, SRATIONAL] = [1, 2, 3, 4, 5, 10];
/** Bytes of one number of the values below; a rational is two. */
const SIZE: Record<number, number> = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 4, 10: 4 };
/** CalibrationIlluminant1: D65 (EXIF LightSource). */
const D65 = 21;

type Entry = readonly [tag: number, type: number, values: readonly number[]];

export function writeDng({
  width,
  height,
  light,
  neutral = [1, 1, 1],
  matrix = SRGB_FROM_XYZ,
  whiteLevel = 16383,
  blackLevel = 512,
  orientation = 1,
}: DngWish): Uint8Array {
  const bytes = 2 * width * height;
  const text = (s: string) => [...latin(`${s}\0`)];
  const ratio = (values: readonly number[], by: number) =>
    values.flatMap((v) => [Math.round(v * by), by]);
  const directory = (pixels: number): Entry[] => [
    [254, LONG, [0]], // NewSubfileType: the picture itself
    [256, LONG, [width]],
    [257, LONG, [height]],
    [258, SHORT, [16]], // BitsPerSample
    [259, SHORT, [1]], // Compression: none
    [262, SHORT, [32803]], // PhotometricInterpretation: colour filter array
    [271, ASCII, text('Invented')],
    [272, ASCII, text('Bench camera')],
    [273, LONG, [pixels]], // StripOffsets
    [274, SHORT, [orientation]],
    [277, SHORT, [1]], // SamplesPerPixel
    [278, LONG, [height]], // RowsPerStrip
    [279, LONG, [bytes]], // StripByteCounts
    [284, SHORT, [1]], // PlanarConfiguration
    [33421, SHORT, [2, 2]], // CFARepeatPatternDim
    [33422, BYTE, [0, 1, 1, 2]], // CFAPattern: R G / G B
    [50706, BYTE, [1, 4, 0, 0]], // DNGVersion
    [50707, BYTE, [1, 1, 0, 0]], // DNGBackwardVersion
    [50708, ASCII, text('Invented Bench camera')], // UniqueCameraModel
    [50714, LONG, [blackLevel]],
    [50717, LONG, [whiteLevel]],
    [50721, SRATIONAL, ratio(matrix, 10_000)], // ColorMatrix1
    [50728, RATIONAL, ratio(neutral, 1_000_000)], // AsShotNeutral
    [50778, SHORT, [D65]], // CalibrationIlluminant1
  ];
  const entries = directory(0);
  const begin = 8;
  let end = begin + 2 + 12 * entries.length + 4;
  const places = entries.map(([, type, values]) => {
    const size = SIZE[type]! * values.length;
    if (size <= 4) return undefined;
    const at = end;
    end += size + (size % 2);
    return at;
  });
  const view = new DataView(new ArrayBuffer(end + bytes));
  view.setUint16(0, 0x4949);
  view.setUint16(2, 42, true);
  view.setUint32(4, begin, true);
  view.setUint16(begin, entries.length, true);
  directory(end).forEach(([tag, type, values], i) => {
    const entry = begin + 2 + 12 * i;
    const place = places[i];
    const count = type === RATIONAL || type === SRATIONAL ? values.length / 2 : values.length;
    view.setUint16(entry, tag, true);
    view.setUint16(entry + 2, type, true);
    view.setUint32(entry + 4, count, true);
    if (place !== undefined) view.setUint32(entry + 8, place, true);
    values.forEach((value, k) => {
      const at = (place ?? entry + 8) + SIZE[type]! * k;
      if (SIZE[type] === 1) view.setUint8(at, value);
      else if (SIZE[type] === 2) view.setUint16(at, value, true);
      else view.setInt32(at, value, true);
    });
  });
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const channel = [0, 1, 1, 2][(y % 2) * 2 + (x % 2)]!;
      const value = blackLevel + light(x, y)[channel]! * (whiteLevel - blackLevel);
      const code = Math.round(Math.min(whiteLevel, Math.max(0, value)));
      view.setUint16(end + 2 * (y * width + x), code, true);
    }
  }
  return new Uint8Array(view.buffer);
}
