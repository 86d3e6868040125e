/**
 * A zip archive in memory. The library unpacks without looking at checksums, so each file is checked
 * here against the CRC-32 that the archive's own directory states (PKWARE APPNOTE 6.3, 4.3.12).
 */
import { unzipSync, zipSync } from 'fflate';

export type Files = ReadonlyMap<string, Uint8Array>;
export type Unzipped =
  | { readonly ok: true; readonly files: Files }
  | { readonly ok: false; readonly faults: readonly string[] };

/** More than this unpacked is refused: no job comes near it, and a device could not hold it. */
const MOST_BYTES = 1.5 * 2 ** 30;

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});
/** CRC-32 of ISO 3309, as zip uses it. */
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = CRC_TABLE[(c ^ byte) & 0xff]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

interface Entry {
  readonly name: string;
  readonly crc: number;
  readonly size: number;
}
const END_OF_DIRECTORY = 0x06054b50;
const DIRECTORY_ENTRY = 0x02014b50;
const END_LENGTH = 22;
const ENTRY_LENGTH = 46;

/** The archive's directory; undefined when there is none, or it is not whole. */
function directory(zip: Uint8Array): readonly Entry[] | undefined {
  const view = new DataView(zip.buffer, zip.byteOffset, zip.byteLength);
  let end = zip.length - END_LENGTH;
  const first = Math.max(0, end - 0xffff);
  while (end >= first && view.getUint32(end, true) !== END_OF_DIRECTORY) end--;
  if (end < first) return undefined;
  const entries: Entry[] = [];
  let at = view.getUint32(end + 16, true);
  for (let left = view.getUint16(end + 10, true); left > 0; left--) {
    if (at + ENTRY_LENGTH > end || view.getUint32(at, true) !== DIRECTORY_ENTRY) return undefined;
    const nameEnd = at + ENTRY_LENGTH + view.getUint16(at + 28, true);
    const name = new TextDecoder().decode(zip.subarray(at + ENTRY_LENGTH, nameEnd));
    entries.push({ name, crc: view.getUint32(at + 16, true), size: view.getUint32(at + 24, true) });
    at = nameEnd + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return entries;
}

export function unzip(zip: Uint8Array): Unzipped {
  const refuse = (...faults: readonly string[]): Unzipped => ({ ok: false, faults });
  const entries = directory(zip);
  if (!entries) {
    return refuse(
      'The file is not a whole zip archive: it may be another kind of file, or it was not copied to its end.',
    );
  }
  const size = entries.reduce((sum, entry) => sum + entry.size, 0);
  if (size > MOST_BYTES) {
    return refuse(
      `The file would unpack to ${Math.round(size / 2 ** 20)} MB, which is more than this device is asked to hold.`,
    );
  }
  const twice = entries.find(({ name }, i) => entries.findIndex((e) => e.name === name) < i);
  if (twice) return refuse(`${twice.name}: is in the archive twice.`);
  let unpacked: Readonly<Record<string, Uint8Array>>;
  try {
    unpacked = unzipSync(zip);
  } catch (error) {
    return refuse(
      `The archive is damaged and cannot be unpacked (${error instanceof Error ? error.message : String(error)}).`,
    );
  }
  const files = new Map<string, Uint8Array>();
  const damaged: string[] = [];
  for (const { name, crc } of entries) {
    if (name.endsWith('/')) continue;
    const bytes = Object.hasOwn(unpacked, name) ? unpacked[name] : undefined;
    if (bytes && crc32(bytes) === crc) files.set(name, bytes);
    else damaged.push(`${name}: is damaged; its checksum does not match.`);
  }
  return damaged.length > 0 ? refuse(...damaged) : { ok: true, files };
}

/** Pictures are packed already and are stored as they are; text is deflated. */
export function zip(files: Files, at: Date): Uint8Array {
  const entries = [...files].map(([name, bytes]) => {
    const level = name.endsWith('.png') || name.endsWith('.jpg') ? 0 : 6;
    return [name, [bytes, { level, mtime: at }]] as const;
  });
  return zipSync(Object.fromEntries(entries) as Parameters<typeof zipSync>[0]);
}
