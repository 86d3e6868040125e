/**
 * Where raw files that are no plain TIFF keep their Exif data. The reader knows TIFF and JPEG; what it is
 * given here is one of these.
 */
import { walkBoxes } from './boxes.ts';
import { LAID_OUT_AS_TIFF, textAt, viewOf } from './header-fields.ts';

/** @returns the bytes to read Exif data from: the file's own, a part of them, or a copy that says it is a TIFF */
export function exifPlace(bytes: Uint8Array): Uint8Array {
  const start = textAt(bytes, 0, 4);
  if (LAID_OUT_AS_TIFF.includes(start)) return calledTiff(bytes);
  if (textAt(bytes, 0, RAF.length) === RAF) return jpegOfRaf(bytes) ?? bytes;
  if (textAt(bytes, 4, 8) === 'ftypcrx ') return blockOfCr3(bytes) ?? bytes;
  return bytes;
}

function calledTiff(bytes: Uint8Array): Uint8Array {
  const tiff = bytes.slice();
  tiff.set(tiff[0] === 0x49 ? [42, 0] : [0, 42], 2);
  return tiff;
}

/** RAF holds a whole JPEG with the Exif data: where, and how long it is, stands at 84, high byte first (LibRaw). */
const RAF = 'FUJIFILMCCD-RAW';
const RAF_JPEG_AT = 84;

function jpegOfRaf(bytes: Uint8Array): Uint8Array | undefined {
  if (bytes.length < RAF_JPEG_AT + 8) return undefined;
  const view = viewOf(bytes);
  const [at, length] = [view.getUint32(RAF_JPEG_AT), view.getUint32(RAF_JPEG_AT + 4)];
  return at >= RAF_JPEG_AT + 8 ? bytes.subarray(at, at + length) : undefined;
}

/** CR3 (L. Clévy, “Canon CR3 file format”): moov holds a uuid box of this kind, that one CMT2, the Exif directory. */
const CR3_UUID = '85c0b687820f11e08111f4ce462b6a48';
const MOVIE = new Map([['moov', 0]]);
const NONE: ReadonlyMap<string, number> = new Map();

function blockOfCr3(bytes: Uint8Array): Uint8Array | undefined {
  const view = viewOf(bytes);
  let block: Uint8Array | undefined;
  walkBoxes(view, { from: 0, to: bytes.length, holders: MOVIE }, (type, at, end) => {
    if (type !== 'uuid' || end === undefined || hex(bytes.subarray(at + 8, at + 24)) !== CR3_UUID) {
      return;
    }
    walkBoxes(view, { from: at + 24, to: end, holders: NONE }, (inner, from, to) => {
      if (inner === 'CMT2' && to !== undefined && to >= from + 16) {
        block ??= underMain(bytes.subarray(from + 8, to));
      }
    });
  });
  return block;
}

/** A TIFF whose first directory is Exif's own: one is put before it that points there (tag 34665, CIPA DC-008, 4.6.3). */
function underMain(block: Uint8Array): Uint8Array {
  const little = block[0] === 0x49;
  const main = block.length + (block.length % 2);
  const tiff = new Uint8Array(main + 2 + 12 + 4);
  tiff.set(block);
  const view = viewOf(tiff);
  const exif = view.getUint32(4, little);
  view.setUint32(4, main, little);
  view.setUint16(main, 1, little);
  view.setUint16(main + 2, 34665, little);
  view.setUint16(main + 4, 4, little);
  view.setUint32(main + 6, 1, little);
  view.setUint32(main + 10, exif, little);
  return tiff;
}

const hex = (bytes: Uint8Array): string =>
  [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
