/**
 * What a photograph's own bytes say before it is decoded: a decoder would fill a truncated picture
 * with grey, or take all memory for a huge one, without a word.
 */

export interface PhotoHeader {
  readonly format: 'png' | 'jpeg' | 'heif' | 'other';
  /** As stored, before any rotation; 0 when the bytes end before they say it. */
  readonly width: number;
  readonly height: number;
  /** False when the file ends before its picture does. */
  readonly complete: boolean;
}

export function photoHeader(bytes: Uint8Array): PhotoHeader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (startsWith(bytes, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return png(view);
  if (startsWith(bytes, [0xff, 0xd8, 0xff])) return jpeg(view);
  // ISO base media file (ISO/IEC 14496-12): "ftyp" after the first box's length.
  const brand = String.fromCharCode(...bytes.subarray(4, 12));
  const heif = /^ftyp(heic|heix|hevc|mif1|msf1|avif)/.test(brand);
  return { format: heif ? 'heif' : 'other', width: 0, height: 0, complete: true };
}

function startsWith(bytes: Uint8Array, start: readonly number[]): boolean {
  return start.every((byte, i) => bytes[i] === byte);
}

/** PNG, third edition (W3C), § 5: chunks of length, type, data, CRC; IHDR first, IEND last. */
function png(view: DataView): PhotoHeader {
  const size = view.byteLength < 24 ? [0, 0] : [view.getUint32(16), view.getUint32(20)];
  let complete = false;
  for (let at = 8; at + 12 <= view.byteLength && !complete;) {
    const end = at + 12 + view.getUint32(at);
    complete = view.getUint32(at + 4) === 0x49454e44 && end <= view.byteLength;
    at = end;
  }
  return { format: 'png', width: size[0]!, height: size[1]!, complete };
}

/** ITU-T T.81, annex B: marker segments, a frame header (SOF) with the size, EOI at the end. */
function jpeg(view: DataView): PhotoHeader {
  let width = 0;
  let height = 0;
  let at = 2;
  while (at + 4 <= view.byteLength) {
    const marker = view.getUint16(at);
    if (marker === 0xffd9) return { format: 'jpeg', width, height, complete: true };
    if (marker === 0xffff) {
      at += 1; // fill byte
      continue;
    }
    if (marker < 0xff01) break;
    const isFrame =
      marker >= 0xffc0 && marker <= 0xffcf && ![0xffc4, 0xffc8, 0xffcc].includes(marker);
    if (isFrame && at + 9 <= view.byteLength) {
      height = view.getUint16(at + 5);
      width = view.getUint16(at + 7);
    }
    at += 2 + view.getUint16(at + 2);
    if (marker === 0xffda) at = endOfScan(view, at);
  }
  const complete = at + 2 <= view.byteLength && view.getUint16(at) === 0xffd9;
  return { format: 'jpeg', width, height, complete };
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
