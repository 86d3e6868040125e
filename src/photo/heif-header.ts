/** The boxes of a HEIF file that say what it holds (ISO/IEC 14496-12 § 4.2; ISO/IEC 23008-12). */
import { walkBoxes } from './boxes.ts';
import { textAt, UNSAID, viewOf, type PhotoHeader } from './header-fields.ts';

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
  const bytes = new Uint8Array(view.buffer, view.byteOffset, view.byteLength);
  const brand = textAt(bytes, 8, 4);
  if (brand === 'crx ') return { ...UNSAID, format: 'raw' };
  if (brand.startsWith('avi')) return { ...UNSAID, format: 'other', kind: 'an AVIF picture' };
  if (!PICTURES.includes(brand)) return { ...UNSAID, format: 'other', kind: 'a film' };
  const said = { width: 0, height: 0, bits: 0, complete: false };
  walkBoxes(view, { from: 0, to: view.byteLength, holders: HOLDERS }, (type, at, end) => {
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
  const view = viewOf(bytes);
  const found: HeifColour[] = [];
  walkBoxes(view, { from: 0, to: view.byteLength, holders: HOLDERS }, (type, at, end) => {
    if (type !== 'colr' || end === undefined) return;
    const kind = textAt(bytes, at + 8, 4);
    if (kind === 'prof' || kind === 'rICC') found.push({ icc: bytes.slice(at + 12, end) });
    if (kind === 'nclx' && end >= at + 16) {
      found.push({ primaries: view.getUint16(at + 12), transfer: view.getUint16(at + 14) });
    }
  });
  return found.find(({ icc }) => icc) ?? found[0] ?? {};
}
