/**
 * What a photograph's own bytes say before it is decoded: a decoder would fill a truncated picture
 * with grey, or take all memory for a huge one, without a word. The name of a file says nothing.
 */
import { LAID_OUT_AS_TIFF, textAt, UNSAID, viewOf, type PhotoHeader } from './header-fields.ts';
import { heifHeader } from './heif-header.ts';
import { tiffHeader } from './tiff-header.ts';

export function photoHeader(bytes: Uint8Array): PhotoHeader {
  const view = viewOf(bytes);
  const starts = (start: string, at = 0) => textAt(bytes, at, start.length) === start;
  if (starts('\x89PNG\r\n\x1a\n')) return png(view);
  if (starts('\xff\xd8\xff')) return jpeg(view);
  if (starts('II*\0') || starts('MM\0*')) return tiffHeader(view);
  if (RAW_STARTS.some(([start, at]) => starts(start, at))) return { ...UNSAID, format: 'raw' };
  // ISO base media file (ISO/IEC 14496-12): "ftyp" after the first box's length.
  if (starts('ftyp', 4)) return heifHeader(view);
  if (bytes.length === 0) return { ...UNSAID, format: 'empty' };
  const known = OTHERS.find(([start, at]) => starts(start, at));
  return { ...UNSAID, format: 'other', ...(known && { kind: known[2] }) };
}

/** Is it this code's to decode, and not the browser's or sharp's? */
export const isOwnFormat = ({ format, bits }: PhotoHeader): boolean =>
  format === 'tiff' || format === 'heif' || format === 'raw' || (format === 'png' && bits === 16);

/** How raw files begin that are no plain TIFF (their makers' own; ExifTool's list of file types). */
const RAW_STARTS: readonly (readonly [string, number])[] = [
  ...LAID_OUT_AS_TIFF.map((start) => [start, 0] as const),
  ['FUJIFILMCCD-RAW', 0],
  ['FOVb', 0],
  ['\0MRM', 0],
  ['HEAPCCDR', 6],
];

/** A job's file is one. */
export const ZIP = 'a ZIP file';

const OTHERS: readonly (readonly [string, number, string])[] = [
  ['WEBP', 8, 'a WebP picture'],
  ['GIF8', 0, 'a GIF picture'],
  ['BM', 0, 'a BMP picture'],
  ['%PDF', 0, 'a PDF document'],
  ['\xff\x0a', 0, 'a JPEG XL picture'],
  ['JXL ', 4, 'a JPEG XL picture'],
  ['II+\0', 0, 'a BigTIFF picture'],
  ['MM\0+', 0, 'a BigTIFF picture'],
  ['PK\x03\x04', 0, ZIP],
];

/** PNG, third edition (W3C), § 5: chunks of length, type, data, CRC; IHDR first, IEND last. */
function png(view: DataView): PhotoHeader {
  const said = view.byteLength >= 25;
  let complete = false;
  for (let at = 8; at + 12 <= view.byteLength && !complete;) {
    const end = at + 12 + view.getUint32(at);
    complete = view.getUint32(at + 4) === 0x49454e44 && end <= view.byteLength;
    at = end;
  }
  return {
    format: 'png',
    width: said ? view.getUint32(16) : 0,
    height: said ? view.getUint32(20) : 0,
    bits: said ? view.getUint8(24) : 0,
    complete,
  };
}

/** ITU-T T.81, annex B: marker segments, a frame header (SOF) with the size, EOI at the end. */
function jpeg(view: DataView): PhotoHeader {
  let width = 0;
  let height = 0;
  let bits = 0;
  let components = 3;
  let at = 2;
  while (at + 4 <= view.byteLength) {
    const marker = view.getUint16(at);
    if (marker === 0xffd9) break;
    if (marker === 0xffff) {
      at += 1; // fill byte
      continue;
    }
    if (marker < 0xff01) break;
    const isFrame =
      marker >= 0xffc0 && marker <= 0xffcf && ![0xffc4, 0xffc8, 0xffcc].includes(marker);
    if (isFrame && at + 10 <= view.byteLength) {
      bits = view.getUint8(at + 4);
      height = view.getUint16(at + 5);
      width = view.getUint16(at + 7);
      components = view.getUint8(at + 9);
    }
    at += 2 + view.getUint16(at + 2);
    if (marker === 0xffda) at = endOfScan(view, at);
  }
  const complete = at + 2 <= view.byteLength && view.getUint16(at) === 0xffd9;
  return {
    format: 'jpeg',
    width,
    height,
    bits,
    complete,
    ...(components === 4 && { falseColours: 'a JPEG in the colours of printing (CMYK)' }),
  };
}

/** The next marker after entropy-coded data: FF, but neither a stuffed FF00 nor a restart marker. */
function endOfScan(view: DataView, from: number): number {
  for (let at = from; at + 1 < view.byteLength; at += 1) {
    if (view.getUint8(at) !== 0xff) continue;
    const code = view.getUint8(at + 1);
    if (code !== 0x00 && code !== 0xff && (code < 0xd0 || code > 0xd7)) return at;
  }
  return view.byteLength;
}
