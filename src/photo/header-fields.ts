/** What the headers of all kinds of photographs have in common. */
export type PhotoFormat = 'png' | 'jpeg' | 'tiff' | 'heif' | 'raw';

export interface PhotoHeader {
  readonly format: PhotoFormat | 'other' | 'empty';
  /** As stored, before any rotation; 0 when the bytes do not say it here. */
  readonly width: number;
  readonly height: number;
  /** Bits a channel; 0 when the bytes do not say it here. */
  readonly bits: number;
  /** False when the file ends before its picture does. */
  readonly complete: boolean;
  /** What a file of another kind is, when it is known: “a WebP picture”. */
  readonly kind?: string;
  /** Why its colours are not those the camera saw, though it can be decoded: “a JPEG in …”. */
  readonly falseColours?: string;
}

export const UNSAID = { width: 0, height: 0, bits: 0, complete: true } as const;

/** The numbers of makers whose raw files have TIFF's layout (ORF, RW2; ExifTool's list of file types). */
export const LAID_OUT_AS_TIFF: readonly string[] = ['IIRO', 'IIRS', 'MMOR', 'IIU\0'];

export const viewOf = ({ buffer, byteOffset, byteLength }: Uint8Array): DataView =>
  new DataView(buffer, byteOffset, byteLength);

export function textAt(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + length));
}
