/** Puts into a file what the library that wrote it would not, or only along with other colours. */
import { crc32, deflateSync } from 'node:zlib';

/** A PNG with an embedded profile (PNG, third edition, § 11.3.2.3) and its codes as they were. */
export function pngWithProfile(png: Buffer, icc: Buffer): Buffer {
  const data = Buffer.concat([Buffer.from('invented\0\0', 'latin1'), deflateSync(icc)]);
  const body = Buffer.concat([Buffer.from('iCCP', 'latin1'), data]);
  const chunk = Buffer.alloc(body.length + 8);
  chunk.writeUInt32BE(data.length);
  body.copy(chunk, 4);
  chunk.writeUInt32BE(crc32(body), 4 + body.length);
  const afterHeader = 8 + 25;
  return Buffer.concat([png.subarray(0, afterHeader), chunk, png.subarray(afterHeader)]);
}

/** A little-endian TIFF with another orientation (tag 274) or a profile (34675): a new first directory. */
export function tiffWith(
  tiff: Buffer,
  { orientation, icc }: { readonly orientation?: number; readonly icc?: Buffer },
): Buffer {
  if (tiff.toString('latin1', 0, 2) !== 'II') throw new Error('not little-endian');
  const at = tiff.readUInt32LE(4);
  const count = tiff.readUInt16LE(at);
  const entries = new Map<number, Buffer>();
  for (let i = 0; i < count; i += 1) {
    const entry = tiff.subarray(at + 2 + 12 * i, at + 14 + 12 * i);
    entries.set(entry.readUInt16LE(0), Buffer.from(entry));
  }
  const added: Buffer[] = [tiff, Buffer.alloc(tiff.length % 2)];
  let end = tiff.length + (tiff.length % 2);
  const set = (tag: number, type: number, length: number, value: number) => {
    const entry = Buffer.alloc(12);
    entry.writeUInt16LE(tag, 0);
    entry.writeUInt16LE(type, 2);
    entry.writeUInt32LE(length, 4);
    entry.writeUInt32LE(value, 8);
    entries.set(tag, entry);
  };
  if (orientation !== undefined) set(274, 3, 1, orientation);
  if (icc) {
    set(34675, 7, icc.length, end);
    const padded = Buffer.concat([icc, Buffer.alloc(icc.length % 2)]);
    added.push(padded);
    end += padded.length;
  }
  const sorted = [...entries].sort(([one], [other]) => one - other).map(([, entry]) => entry);
  const head = Buffer.alloc(2);
  head.writeUInt16LE(sorted.length);
  const whole = Buffer.concat([...added, head, ...sorted, Buffer.alloc(4)]);
  whole.writeUInt32LE(end, 4);
  return whole;
}
