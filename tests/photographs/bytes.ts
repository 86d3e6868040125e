/** Small tools for files written by hand. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

export function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** One byte a character. */
export const latin = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));
export const zeros = (count: number): Uint8Array => new Uint8Array(count);

/** Whole numbers of so many bytes each, the first byte the highest. */
export function big(size: 2 | 4, ...values: readonly number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(size * values.length));
  values.forEach((value, i) => {
    if (size === 2) view.setUint16(2 * i, value);
    else view.setInt32(4 * i, value | 0);
  });
  return new Uint8Array(view.buffer);
}

/** Where a text begins in the bytes; -1: nowhere. */
export const placeOf = (bytes: Uint8Array, text: string): number =>
  new TextDecoder('latin1').decode(bytes).indexOf(text);

export const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/** A file of this folder. */
export const photograph = (name: string): Uint8Array =>
  Uint8Array.from(readFileSync(join(import.meta.dirname, name)));

/** What sharp wrote. */
export const bytesOf = async (image: { toBuffer(): Promise<Buffer> }): Promise<Uint8Array> =>
  Uint8Array.from(await image.toBuffer());
