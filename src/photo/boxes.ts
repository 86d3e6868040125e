/** Boxes of an ISO base media file (ISO/IEC 14496-12 § 4.2): a length, a type, and what they hold. */
import { textAt } from './header-fields.ts';

export interface BoxRange {
  readonly from: number;
  readonly to: number;
  /** Boxes that hold boxes, and how many bytes stand before these. */
  readonly holders: ReadonlyMap<string, number>;
}

/** @param see gets each box's type, where it begins and ends; no end: it does not fit in what holds it */
export function walkBoxes(
  view: DataView,
  { from, to, holders }: BoxRange,
  see: (type: string, at: number, end: number | undefined) => void,
): void {
  const bytes = new Uint8Array(view.buffer, view.byteOffset, view.byteLength);
  for (let at = from; at < to;) {
    const end = endOfBox(view, at, to);
    const type = textAt(bytes, at + 4, 4);
    see(type, at, end);
    if (end === undefined) return;
    const inside = holders.get(type);
    if (inside !== undefined) walkBoxes(view, { from: at + 8 + inside, to: end, holders }, see);
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
