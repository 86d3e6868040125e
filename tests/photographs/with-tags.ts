/** Puts into a file what the library that wrote it would not, or only along with other colours. */
import { crc32, deflateSync } from 'node:zlib';
import { big, joined, latin, viewOf, zeros } from './bytes.ts';

/** A PNG with an embedded profile (PNG, third edition, § 11.3.2.3) and its codes as they were. */
export function pngWithProfile(png: Uint8Array, icc: Uint8Array): Uint8Array {
  const data = joined(latin('invented\0\0'), Uint8Array.from(deflateSync(icc)));
  const body = joined(latin('iCCP'), data);
  const chunk = joined(big(4, data.length), body, big(4, crc32(body)));
  const afterHeader = 8 + 25;
  return joined(png.subarray(0, afterHeader), chunk, png.subarray(afterHeader));
}

/**
 * A little-endian TIFF with another orientation (tag 274), a profile (34675) or a directory of Exif (34665)
 * that it holds already: a new first directory.
 */
export function tiffWith(
  tiff: Uint8Array,
  {
    orientation,
    icc,
    exifAt,
  }: { readonly orientation?: number; readonly icc?: Uint8Array; readonly exifAt?: number },
): Uint8Array {
  const view = viewOf(tiff);
  if (view.getUint16(0) !== 0x4949) throw new Error('not little-endian');
  const at = view.getUint32(4, true);
  const entries = new Map<number, Uint8Array>();
  for (let entry = at + 2; entry < at + 2 + 12 * view.getUint16(at, true); entry += 12) {
    entries.set(view.getUint16(entry, true), tiff.slice(entry, entry + 12));
  }
  const even = joined(tiff, zeros(tiff.length % 2));
  const padded = icc ? joined(icc, zeros(icc.length % 2)) : zeros(0);
  const set = (tag: number, type: number, length: number, value: number) => {
    const entry = new DataView(new ArrayBuffer(12));
    entry.setUint16(0, tag, true);
    entry.setUint16(2, type, true);
    entry.setUint32(4, length, true);
    entry.setUint32(8, value, true);
    entries.set(tag, new Uint8Array(entry.buffer));
  };
  if (orientation !== undefined) set(274, 3, 1, orientation);
  if (exifAt !== undefined) set(34665, 4, 1, exifAt);
  if (icc) set(34675, 7, icc.length, even.length);
  const sorted = [...entries].sort(([one], [other]) => one - other).map(([, entry]) => entry);
  const count = Uint8Array.of(sorted.length % 256, Math.floor(sorted.length / 256));
  const whole = joined(even, padded, count, ...sorted, zeros(4));
  viewOf(whole).setUint32(4, even.length + padded.length, true);
  return whole;
}
