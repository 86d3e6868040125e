/** The forms in which pictures are kept beside a record: PNG, JPEG, and a grey map for masks. */

export interface Attachment {
  readonly contentType: string;
  readonly bytes: Uint8Array;
}
export type Attachments = Readonly<Record<string, Attachment>>;

/** First bytes, ISO/IEC 15948 (PNG) and ISO/IEC 10918-1 (JPEG). */
const SIGNATURES: Readonly<Record<string, readonly number[]>> = {
  'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  'image/jpeg': [0xff, 0xd8, 0xff],
};

export function photographFault({ contentType, bytes }: Attachment): string | undefined {
  const signature = Object.hasOwn(SIGNATURES, contentType) ? SIGNATURES[contentType] : undefined;
  if (!signature) return `must be a PNG or JPEG picture, but is “${contentType}”`;
  return signature.every((byte, i) => bytes[i] === byte)
    ? undefined
    : `is not a ${contentType === 'image/png' ? 'PNG' : 'JPEG'} picture`;
}

export const MASK_TYPE = 'image/x-portable-graymap';

export function maskFault({ contentType, bytes }: Attachment): string | undefined {
  if (contentType !== MASK_TYPE) return `must be a grey map (${MASK_TYPE})`;
  return readGraymap(bytes) ? undefined : 'is not a whole grey map';
}

/**
 * The mask of used pixels as a binary portable graymap (Netpbm PGM, "P5"): an open form that any
 * picture viewer opens. Values as in `ReadingEvidence`: 0 unused, 1 glaze, 2 dab, 3 rejected.
 */
const MAX_VALUE = 3;

export interface Graymap {
  readonly width: number;
  readonly height: number;
  /** Row by row, one byte a pixel. */
  readonly values: Uint8Array;
}

export function writeGraymap({ width, height, values }: Graymap): Uint8Array {
  const header = Array.from(`P5\n${width} ${height}\n${MAX_VALUE}\n`, (c) => c.charCodeAt(0));
  const bytes = new Uint8Array(header.length + values.length);
  bytes.set(header);
  bytes.set(values, header.length);
  return bytes;
}

/** The map that `writeGraymap` wrote; undefined when the bytes are not such a map, or not all of it. */
export function readGraymap(bytes: Uint8Array): Graymap | undefined {
  const start = String.fromCharCode(...bytes.subarray(0, 40));
  const header = /^P5\n([1-9]\d{0,4}) ([1-9]\d{0,4})\n3\n/.exec(start);
  if (!header) return undefined;
  const width = Number(header[1]);
  const height = Number(header[2]);
  const values = bytes.subarray(header[0].length);
  const whole = values.length === width * height && values.every((x) => x <= MAX_VALUE);
  return whole ? { width, height, values } : undefined;
}
