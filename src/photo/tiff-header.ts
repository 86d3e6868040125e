/**
 * The first directory of a TIFF file (TIFF 6.0, § 2), which says too whether it is a photograph or a
 * camera's raw file in the same clothes (TIFF/EP, ISO 12234-2; DNG 1.7).
 */
import type { PhotoHeader } from './header-fields.ts';

/** Numbers of a directory by tag; only short lists are read. */
export type TiffTags = ReadonlyMap<number, readonly number[]>;

export const TAG = {
  newSubfileType: 254,
  width: 256,
  height: 257,
  bitsPerSample: 258,
  compression: 259,
  photometric: 262,
  stripOffsets: 273,
  orientation: 274,
  stripByteCounts: 279,
  tileOffsets: 324,
  tileByteCounts: 325,
  subDirectories: 330,
  sampleFormat: 339,
  cfaPattern: 33422,
  iccProfile: 34675,
  dngVersion: 50706,
} as const;

/** Colour filter array and linear raw (DNG 1.7, PhotometricInterpretation). */
const RAW_PHOTOMETRIC = [32803, 34892];
/** Bytes of a value by its type: byte, ASCII, short, long (TIFF 6.0, § 2). */
const SIZES = new Map([
  [1, 1],
  [3, 2],
  [4, 4],
  [7, 1],
]);
/** More numbers than this no tag is asked for; strips are. */
const MOST_VALUES = 100_000;

export function tiffHeader(view: DataView): PhotoHeader {
  const tags = firstDirectory(view);
  if (!tags) return { format: 'tiff', width: 0, height: 0, bits: 0, complete: false };
  const first = (tag: number) => tags.get(tag)?.[0] ?? 0;
  const size = {
    width: first(TAG.width),
    height: first(TAG.height),
    bits: first(TAG.bitsPerSample),
  };
  // A raw file's first directory is often that of a small picture: its decoder will tell the size.
  if (isRaw(view, tags)) return { format: 'raw', width: 0, height: 0, bits: 0, complete: true };
  return { format: 'tiff', ...size, complete: isWhole(view, tags) };
}

function isRaw(view: DataView, tags: TiffTags): boolean {
  const isMaker = view.byteLength > 10 && view.getUint16(8) === 0x4352; // "CR"
  const isReduced = ((tags.get(TAG.newSubfileType)?.[0] ?? 0) & 1) === 1;
  return (
    isMaker ||
    tags.has(TAG.dngVersion) ||
    tags.has(TAG.cfaPattern) ||
    RAW_PHOTOMETRIC.includes(tags.get(TAG.photometric)?.[0] ?? 0) ||
    (isReduced && tags.has(TAG.subDirectories))
  );
}

/** Every strip or tile lies within the file. */
function isWhole(view: DataView, tags: TiffTags): boolean {
  const offsets = tags.get(TAG.stripOffsets) ?? tags.get(TAG.tileOffsets) ?? [];
  const counts = tags.get(TAG.stripByteCounts) ?? tags.get(TAG.tileByteCounts);
  return (
    offsets.length > 0 &&
    offsets.every((offset, i) => offset + (counts?.[i] ?? 1) <= view.byteLength)
  );
}

/** Undefined when the file ends before its directory does. */
export function firstDirectory(view: DataView): TiffTags | undefined {
  const little = isLittle(view);
  return entriesOf(view)?.reduce((tags, entry) => {
    const values = valuesOf(view, entry, little);
    return values ? tags.set(view.getUint16(entry, little), values) : tags;
  }, new Map<number, readonly number[]>());
}

/** The bytes of a tag too long to be numbers. */
export function bytesOfTag(view: DataView, tag: number): Uint8Array | undefined {
  const little = isLittle(view);
  const entry = entriesOf(view)?.find((at) => view.getUint16(at, little) === tag);
  if (entry === undefined) return undefined;
  const [count, at] = [view.getUint32(entry + 4, little), view.getUint32(entry + 8, little)];
  const fits = count > 4 && at + count <= view.byteLength;
  return fits ? new Uint8Array(view.buffer, view.byteOffset + at, count) : undefined;
}

const isLittle = (view: DataView): boolean => view.byteLength > 1 && view.getUint16(0) === 0x4949;

/** Where the entries of the first directory stand. */
function entriesOf(view: DataView): number[] | undefined {
  if (view.byteLength < 8) return undefined;
  const little = isLittle(view);
  const at = view.getUint32(4, little);
  if (at + 2 > view.byteLength) return undefined;
  const count = view.getUint16(at, little);
  if (at + 2 + 12 * count > view.byteLength) return undefined;
  return Array.from({ length: count }, (_, i) => at + 2 + 12 * i);
}

function valuesOf(view: DataView, entry: number, little: boolean): number[] | undefined {
  const type = view.getUint16(entry + 2, little);
  const count = view.getUint32(entry + 4, little);
  const size = SIZES.get(type);
  if (!size || count > MOST_VALUES) return [];
  const at = size * count <= 4 ? entry + 8 : view.getUint32(entry + 8, little);
  if (at + size * count > view.byteLength) return undefined;
  return Array.from({ length: count }, (_, i) => {
    if (size === 1) return view.getUint8(at + i);
    return size === 2 ? view.getUint16(at + 2 * i, little) : view.getUint32(at + 4 * i, little);
  });
}
