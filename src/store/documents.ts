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

export function documentOf(
  record: AnyRecord,
  attachments: Attachments,
  stored?: StoredDocument,
): PouchDB.Core.PutDocument<Fields> & { _id: string } {
  const { id, ...fields } = record;
  const added = Object.entries(attachments).map(([name, { contentType, bytes }]) => [
    name,
    {
      content_type: contentType,
      data: new Blob([new Uint8Array(bytes)], { type: contentType }),
    },
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

/** A picture as the database gives it when asked for binary: a Blob. */
export async function attachmentOf(contentType: string, data: unknown): Promise<Attachment> {
  if (!(data instanceof Blob)) throw new Error('the database gave a picture in another form');
  return { contentType, bytes: new Uint8Array(await data.arrayBuffer()) };
}
