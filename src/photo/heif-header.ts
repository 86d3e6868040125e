/** The boxes of a HEIF file that say what it holds (ISO/IEC 14496-12 § 4.2; ISO/IEC 23008-12). */
import { textAt, UNSAID, type PhotoHeader } from './header-fields.ts';

/** Brands of still pictures coded by HEVC, or by anything: the decoder tells (ISO/IEC 23008-12, annex B). */
const PICTURES = ['heic', 'heix', 'heim', 'heis', 'hevc', 'hevx', 'mif1', 'mif2', 'msf1'];
/** Boxes that hold boxes, and how many bytes stand before these. */
const HOLDERS = new Map([
  ['meta', 4],
  ['iprp', 0],
  ['ipco', 0],
]);

/** Colour information (ISO/IEC 14496-12 § 12.1.5): an ICC profile, or code points of ISO/IEC 23091-2. */
export interface HeifColour {
  readonly icc?: Uint8Array;
  readonly primaries?: number;
  readonly transfer?: number;
}

export function heifHeader(view: DataView): PhotoHeader {
  const bytes = bytesOf(view);
  const brand = textAt(bytes, 8, 4);
  if (brand === 'crx ') return { ...UNSAID, format: 'raw' };
  if (brand.startsWith('avi')) return { ...UNSAID, format: 'other', kind: 'an AVIF picture' };
  if (!PICTURES.includes(brand)) return { ...UNSAID, format: 'other', kind: 'a film' };
  const said = { width: 0, height: 0, bits: 0, complete: false };
  walkBoxes(view, 0, view.byteLength, (type, at, end) => {
    // What some phones add after the picture is in no box.
    if (type === 'mdat') said.complete = end !== undefined;
    if (end === undefined) return;
    // A picture in parts has an extent for itself and for each part: the largest is the picture's.
    if (type === 'ispe' && end >= at + 20) {
      const [w, h] = [view.getUint32(at + 12), view.getUint32(at + 16)];
      if (w * h > said.width * said.height) Object.assign(said, { width: w, height: h });
    }
    if (type === 'pixi' && end > at + 13) said.bits = Math.max(said.bits, view.getUint8(at + 13));
  });
  return { format: 'heif', ...said, complete: said.complete && said.width > 0 };
}

/** What its colours mean; an ICC profile says it best. */
export function heifColour(bytes: Uint8Array): HeifColour {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const found: HeifColour[] = [];
  walkBoxes(view, 0, view.byteLength, (type, at, end) => {
    if (type !== 'colr' || end === undefined) return;
    const kind = textAt(bytes, at + 8, 4);
    if (kind === 'prof' || kind === 'rICC') found.push({ icc: bytes.slice(at + 12, end) });
    if (kind === 'nclx' && end >= at + 16) {
      found.push({ primaries: view.getUint16(at + 12), transfer: view.getUint16(at + 14) });
    }
  });
  return found.find(({ icc }) => icc) ?? found[0] ?? {};
}

const bytesOf = (view: DataView): Uint8Array =>
  new Uint8Array(view.buffer, view.byteOffset, view.byteLength);

/** @param see gets each box's type, where it begins and ends; no end: it does not fit in what holds it */
function walkBoxes(
  view: DataView,
  from: number,
  to: number,
  see: (type: string, at: number, end: number | undefined) => void,
): void {
  const bytes = bytesOf(view);
  for (let at = from; at < to;) {
    const end = endOfBox(view, at, to);
    const type = textAt(bytes, at + 4, 4);
    see(type, at, end);
    if (end === undefined) return;
    const inside = HOLDERS.get(type);
    if (inside !== undefined) walkBoxes(view, at + 8 + inside, end, see);
    at = end;
  }
}

/** Undefined when the box does not fit in what holds it. A length of 1 stands for a long one, 0 for all. */
function endOfBox(view: DataView, at: number, to: number): number | undefined {
  if (at + 8 > to) return undefined;
  const length = view.getUint32(at);
  if (length === 0) return to;
  if (length === 1 && at + 16 > to) return undefined;
  const end = at + (length === 1 ? Number(view.getBigUint64(at + 8)) : length);
  return end > to || end < at + 8 ? undefined : end;
}
