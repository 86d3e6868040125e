/**
 * Records as the database's documents and back. The document's `_id` is the record's id, so that a
 * listing is one range of ids (see job/ids.ts), and a document is plain JSON with attachments: what
 * any database that speaks the same replication protocol takes as it is.
 */
import type { Attachment, Attachments } from '../job/attachments.ts';
import { parseRecord, type AnyRecord, type Parsed } from '../job/records.ts';

export type Fields = Record<string, unknown>;
export type Database = PouchDB.Database<Fields>;
export type StoredDocument = PouchDB.Core.ExistingDocument<Fields & PouchDB.Core.AllDocsMeta>;

/** How this platform's database takes bytes: a Blob in a browser. */
export type BytesToData = (bytes: Uint8Array, contentType: string) => PouchDB.Core.AttachmentData;

export const blobOf: BytesToData = (bytes, type) => new Blob([new Uint8Array(bytes)], { type });

export function documentOf(
  record: AnyRecord,
  attachments: Attachments,
  dataOf: BytesToData,
  stored?: StoredDocument,
): PouchDB.Core.PutDocument<Fields> & { _id: string } {
  const { id, ...fields } = record;
  const added = Object.entries(attachments).map(([name, { contentType, bytes }]) => [
    name,
    { content_type: contentType, data: dataOf(bytes, contentType) },
  ]);
  const all: PouchDB.Core.Attachments = {
    ...stored?._attachments,
    ...(Object.fromEntries(added) as PouchDB.Core.Attachments),
  };
  return {
    ...fields,
    _id: id,
    ...(stored && { _rev: stored._rev }),
    ...(Object.keys(all).length > 0 && { _attachments: all }),
  };
}

/** The record in a document, brought up to date and checked. */
export function recordIn(document: StoredDocument): Parsed<AnyRecord> {
  const fields = Object.entries(document).filter(([key]) => !key.startsWith('_'));
  return parseRecord({ ...Object.fromEntries(fields), id: document._id });
}

export async function attachmentIn(
  attachment: PouchDB.Core.Attachment,
): Promise<Attachment | undefined> {
  if (!('data' in attachment) || typeof attachment.data === 'string') return undefined;
  const { data, content_type: contentType } = attachment;
  const bytes =
    data instanceof Blob ? new Uint8Array(await data.arrayBuffer()) : new Uint8Array(data);
  return { contentType, bytes };
}
