/** The pictures that go with a record, and what they must be. */
import type { AnyRecord } from './records.ts';
import { readGraymap } from './graymap.ts';

export interface Attachment {
  readonly contentType: string;
  readonly bytes: Uint8Array;
}
export type Attachments = Readonly<Record<string, Attachment>>;

type Form = 'picture' | 'mask';

/**
 * By kind of record, what may be attached under which name. A reading keeps the crop it was made
 * from, the mask of used pixels over that crop, and a thumbnail; a photograph keeps itself.
 */
const KNOWN: Readonly<Partial<Record<AnyRecord['kind'], Readonly<Record<string, Form>>>>> = {
  reading: { crop: 'picture', mask: 'mask', thumbnail: 'picture' },
  picture: { picture: 'picture', thumbnail: 'picture' },
};

export const MASK_TYPE = 'image/x-portable-graymap';

/** First bytes, ISO/IEC 15948 (PNG) and ISO/IEC 10918-1 (JPEG). */
const SIGNATURES: Readonly<Record<string, readonly number[]>> = {
  'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  'image/jpeg': [0xff, 0xd8, 0xff],
};

function formFault(form: Form, { contentType, bytes }: Attachment): string | undefined {
  if (form === 'mask') {
    if (contentType !== MASK_TYPE) return `must be a grey map (${MASK_TYPE})`;
    return readGraymap(bytes) ? undefined : 'is not a whole grey map';
  }
  const signature = SIGNATURES[contentType];
  if (!signature) return `must be a PNG or JPEG picture, but is “${contentType}”`;
  return signature.every((byte, i) => bytes[i] === byte)
    ? undefined
    : `is not a ${contentType === 'image/png' ? 'PNG' : 'JPEG'} picture`;
}

/** What is wrong with the pictures of a record, a line for each. */
export function attachmentFaults(record: AnyRecord, attachments: Attachments): readonly string[] {
  const known = KNOWN[record.kind] ?? {};
  const faults = Object.entries(attachments).flatMap(([name, attachment]) => {
    const form = Object.hasOwn(known, name) ? known[name] : undefined;
    if (!form) return [`${name}: no such picture belongs to this kind of record`];
    const fault = formFault(form, attachment);
    return fault === undefined ? [] : [`${name}: ${fault}`];
  });
  const mask = record.kind === 'reading' ? attachments['mask'] : undefined;
  const map = mask && readGraymap(mask.bytes);
  if (map && record.kind === 'reading') {
    const { width, height } = record.evidence.crop;
    if (map.width !== width || map.height !== height) {
      faults.push(`mask: is ${map.width} × ${map.height}, but the crop is ${width} × ${height}`);
    }
  }
  return faults;
}
