/** The pictures that go with a record, and what they must be. */
import {
  maskFault,
  photographFault,
  readGraymap,
  type Attachment,
  type Attachments,
} from './picture-forms.ts';
import type { AnyRecord } from './records.ts';

export { MASK_TYPE, type Attachment, type Attachments } from './picture-forms.ts';

/**
 * By kind of record, what may be attached under which name. A reading keeps the crop it was made
 * from, the mask of used pixels over that crop, and a thumbnail; a blend map the part of the picture it
 * covers; a photograph keeps itself.
 */
const KNOWN = {
  reading: { crop: photographFault, mask: maskFault, thumbnail: photographFault },
  map: { crop: photographFault, thumbnail: photographFault },
  picture: { picture: photographFault, thumbnail: photographFault },
} as const;

function checksFor(kind: AnyRecord['kind']) {
  return new Map(
    Object.entries(Object.hasOwn(KNOWN, kind) ? KNOWN[kind as keyof typeof KNOWN] : {}),
  );
}

/** What is wrong with the pictures of a record, a line for each. */
export function attachmentFaults(record: AnyRecord, attachments: Attachments): readonly string[] {
  const checks = checksFor(record.kind);
  const faults = Object.entries(attachments).flatMap(([name, attachment]) => {
    const check = checks.get(name);
    if (!check) return [`${name}: no such picture belongs to this kind of record`];
    const fault = check(attachment);
    return fault === undefined ? [] : [`${name}: ${fault}`];
  });
  return [...faults, ...maskMisfit(record, attachments['mask'])];
}

function maskMisfit(record: AnyRecord, mask: Attachment | undefined): readonly string[] {
  const map = mask && readGraymap(mask.bytes);
  if (!map || record.kind !== 'reading') return [];
  const said = record.evidence.mask;
  if (map.width === said?.width && map.height === said.height) return [];
  const expected = said ? `${said.width} × ${said.height} cells` : 'none';
  return [`mask: is ${map.width} × ${map.height} cells, but the reading says ${expected}`];
}
